package words

import (
	"encoding/json"
	"io"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"traystage/vision/note"
)

// test is a catalogue with messages of its own.
func test(t *testing.T, tag, words string) *Catalogue {
	t.Helper()
	c, err := parse(tag, []byte(`{"words": `+words+`}`))
	if err != nil {
		t.Fatal(err)
	}
	c.form = all()[tag].form
	return c
}

// A day of another year is told with it.
func TestDaysOfOtherYears(t *testing.T) {
	today, next := time.Date(2026, 9, 14, 0, 0, 0, 0, time.UTC), time.Date(2027, 1, 3, 0, 0, 0, 0, time.UTC)
	for _, row := range []struct {
		tag            string
		on, day        time.Time
		plain, inTable string
	}{
		{"en", today, today, "14 September", "14 Sep"},
		{"en", today, next, "3 January 2027", "3 Jan 2027"},
		{"es", today, next, "3 de enero de 2027", "3 ene 2027"},
		{"en", time.Time{}, next, "3 January", "3 Jan"},
	} {
		c := For(row.tag).On(row.on)
		if got := c.Day(row.day); got != row.plain {
			t.Errorf("%q, want %q", got, row.plain)
		}
		if got := c.ShortDay(row.day); got != row.inTable {
			t.Errorf("%q, want %q", got, row.inTable)
		}
	}
}

func TestText(t *testing.T) {
	day := time.Date(2026, 9, 4, 0, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		words  string
		with   []note.Value
		en, es string
	}{
		{`"plain"`, nil, "plain", "plain"},
		{`"{x} of {x}"`, []note.Value{note.Stage("x", 4.449)}, "4.4 of 4.4", "4,4 of 4,4"},
		{`"{x:mark}"`, []note.Value{note.Stage("x", 4)}, "4", "4"},
		{`"{x:mark}"`, []note.Value{note.Stage("x", 3.5)}, "3.5", "3,5"},
		{`"{x}"`, []note.Value{note.Figure("x", 17.25, 1, "lbf")}, "17.3 lbf", "17,3 lbf"},
		{`"{x:bare}"`, []note.Value{note.Figure("x", 17.25, 2, "lbf")}, "17.25", "17,25"},
		{`"{x:signed}"`, []note.Value{note.Figure("x", 0.5, 1, "")}, "+0.5", "+0,5"},
		{`"{x:signed}"`, []note.Value{note.Figure("x", -0.5, 1, "")}, "−0.5", "−0,5"},
		{`"{x}"`, []note.Value{note.Share("x", 0.625)}, "63 %", "63 %"},
		{`"{x}"`, []note.Value{note.Day("x", day)}, "4 September", "4 de septiembre"},
		{`"{x:short}"`, []note.Value{note.Day("x", day)}, "4 Sep", "4 sep"},
		{`"{x:medium}"`, []note.Value{note.Day("x", day)}, "4 Sep 2026", "4 sep 2026"},
		{`"{x:long}"`, []note.Value{note.Day("x", day)}, "4 September 2026", "4 de septiembre de 2026"},
		{`"{x}"`, []note.Value{note.Names("x", []string{"A", "B", "industria"})}, "A, B and industria", "A, B e industria"},
		{`"{x:or}"`, []note.Value{note.Names("x", []string{"siete", "ocho"})}, "siete or ocho", "siete u ocho"},
		{`"{x:comma}"`, []note.Value{note.Names("x", []string{"a", "b"})}, "a, b", "a, b"},
		{`"{x}"`, []note.Value{note.Counts("x", []int{1, 3, 4, 5, 9, 10})}, "1, 3 to 5, 9 and 10", "1, 3 a 5, 9 y 10"},
		{`{"one": "a day", "other": "{n} days"}`, []note.Value{note.Count("n", 1)}, "a day", "a day"},
		{`{"one": "a day", "other": "{n} days"}`, []note.Value{note.Count("n", 0)}, "0 days", "0 days"},
		{`{"by": "x", "one": "fruit {x}", "other": "fruits {x}"}`, []note.Value{note.Counts("x", []int{7})}, "fruit 7", "fruit 7"},
		{`{"by": "x", "one": "fruit {x}", "other": "fruits {x}"}`, []note.Value{note.Counts("x", []int{2, 7})}, "fruits 2 and 7", "fruits 2 y 7"},
		{`{"by": "q", "firmness": "it is", "other": "they are"}`, []note.Value{note.Term("q", "quantity", "firmness")}, "it is", "it is"},
		{`{"by": "q", "firmness": "it is", "other": "they are"}`, []note.Value{note.Term("q", "quantity", "stage")}, "they are", "they are"},
		{`"{missing}"`, nil, "{missing}", "{missing}"},
	} {
		for tag, want := range map[string]string{"en": c.en, "es": c.es} {
			if got := test(t, tag, `{"k": `+c.words+`}`).Text("k", c.with...); got != want {
				t.Errorf("%s, %s: %q, want %q", tag, c.words, got, want)
			}
		}
	}
}

