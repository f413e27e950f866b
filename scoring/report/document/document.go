package document

import (
	"io"
	"slices"
	"time"

	"traystage/scoring/words"
)

// Document is a report ready to be rendered.
type Document struct {
	Words *words.Catalogue // the language that it is told in; nil for English

	Kind  string    // what it is, for programs: "block report"
	Name  string    // the same for people
	Title string    // what it is about
	Under string    // line below the title; may be empty
	Day   time.Time // the day it was made for; PDF and spreadsheet carry it as their date
	By    string    // name and version of the program

	Sections []Section
	Last     string // closing sentence; may be empty
}

// told is the document with its cells in its language.
func (d Document) told() Document {
	if d.Words == nil {
		d.Words = english
	}
	if d.Name == "" {
		d.Name = d.Kind
	}
	sections := d.Sections
	d.Sections = nil
	for _, s := range sections {
		parts := s.Parts
		s.Parts = nil
		for _, p := range parts {
			s.Parts = append(s.Parts, p.in(d.Words))
		}
		d.Sections = append(d.Sections, s)
	}
	return d
}

// Section is a heading with what stands below it.
type Section struct {
	Key   string // name for programs: "decision"
	Title string
	Sheet string // spreadsheet's sheet that its figures stand on; empty for none
	Brief bool   // it is shown on the terminal too
	Boxed bool   // it stands in a box
	Parts []Part
}

// With gives the section with those of the parts added that show something.
func (s Section) With(parts ...Part) Section {
	for _, part := range parts {
		if !part.empty() {
			s.Parts = append(s.Parts, part)
		}
	}
	return s
}

// Part is one of Order, Answer, Facts, Table, List, Text, Figures and Cards.
type Part interface {
	kind() string
	empty() bool
	in(*words.Catalogue) Part // with its cells in a language
}

// Order is what the reader is to do, in one sentence, with why.
type Order struct {
	Key   string // for programs, with Note below Key_note
	Label string // as a heading for programs' tables
	Text  string
	Why   []string
	Note  words.Spoken
}

// Answer is what the reader came for, in large letters.
type Answer struct {
	Key    string // of the answer, for programs
	Label  string // what is answered, as a heading for programs' tables
	Answer Cell
	Beside string // what goes with it: the days of a window
	Small  string // in smaller letters below Beside
}

// Facts are named values.
type Facts struct {
	Facts []Fact
	Large bool // figures to be seen at a glance
}

// Fact is one named value.
type Fact struct {
	Key   string
	Label string
	Value Cell
	Note  string // said behind the value; may be empty
}

// Table is rows of cells under headings.
type Table struct {
	Key     string
	Caption string
	Columns []Column
	Rows    [][]Cell // each as long as Columns
	Foot    [][]Cell // rows set apart at the end, such as a mean
	Empty   string   // what stands in the place of a table without rows; empty leaves the table out
	Cards   bool     // on a phone each row is a card
	Ruled   float64  // height of the rows in mm, with a grid: a sheet to be filled in by hand; 0 for print
}

// seen is the table as people are shown it: without the columns that hold nothing
// for their eyes. Sheets to be filled in keep theirs.
func (t Table) seen() Table {
	if t.Ruled > 0 || len(t.Rows) == 0 {
		return t
	}
	var keep []int
	for i := range t.Columns {
		holds := func(row []Cell) bool { return row[i].text != "" && row[i].text != unknown }
		if i == 0 || slices.ContainsFunc(t.Rows, holds) {
			keep = append(keep, i)
		}
	}
	of := func(row []Cell) []Cell {
		var out []Cell
		for _, i := range keep {
			out = append(out, row[i])
		}
		return out
	}
	columns := t.Columns
	t.Columns = nil
	for _, i := range keep {
		t.Columns = append(t.Columns, columns[i])
	}
	for _, rows := range []*[][]Cell{&t.Rows, &t.Foot} {
		all := *rows
		*rows = nil
		for _, row := range all {
			*rows = append(*rows, of(row))
		}
	}
	return t
}

