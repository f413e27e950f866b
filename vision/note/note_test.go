package note_test

import (
	"encoding/json"
	"math"
	"reflect"
	"testing"
	"time"

	"traystage/vision/note"
)

var day = time.Date(2026, 9, 14, 8, 31, 0, 0, time.UTC)

// everyKind is a note with a value of each kind.
var everyKind = note.New("test.all",
	note.Stage("stage", 4.5),
	note.Figure("firmness", 0.1+0.2, 1, "lbf"),
	note.Figure("index", 0.25, 2, ""),
	note.Share("hidden", 1.0/3),
	note.Count("n", 12),
	note.Day("day", day),
	note.Name("block", `Brook "5" <&> Niño`),
	note.Term("quantity", "quantity", "soluble solids"),
	note.Names("markets", []string{"long CA", "fresh"}),
	note.Terms("states", "state", []string{"open", "too early"}),
	note.Counts("fruit", []int{3, 5, 6}),
	note.Notes("why", note.New("photo.glare"), note.Quote("windy")),
)

func TestJSONRoundTrip(t *testing.T) {
	for _, n := range []note.Note{
		{},
		note.New("photo.glare"),
		note.Quote("bruised at the core"),
		note.Quote(`{"code":"photo.glare"}`), // words that look like a note stay words
		note.New(note.Said),
		note.New(note.Said, note.Name("text", "")),
		note.New("lists.empty", note.Names("a", nil), note.Counts("b", nil), note.Notes("c"), note.Terms[string]("d", "state", nil)),
		note.New("numbers.odd", note.Stage("nan", math.NaN()), note.Figure("f", math.NaN(), 1, "N"), note.Figure("tiny", math.SmallestNonzeroFloat64, 3, "")),
		note.New("text.broken", note.Name("a", "bad \xff byte")),
		everyKind,
	} {
		text, err := json.Marshal(n)
		if err != nil {
			t.Errorf("%v: %v", n, err)
			continue
		}
		var back note.Note
		if err := json.Unmarshal(text, &back); err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		if !back.Equal(n) || back.Key() != n.Key() {
			t.Errorf("%v became %v, by %s", n, back, text)
		}
	}
}

// TestJSONLayout holds the layout that stores and programs rely on.
func TestJSONLayout(t *testing.T) {
	for want, n := range map[string]note.Note{
		`{"code":"photo.glare"}`: note.New("photo.glare"),
		`"windy"`:                note.Quote("windy"),
		`{"code":"call.straddles","with":{"target":{"stage":4.5}}}`:                note.New("call.straddles", note.Stage("target", 4.5)),
		`{"code":"a.b","with":{"d":{"day":"2026-09-14"},"n":{"count":2}}}`:         note.New("a.b", note.Count("n", 2), note.Day("d", day)),
		`{"code":"a.b","with":{"x":{"figure":17.25,"digits":1,"unit":"lbf"}}}`:     note.New("a.b", note.Figure("x", 17.25, 1, "lbf")),
		`{"code":"a.b","with":{"q":{"term":"quantity.firmness"}}}`:                 note.New("a.b", note.Term("q", "quantity", "firmness")),
		`{"code":"a.b","with":{"why":{"notes":[{"code":"photo.glare"},"windy"]}}}`: note.New("a.b", note.Notes("why", note.New("photo.glare"), note.Quote("windy"))),
	} {
		text, err := n.MarshalJSON()
		if err != nil || string(text) != want {
			t.Errorf("got %s (%v), want %s", text, err, want)
		}
	}
}

func TestJSONRefused(t *testing.T) {
	for _, text := range []string{
		`null`, `7`, `{}`, `{"code":""}`, `{"code":"a","extra":1}`, `{"code":"a","with":{"x":{}}}`, `{"code":"a","with":{"x":{"colour":1}}}`,
		`{"code":"a","with":{"x":{"stage":1,"share":1}}}`, `{"code":"a","with":{"x":{"stage":"much"}}}`, `{"code":"a","with":{"x":{"day":"soon"}}}`,
		`{"code":"a","with":{"x":{"figure":1,"colour":2}}}`,
	} {
		var n note.Note
		if err := n.UnmarshalJSON([]byte(text)); err == nil {
			t.Errorf("%s was taken for %v", text, n)
		}
	}
}

func TestEqual(t *testing.T) {
	if !everyKind.Equal(everyKind) {
		t.Error("a note is not equal to itself")
	}
	if a, b := note.New("a", note.Count("x", 1), note.Count("y", 2)), note.New("a", note.Count("y", 2), note.Count("x", 1)); !reflect.DeepEqual(a, b) {
		t.Errorf("the order in which values are given shows: %v, %v", a, b)
	}
	for i, v := range everyKind.With {
		other := v
		other.Number++
		other.Text += "x"
		other.Day = other.Day.AddDate(0, 0, 1)
		other.Texts = append([]string{"x"}, other.Texts...)
		other.Numbers = append([]int{1}, other.Numbers...)
		other.Notes = append([]note.Note{note.New("x.y")}, other.Notes...)
		if changed := everyKind.And(other); changed.Equal(everyKind) || changed.Key() == everyKind.Key() {
			t.Errorf("value %d, %s: a change does not show", i, v.Name)
		}
	}
	if note.New("a").Equal(note.New("b")) {
		t.Error("other codes are equal")
	}
}

func TestAndLeavesTheNoteAlone(t *testing.T) {
	n := note.New("a", note.Count("x", 1))
	n.And(note.Count("x", 2))
	if v, ok := n.Value("x"); !ok || v.Number != 1 {
		t.Errorf("x is %v", v)
	}
}

func TestOnce(t *testing.T) {
	got := note.Once(note.New("b"), note.Note{}, note.New("a"), note.New("b"), note.New("b", note.Count("n", 1)))
	want := []note.Note{note.New("b"), note.New("a"), note.New("b", note.Count("n", 1))}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	if !note.Has(got, "a") || note.Has(got, "c") {
		t.Error("Has does not tell the codes")
	}
}

func FuzzUnmarshal(f *testing.F) {
	text, _ := everyKind.MarshalJSON()
	f.Add(text)
	f.Add([]byte(`"windy"`))
	f.Fuzz(func(t *testing.T, text []byte) {
		var n, back note.Note
		if n.UnmarshalJSON(text) != nil {
			return
		}
		again, err := n.MarshalJSON()
		if err != nil {
			t.Fatalf("%s was read and cannot be written: %v", text, err)
		}
		if err := back.UnmarshalJSON(again); err != nil || !back.Equal(n) {
			t.Fatalf("%s became %s, then %v (%v)", text, again, back, err)
		}
	})
}