func TestTermsAndNotesWithin(t *testing.T) {
	c := test(t, "en", `{"said": "{text}", "t.a": "apple", "t.a.the": "the apple", "t.b": "pear", "n.x": "x is {v}", "one": "{t}", "the": "{t:the}", "both": "{ts:or}", "why": "{why:semicolon}"}`)
	for key, want := range map[string]string{"one": "apple", "the": "the apple", "both": "apple or pear", "why": "x is 1; windy"} {
		got := c.Text(key, note.Term("t", "t", "a"), note.Terms("ts", "t", []string{"a", "b"}),
			note.Notes("why", note.New("n.x", note.Count("v", 1)), note.Quote("windy")))
		if got != want {
			t.Errorf("%s: %q, want %q", key, got, want)
		}
	}
}

func TestSay(t *testing.T) {
	c := For("en")
	for want, n := range map[string]note.Note{
		"":                         {},
		"windy":                    note.Quote("windy"),
		"later.code(n 3, x \"y\")": note.New("later.code", note.Count("n", 3), note.Name("x", "y")),
	} {
		if got := c.Say(n); got != want {
			t.Errorf("%v is said as %q, want %q", n, got, want)
		}
	}
	if got := c.Advice(note.Quote("windy")); got != "" {
		t.Errorf("advice on words of others: %q", got)
	}
}

func TestFor(t *testing.T) {
	for tag, want := range map[string]string{
		"en": "en", "es": "es", "es-CL": "es", "es_CL.UTF-8": "es", "ES": "es", "": "en", "xx": "en", "C.UTF-8": "en",
	} {
		if got := For(tag).Tag(); got != want {
			t.Errorf("For(%q) is %s, want %s", tag, got, want)
		}
	}
	if Known("xx") || !Known("es-ES") {
		t.Error("Known does not tell")
	}
	if tags := Tags(); tags[0] != "en" || !slices.Contains(tags, "es") {
		t.Errorf("the languages are %v", tags)
	}
}

