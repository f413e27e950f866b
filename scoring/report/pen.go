package report

import (
	"strings"
	"time"

	"traystage/scoring"
	"traystage/scoring/instrument"
	"traystage/scoring/report/document"
	"traystage/scoring/words"
	"traystage/vision/note"
)

// pen writes in one language.
type pen struct{ *words.Catalogue }

// penOf writes in a language; in that of words.Default for nil.
func penOf(w *words.Catalogue) pen {
	if w == nil {
		w = words.For(words.Default)
	}
	return pen{w}
}

// penOn is penOf for what is told on a day: days of other years have theirs.
func penOn(w *words.Catalogue, today time.Time) pen { return pen{penOf(w).On(today)} }

// quantity is the name of a quantity.
func (p pen) quantity(q scoring.Quantity) string { return p.Term("quantity", string(q)) }

// named is a quantity with its unit: "firmness, lbf".
func (p pen) named(q scoring.Quantity, unit string) string { return join(", ", p.quantity(q), unit) }

// state is how a block stands; programs are given the code.
func (p pen) state(s scoring.State) document.Cell {
	return document.Term(p.Term("state", string(s)), string(s))
}

// said is what notes say, in a cell.
func (p pen) said(notes ...note.Note) document.Cell {
	return document.Said(strings.Join(p.SayAll(notes), "; "), p.Spoken(notes...))
}

// list is a list of notes.
func (p pen) list(key, title string, notes []note.Note) document.List {
	return document.List{Key: key, Title: title, Items: p.SayAll(notes), Notes: p.Spoken(notes...)}
}

// by says who did it; empty where nobody is named.
func (p pen) by(initials string) string {
	if initials == "" {
		return ""
	}
	return p.Text("under.by", note.Name("by", initials))
}

// stages is an interval of stages.
func stages(low, high float64) document.Cell {
	return document.Between(document.Number(low, 1), document.Number(high, 1))
}

// digits is with how many a figure of a quantity is told, as package scoring
// tells it.
func digits(q scoring.Quantity, unit string) int {
	switch {
	case q == scoring.StainedOf || q == scoring.ClearOf || q == scoring.RedOf:
		return 0
	case q == scoring.StreifOf && strings.HasPrefix(unit, string(instrument.KilogramForce)):
		return 3
	case q == scoring.StreifOf:
		return 2
	}
	return 1
}

// join puts words that are not empty together.
func join(between string, all ...string) string {
	var out []string
	for _, w := range all {
		if w != "" {
			out = append(out, w)
		}
	}
	return strings.Join(out, between)
}