// Column is one column of a table.
type Column struct {
	Key   string // name for programs
	Head  string // heading, without unit
	Unit  string // of all its figures; empty for none or where it differs by row
	Kind  ColumnKind
	Place bool    // on a card it stands before the next column, as the heading of both
	Noted bool    // its cells say notes: programs are given these too, below the key with _notes behind
	Wide  float64 // share of the width on paper where cells are empty; 0 takes the width of the text
}

// ColumnKind says how the cells of a column are set.
type ColumnKind int

const (
	Figure   ColumnKind = iota // to the right
	Words                      // to the left, broken where long
	Interval                   // two figures: "3.1 to 3.7", two columns for programs
)

// heading is the heading with its unit.
func (c Column) heading() string {
	if c.Unit == "" {
		return c.Head
	}
	return c.Head + ", " + c.Unit
}

// List is a list of sentences.
type List struct {
	Key   string
	Title string // may be empty
	Items []string
	Notes []words.Spoken // the items as notes, for programs; empty where they are none
	Alarm bool           // things that must not be overlooked
}

// Cards are things shown one beside the other, each with its pictures and what is
// to be said of it.
type Cards struct{ Cards []Card }

// Card is one of them.
type Card struct {
	Title   string
	Figures []Drawing // side by side
	Items   []string
	Marked  bool // to be looked at
}

// Text is a paragraph.
type Text struct{ Text string }

// Figures are charts and pictures side by side where there is room.
type Figures struct{ Figures []Drawing }

// Drawing is one chart or picture.
type Drawing struct {
	Chart   *Chart // or
	Picture []byte // JPEG or PNG
	Name    string // names it in errors: "the tray of 14 September"
	Spoken  string // the same in words, for those who do not see it
	Caption string
	Wide    bool // takes the width of the page
	Own     bool // set apart from those beside it
}

func (Order) kind() string   { return "order" }
func (Answer) kind() string  { return "answer" }
func (Facts) kind() string   { return "facts" }
func (Table) kind() string   { return "table" }
func (List) kind() string    { return "list" }
func (Text) kind() string    { return "text" }
func (Figures) kind() string { return "figures" }
func (Cards) kind() string   { return "cards" }

func (o Order) empty() bool   { return o.Text == "" }
func (a Answer) empty() bool  { return a.Answer.Empty() }
func (f Facts) empty() bool   { return len(f.Facts) == 0 }
func (t Table) empty() bool   { return len(t.Rows)+len(t.Foot) == 0 && t.Empty == "" }
func (l List) empty() bool    { return len(l.Items) == 0 }
func (t Text) empty() bool    { return t.Text == "" }
func (f Figures) empty() bool { return len(f.Figures) == 0 }
func (c Cards) empty() bool   { return len(c.Cards) == 0 }

func (o Order) in(*words.Catalogue) Part   { return o }
func (l List) in(*words.Catalogue) Part    { return l }
func (t Text) in(*words.Catalogue) Part    { return t }
func (f Figures) in(*words.Catalogue) Part { return f }
func (c Cards) in(*words.Catalogue) Part   { return c }

func (a Answer) in(w *words.Catalogue) Part {
	a.Answer = a.Answer.in(w)
	return a
}

func (f Facts) in(w *words.Catalogue) Part {
	facts := f.Facts
	f.Facts = nil
	for _, fact := range facts {
		fact.Value = fact.Value.in(w)
		f.Facts = append(f.Facts, fact)
	}
	return f
}

func (t Table) in(w *words.Catalogue) Part {
	rows := func(rows [][]Cell) [][]Cell {
		var out [][]Cell
		for _, row := range rows {
			told := make([]Cell, len(row))
			for i, c := range row {
				told[i] = c.in(w)
			}
			out = append(out, told)
		}
		return out
	}
	t.Rows, t.Foot = rows(t.Rows), rows(t.Foot)
	return t
}

// Forms gives the writers by the ending of the files that they write.
func Forms() map[string]func(io.Writer, Document) error {
	return map[string]func(io.Writer, Document) error{
		"txt": WriteText, "html": WriteHTML, "pdf": WritePDF, "csv": WriteCSV, "xlsx": WriteXLSX, "json": WriteJSON,
	}
}