// TestPluralForms holds the forms against those that CLDR gives: Russian has
// one, few and many, Arabic zero and two besides.
func TestPluralForms(t *testing.T) {
	for tag, want := range map[string]map[int]string{
		"en": {0: "other", 1: "one", 2: "other"},
		"es": {0: "other", 1: "one", 2: "other"},
		"fr": {0: "one", 1: "one", 2: "other"},
		"ru": {1: "one", 2: "few", 5: "many", 21: "one"},
		"ar": {0: "zero", 1: "one", 2: "two", 3: "few", 11: "many", 100: "other"},
	} {
		c, err := parse(tag, []byte(`{}`))
		if err != nil {
			t.Fatal(err)
		}
		for n, form := range want {
			if got := c.pluralForm(n); got != form {
				t.Errorf("%s: %d is %s, want %s", tag, n, got, form)
			}
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for _, words := range []string{
		`{"k": "open {brace"}`, `{"k": "no {} name"}`, `{"k": {"one": "x"}}`, `{"k": 7}`, `{"k": {"by": 3, "other": "x"}}`, `["k"]`,
	} {
		if _, err := parse("en", []byte(`{"words": `+words+`}`)); err == nil {
			t.Errorf("%s was taken", words)
		}
	}
}

// TestLanguagesAreComplete holds every language to the keys of the default one
// and to their figures.
func TestLanguagesAreComplete(t *testing.T) {
	base := all()[Default]
	for tag, c := range all() {
		for key, m := range base.messages {
			own, ok := c.messages[key]
			if !ok {
				t.Errorf("%s: no words for %s", tag, key)
				continue
			}
			if a, b := slices.Sorted(maps.Keys(m.names())), slices.Sorted(maps.Keys(own.names())); !slices.Equal(a, b) {
				t.Errorf("%s: %s shows %v, in %s %v", tag, key, b, Default, a)
			}
		}
		for key, m := range c.messages {
			if _, ok := base.messages[key]; !ok {
				t.Errorf("%s: %s has words that %s has not", tag, key, Default)
			}
			c.checkMessage(t, key, m)
		}
		c.checkForm(t)
	}
}

// checkMessage looks for empty sentences and for missing plural forms.
func (c *Catalogue) checkMessage(t *testing.T, key string, m message) {
	t.Helper()
	if m.by == "" {
		if len(m.parts) == 0 {
			t.Errorf("%s: %s is empty", c.tag, key)
		}
		return
	}
	for form, choice := range m.choices {
		c.checkMessage(t, key+"/"+form, choice)
	}
	counted := m.by == "n"
	for _, form := range []string{"zero", "one", "two", "few", "many"} {
		_, has := m.choices[form]
		counted = counted || has
	}
	for n := 0; counted && n < 1000; n++ {
		if form := c.pluralForm(n); m.choices[form].by == "" && m.choices[form].parts == nil {
			t.Errorf("%s: %s has no sentence for %q, as for %d", c.tag, key, form, n)
			return
		}
	}
}

func (c *Catalogue) checkForm(t *testing.T) {
	t.Helper()
	f := c.form
	if len(f.Months) != 12 || len(f.ShortMonths) != 12 {
		t.Errorf("%s: a year has twelve months", c.tag)
	}
	for _, text := range []string{f.Name, f.Decimal, f.Days.Plain, f.Days.Short, f.Days.Medium, f.Days.Long, f.And, f.Or, f.Run, f.Percent} {
		if text == "" {
			t.Errorf("%s: something of the form is not set: %+v", c.tag, f)
		}
	}
	for _, pattern := range []string{f.Days.Long, f.Days.Medium} {
		if day := c.written(time.Date(2026, 9, 14, 0, 0, 0, 0, time.UTC), pattern); !strings.Contains(day, "14") || !strings.Contains(day, "2026") || strings.Contains(day, "{") {
			t.Errorf("%s: a day is written %q", c.tag, day)
		}
	}
}

// TestNoKeyTwice looks for keys that stand twice in a file: the first would be
// lost without a word.
func TestNoKeyTwice(t *testing.T) {
	for tag := range all() {
		text, err := files.ReadFile(tag + ".json")
		if err != nil {
			t.Fatal(err)
		}
		for _, key := range keysTwice(t, string(text)) {
			t.Errorf("%s: %s stands twice", tag, key)
		}
	}
	if got := keysTwice(t, `{"a": {"b": 1, "c": ["b", {"b": 1}], "b": 2}, "b": 1}`); !slices.Equal(got, []string{"b"}) {
		t.Errorf("keys that stand twice: %v", got)
	}
}

func keysTwice(t *testing.T, text string) []string {
	t.Helper()
	var twice []string
	d := json.NewDecoder(strings.NewReader(text))
	type level struct {
		object, value bool // value: the next token of an object is one
		seen          map[string]bool
	}
	var open []*level
	for {
		token, err := d.Token()
		if err == io.EOF {
			return twice
		}
		if err != nil {
			t.Fatal(err)
		}
		if end, ok := token.(json.Delim); ok && (end == '}' || end == ']') {
			open = open[:len(open)-1]
			continue
		}
		if n := len(open); n > 0 && open[n-1].object {
			l := open[n-1]
			if key, ok := token.(string); ok && !l.value {
				if l.seen[key] {
					twice = append(twice, key)
				}
				l.seen[key] = true
			}
			l.value = !l.value
		}
		if start, ok := token.(json.Delim); ok {
			open = append(open, &level{object: start == '{', seen: map[string]bool{}})
		}
	}
}
