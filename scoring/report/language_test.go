package report

import (
	"encoding/json"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"

	"traystage/scoring/report/document"
	"traystage/scoring/words"
)

// documentsIn are all documents there are, of the invented orchard, in a language.
func documentsIn(t *testing.T, tag string) map[string]document.Document {
	t.Helper()
	w := words.For(tag)
	o, b, plan := larkfieldOutlook(t), northBlock(t), larkfieldPlan()
	o.Words, b.Words, plan.Words = w, w, w
	outlook, err1 := o.Document()
	block, err2 := b.Document()
	tray, err3 := Tray{Report: larkfield(), Pictures: pictures(), Words: w}.Document()
	for _, err := range []error{err1, err2, err3} {
		if err != nil {
			t.Fatal(err)
		}
	}
	return map[string]document.Document{
		"outlook": outlook, "block": block, "tray": tray, "plan": plan.Document(),
		"sheet": FieldSheet{Block: north3, Printed: plan.Day, Fruit: 10, Unit: "lbf", Words: w}.Document(),
	}
}

// Every form can be written in every language.
func TestEveryFormInEveryLanguage(t *testing.T) {
	for _, tag := range words.Tags() {
		for name, d := range documentsIn(t, tag) {
			for form, write := range document.Forms() {
				if out := written(t, write, d); len(out) == 0 {
					t.Errorf("%s as %s in %s: nothing", name, form, tag)
				}
			}
			if name != "sheet" && tag != words.Default {
				golden(t, name+"."+tag+".txt", written(t, document.WriteText, d))
			}
		}
	}
}

// leftover finds English words that no name of the invented orchard, no source
// and no figure has.
var leftover = regexp.MustCompile(`(?i)\b(the|with|which|is|are|sample|fruit|stage|window|market|yet|not|mean)\b`)

// allowed are English words in what somebody called something.
var allowed = []string{"Far Orchard by the brook", "invented standards", "invented for this test; not for use in an orchard", "soft\" on one side", "the stain runs along the core",
	"Starch Index Scale", "How is fresh apple fruit pressure measured", "Apple maturity in Montana", "Guidance on Objective Tests", "fruit pressure"}

// What is told in Spanish holds no English.
func TestSpanishIsSpanish(t *testing.T) {
	for name, d := range documentsIn(t, "es") {
		text := ""
		for _, n := range nodes(t, written(t, document.WriteHTML, d)) {
			if slices.Contains([]string{"p", "li", "td", "th", "h1", "h2", "h3", "dt", "dd", "figcaption", "caption"}, n.Data) {
				text += "\n" + wordsOf(n)
			}
			for _, said := range []string{"alt", "aria-label", "data-label"} {
				if label, ok := attr(n, said); ok {
					text += "\n" + label
				}
			}
		}
		for _, phrase := range allowed {
			text = strings.ReplaceAll(text, phrase, "")
		}
		for _, line := range strings.Split(text, "\n") {
			if found := leftover.FindString(line); found != "" {
				t.Errorf("%s: %q in %q", name, found, line)
			}
		}
	}
}

// Programs are given the same figures and codes in every language.
func TestJSONFiguresAreTheSameInEveryLanguage(t *testing.T) {
	for name, d := range documentsIn(t, words.Default) {
		want := figuresOf(t, d)
		for _, tag := range words.Tags() {
			if got := figuresOf(t, documentsIn(t, tag)[name]); !slices.Equal(got, want) {
				for i := range min(len(got), len(want)) {
					if got[i] != want[i] {
						t.Fatalf("%s in %s: %s, in %s %s", name, tag, got[i], words.Default, want[i])
					}
				}
				t.Errorf("%s in %s: %d figures, %d in %s", name, tag, len(got), len(want), words.Default)
			}
		}
	}
}

// figuresOf are all values of a document's JSON but its sentences, with the
// names that they stand under.
func figuresOf(t *testing.T, d document.Document) []string {
	t.Helper()
	var all any
	if err := json.Unmarshal(written(t, document.WriteJSON, d), &all); err != nil {
		t.Fatal(err)
	}
	var out []string
	var walk func(at string, v any)
	walk = func(at string, v any) {
		switch v := v.(type) {
		case map[string]any:
			for _, key := range slices.Sorted(maps.Keys(v)) {
				walk(at+"/"+key, v[key])
			}
		case []any:
			for _, item := range v {
				walk(at+"/", item)
			}
		case string:
			if codes.MatchString(at) {
				out = append(out, at+" "+v)
			}
		default:
			text, _ := json.Marshal(v)
			out = append(out, at+" "+string(text))
		}
	}
	walk("", all)
	return out
}

// codes are the names below which JSON has codes, days and names rather than
// sentences.
var codes = regexp.MustCompile(`/(code|state|verdict|block|variety|market|day|next|opens|closes|due|last|picked|turn|term|name|check|what|passed|calibrated)$`)
