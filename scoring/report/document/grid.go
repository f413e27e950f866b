package document

import (
	"strings"

	"traystage/scoring/words"
	"traystage/vision/note"
)

// grid is a rectangle of figures for programs and spreadsheets: a table, or
// facts as names and values. Intervals take two columns in it.
type grid struct {
	sheet   string
	title   string
	columns []Column
	rows    [][]Cell
}

// headings are those of the columns; nil where none has one.
func (g grid) headings() []string {
	var out []string
	some := false
	for _, c := range g.columns {
		out = append(out, c.heading())
		some = some || c.heading() != ""
	}
	if !some {
		return nil
	}
	return out
}

// grids lists everything in the document that is a figure, in its order. An
// answer and the facts of a section are one grid.
func (d Document) grids() []grid { // of a document that is told
	var out []grid
	for _, s := range d.Sections {
		if s.Sheet == "" {
			continue
		}
		facts := -1
		for _, part := range s.Parts {
			g, ok := newGrid(s, part, d.Words)
			switch _, isTable := part.(Table); {
			case !ok:
			case isTable || len(g.columns) == 1:
				out = append(out, g)
			case facts >= 0:
				out[facts].rows = append(out[facts].rows, g.rows...)
			default:
				facts = len(out)
				out = append(out, g)
			}
		}
	}
	return out
}

func factColumns(w *words.Catalogue) []Column {
	return []Column{{Head: w.Text("head.what"), Kind: Words}, {Head: w.Text("head.value"), Kind: Words}, {Head: w.Text("head.note"), Kind: Words}}
}

// newGrid makes the grid of a part; false for one without figures.
func newGrid(s Section, part Part, w *words.Catalogue) (grid, bool) {
	switch p := part.(type) {
	case Order:
		return grid{s.Sheet, s.Title, factColumns(w), [][]Cell{{Word(p.Label), Word(p.Text), Word(strings.Join(p.Why, "; "))}}}, true
	case Answer:
		return grid{s.Sheet, s.Title, factColumns(w), [][]Cell{{Word(p.Label), p.Answer, Word(joined("; ", p.Beside, p.Small))}}}, true
	case Facts:
		rows := make([][]Cell, len(p.Facts))
		for i, f := range p.Facts {
			rows[i] = []Cell{Word(f.Label), f.Value, Word(f.Note)}
		}
		return grid{s.Sheet, s.Title, factColumns(w), rows}, len(rows) > 0
	case List:
		rows := make([][]Cell, len(p.Items))
		for i, item := range p.Items {
			rows[i] = []Cell{Word(item)}
		}
		return grid{s.Sheet, p.Title, []Column{{Kind: Words}}, rows}, len(rows) > 0
	case Table:
		return tableGrid(s, p, w), len(p.Rows)+len(p.Foot) > 0
	}
	return grid{}, false
}

func tableGrid(s Section, t Table, w *words.Catalogue) grid {
	g := grid{sheet: s.Sheet, title: t.Caption}
	for _, c := range t.Columns {
		if c.Kind != Interval {
			g.columns = append(g.columns, c)
			continue
		}
		from, to := c, c
		from.Head, to.Head = w.Text("head.lower", note.Name("head", c.Head)), w.Text("head.upper", note.Name("head", c.Head))
		from.Key, to.Key = c.Key+"_from", c.Key+"_to"
		from.Kind, to.Kind = Figure, Figure
		g.columns = append(g.columns, from, to)
	}
	for _, rows := range [][][]Cell{t.Rows, t.Foot} {
		for _, row := range rows {
			g.rows = append(g.rows, spread(t.Columns, row))
		}
	}
	return g
}

// spread gives intervals a cell for each end.
func spread(columns []Column, row []Cell) []Cell {
	var out []Cell
	for i, c := range row {
		if columns[i].Kind == Interval {
			low, high := c.split()
			out = append(out, low, high)
		} else {
			out = append(out, c)
		}
	}
	return out
}
