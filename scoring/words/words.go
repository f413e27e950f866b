// Package words puts what the program says into words: notes, the terms of the
// trade, headings, numbers and days, each in the reader's language.
//
// A language is one file, such as en.json: how it writes numbers and days, and
// under a key for each thing to be said a sentence with the names of its figures in
// braces. What depends on a number or on a term is an object of sentences:
//
//	"photo.taken": "taken on {day:long}",
//	"days.old": {"by": "n", "one": "a day old", "other": "{n} days old"}
//
// by names the figure that decides, n where it is left out: a count, or a list by
// its length, by the plural forms of the language (CLDR), a term by its code.
// Another language is one more file; the tests hold all of them to the same keys
// and figures.
package words

import (
	"embed"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"

	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"

	"traystage/vision/note"
)

// Default is the language of those who ask for none that is known.
const Default = "en"

//go:embed *.json
var files embed.FS

// Catalogue says things in one language. It is not changed after it was read and
// may be used by several callers at once.
type Catalogue struct {
	tag      string
	plurals  language.Tag
	form     form
	messages map[string]message
	year     int // that goes without saying; 0 where all do
}

// On is the catalogue for what is said on a day: days of other years are told with theirs.
func (c *Catalogue) On(today time.Time) *Catalogue {
	if today.IsZero() {
		return c
	}
	on := *c
	on.year = today.Year()
	return &on
}

// form is how a language writes numbers, days and lists.
type form struct {
	Name        string   `json:"name"` // of the language, in itself
	Decimal     string   `json:"decimal"`
	Months      []string `json:"months"`
	ShortMonths []string `json:"short months"`
	Days        struct { // with {d}, {month}, {mon} and {y}
		Plain  string `json:"plain"`  // in sentences: 14 September
		Short  string `json:"short"`  // in tables: 14 Sep
		Medium string `json:"medium"` // 14 Sep 2026
		Long   string `json:"long"`   // 14 September 2026
	} `json:"days"`
	And string `json:"and"` // before the last of a list
	Or  string `json:"or"`  // before the last of a choice
	// Before gives And or Or another form before words that begin so: in Spanish y
	// is e before i and hi.
	Before  map[string]map[string]string `json:"before"`
	Run     string                       `json:"run"`     // three numbers or more in a row, with {from} and {to}
	Percent string                       `json:"percent"` // with {n}
}

// all reads every language once. A fault in a file is a fault of the program, and
// every test would show it.
var all = sync.OnceValue(func() map[string]*Catalogue {
	out := map[string]*Catalogue{}
	entries, err := files.ReadDir(".")
	if err != nil {
		panic(err)
	}
	for _, e := range entries {
		text, err := files.ReadFile(e.Name())
		if err != nil {
			panic(err)
		}
		tag := strings.TrimSuffix(e.Name(), ".json")
		if out[tag], err = parse(tag, text); err != nil {
			panic(fmt.Sprintf("words: %s: %v", e.Name(), err))
		}
	}
	return out
})

// parse reads the file of one language.
func parse(tag string, text []byte) (*Catalogue, error) {
	plurals, err := language.Parse(tag)
	if err != nil {
		return nil, err
	}
	var file struct {
		Form  form               `json:"form"`
		Words map[string]message `json:"words"`
	}
	if err := json.Unmarshal(text, &file); err != nil {
		return nil, err
	}
	return &Catalogue{tag: tag, plurals: plurals, form: file.Form, messages: file.Words}, nil
}

// For gives the catalogue of a language by its tag, such as "es" or "es-CL" or
// "es_CL.UTF-8"; that of Default where it is not known.
func For(tag string) *Catalogue {
	if c, ok := find(tag); ok {
		return c
	}
	return all()[Default]
}

// Known says whether there are words in the language of a tag.
func Known(tag string) bool {
	_, ok := find(tag)
	return ok
}

func find(tag string) (*Catalogue, bool) {
	base, _, _ := strings.Cut(strings.ToLower(tag), ".")
	base, _, _ = strings.Cut(strings.ReplaceAll(base, "_", "-"), "-")
	c, ok := all()[base]
	return c, ok
}

// Tags lists the languages that are known, by their tags, Default first.
func Tags() []string {
	out := []string{Default}
	for tag := range all() {
		if tag != Default {
			out = append(out, tag)
		}
	}
	slices.Sort(out[1:])
	return out
}

// Tag is the language's tag: "es".
func (c *Catalogue) Tag() string { return c.tag }

// Name is the language's name in itself: "español".
func (c *Catalogue) Name() string { return c.form.Name }

// Say puts a note into words, without capital or full stop. A note whose code is
// not known, as from a later program, is told by its code and figures.
func (c *Catalogue) Say(n note.Note) string {
	switch {
	case n.IsZero():
		return ""
	case !c.Has(string(n.Code)):
		return n.String()
	}
	return c.Text(string(n.Code), n.With...)
}

// SayAll puts notes into words, in their order.
func (c *Catalogue) SayAll(notes []note.Note) []string {
	var out []string
	for _, n := range notes {
		out = append(out, c.Say(n))
	}
	return out
}

// Advice is what can be done about what the note says; empty where there is
// nothing to add.
func (c *Catalogue) Advice(n note.Note) string {
	key := string(n.Code) + advice
	if n.IsZero() || !c.Has(key) {
		return ""
	}
	return c.Text(key, n.With...)
}

// advice ends the key of what can be done about a note.
const advice = ".advice"

// Term is a word of the trade: of the family "quantity" and the code "firmness".
func (c *Catalogue) Term(family, code string) string {
	if code == "" {
		return ""
	}
	return c.Text(family + "." + code)
}

// Keys lists the keys that begin so, in order.
func (c *Catalogue) Keys(prefix string) []string {
	var out []string
	for key := range c.messages {
		if strings.HasPrefix(key, prefix) {
			out = append(out, key)
		}
	}
	slices.Sort(out)
	return out
}

// Has says whether there are words for a key.
func (c *Catalogue) Has(key string) bool {
	_, ok := c.messages[key]
	return ok
}

// Text gives the words of a key with these figures in their places. What is
// missing stays to be seen: a key without words, or a figure's name in braces.
func (c *Catalogue) Text(key string, with ...note.Value) string {
	m, ok := c.messages[key]
	if !ok {
		return key
	}
	return m.fill(c, with)
}

// pluralForm is the form of a language for so many things: one, few, many, other.
func (c *Catalogue) pluralForm(n int) string {
	forms := map[plural.Form]string{plural.Zero: "zero", plural.One: "one", plural.Two: "two", plural.Few: "few", plural.Many: "many"}
	if f, ok := forms[plural.Cardinal.MatchPlural(c.plurals, max(n, -n), 0, 0, 0, 0)]; ok {
		return f
	}
	return other
}
