package ledger

import (
	"testing"

	"traystage/scoring/words"
	"traystage/vision/note"
)

// What was kept in words before notes had codes is read, and told as it was.
func TestProseOfOldSeasons(t *testing.T) {
	for kept, want := range map[string][]note.Note{
		`null`:                 nil,
		`[]`:                   nil,
		`["glare on the rim"]`: {note.Quote("glare on the rim")},
		`["glare hides part of the face","its interval straddles the target of 4.5"]`: {
			note.New("photo.glare"), note.New("call.straddles", note.Stage("target", 4.5))},
		`["it is more stained than the first plate, stage 3"]`:                       {note.New("call.before_first", note.Stage("plate", 3))},
		`["its interval straddles the target of autumn"]`:                            {note.Quote("its interval straddles the target of autumn")},
		`[{"Text":"the photo is very dark","Advice":"photograph in daylight"}]`:      {note.New("photo.dark")},
		`[{"Text":"the light is uneven","Advice":""}]`:                               {note.Quote("the light is uneven")},
		`[{"code":"photo.dark"},{"code":"later","with":{"n":{"count":2}}},"spoken"]`: {note.New("photo.dark"), note.New("later", note.Count("n", 2)), note.Quote("spoken")},
	} {
		var got []note.Note
		if err := (notes{&got}).Scan(kept); err != nil || !note.Same(got, want) {
			t.Errorf("%s is read as %v (%v), want %v", kept, got, err, want)
		}
	}
	for _, damaged := range []any{7, `[{"code":7}]`, `[3]`, `{}`, `[{"code":"a","with":{"x":{"colour":1}}}]`} {
		var got []note.Note
		if err := (notes{&got}).Scan(damaged); err == nil {
			t.Errorf("%v is read as %v", damaged, got)
		}
	}
}

// The words of today may change, those known by heart may not: where both agree,
// an old season reads as it did.
func TestSpokenWordsAreThoseOfTheirCodes(t *testing.T) {
	for sentence, code := range spoken {
		if got := words.For("en").Say(note.New(code)); got != sentence {
			t.Errorf("%s now says %q, old seasons hold %q", code, got, sentence)
		}
	}
}

func TestOneNote(t *testing.T) {
	for _, n := range []note.Note{
		{}, note.New("half.no_flesh"), note.Quote("nothing but glare"), note.Quote(`{"code":"x"}`), note.Quote(`"so"`),
		note.New("call.straddles", note.Stage("target", 4.5)),
	} {
		text, err := noteText(n)
		if err != nil {
			t.Fatal(err)
		}
		var got note.Note
		if err := (oneNote{&got}).Scan(text); err != nil || !got.Equal(n) {
			t.Errorf("%v is kept as %s and read as %v (%v)", n, text, got, err)
		}
	}
	var old note.Note
	if err := (oneNote{&old}).Scan("no flesh can be seen on it"); err != nil || old.Code != "half.no_flesh" {
		t.Errorf("old words are read as %v (%v)", old, err)
	}
}
