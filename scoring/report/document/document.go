package document

import (
	"io"
	"time"
)

// Document is a report ready to be rendered.
type Document struct {
	Kind  string    // what it is, for programs: "block report"
	Title string    // what it is about
	Under string    // line below the title; may be empty
	Day   time.Time // the day it was made for; PDF and spreadsheet carry it as their date
	By    string    // name and version of the program

	Sections []Section
	Last     string // closing sentence; may be empty
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

// Part is one of Answer, Facts, Table, List, Text and Figures.
type Part interface {
	kind() string
	empty() bool
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
	Ruled   float64  // height of the rows in mm, with a grid: a sheet to be filled in by hand; 0 for print
}

// Column is one column of a table.
type Column struct {
	Key  string // name for programs
	Head string // heading, without unit
	Unit string // of all its figures; empty for none or where it differs by row
	Kind ColumnKind
	Wide float64 // share of the width on paper where cells are empty; 0 takes the width of the text
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
	Alarm bool // things that must not be overlooked
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
}

func (Answer) kind() string  { return "answer" }
func (Facts) kind() string   { return "facts" }
func (Table) kind() string   { return "table" }
func (List) kind() string    { return "list" }
func (Text) kind() string    { return "text" }
func (Figures) kind() string { return "figures" }

func (a Answer) empty() bool  { return a.Answer.Empty() }
func (f Facts) empty() bool   { return len(f.Facts) == 0 }
func (t Table) empty() bool   { return len(t.Rows)+len(t.Foot) == 0 && t.Empty == "" }
func (l List) empty() bool    { return len(l.Items) == 0 }
func (t Text) empty() bool    { return t.Text == "" }
func (f Figures) empty() bool { return len(f.Figures) == 0 }

// Forms gives the writers by the ending of the files that they write.
func Forms() map[string]func(io.Writer, Document) error {
	return map[string]func(io.Writer, Document) error{
		"txt": WriteText, "html": WriteHTML, "pdf": WritePDF, "csv": WriteCSV, "xlsx": WriteXLSX, "json": WriteJSON,
	}
}
