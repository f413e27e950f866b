// Package note holds what is to be said about a measurement as a value: a code
// with its figures. The words are made where it is shown, in the reader's
// language, by package scoring/words.
//
// A Note is made by New from a Code and Values. Values are typed, because their
// words are: a stage has one decimal, a share is told in per cent, a day as the
// language writes it. A Note is kept as JSON and read back exactly; Equal
// compares two, Key makes one that maps can hold.
//
// The package says nothing itself, and knows nothing but the standard library.
package note

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
)

// Code names one thing that can be said, such as "photo.glare": what it is about,
// a point, what it says. A code once given keeps its meaning, because notes are
// stored.
type Code string

// Said is the code of words that a person wrote, or that were stored before notes
// had codes. They are shown as they are, in whatever language.
const Said Code = "said"

// Note is one thing said. The zero Note says nothing.
type Note struct {
	Code Code
	With []Value // in order of name, each name once
}

// New is a note with its values. Of two with one name the later counts.
func New(code Code, with ...Value) Note {
	n := Note{Code: code}
	for _, v := range with {
		n = n.And(v)
	}
	return n
}

// Quote is the note that says the words of others.
func Quote(text string) Note { return New(Said, Name("text", text)) }

// And gives the note with one more value.
func (n Note) And(v Value) Note {
	at, found := slices.BinarySearchFunc(n.With, v.Name, func(have Value, name string) int { return cmp.Compare(have.Name, name) })
	n.With = slices.Clone(n.With)
	if found {
		n.With[at] = v
	} else {
		n.With = slices.Insert(n.With, at, v)
	}
	return n
}

// Value gives the value of a name.
func (n Note) Value(name string) (Value, bool) {
	for _, v := range n.With {
		if v.Name == name {
			return v, true
		}
	}
	return Value{}, false
}

// IsZero says whether the note says nothing.
func (n Note) IsZero() bool { return n.Code == "" }

// Equal says whether two notes say the same.
func (n Note) Equal(o Note) bool {
	return n.Code == o.Code && slices.EqualFunc(n.With, o.With, Value.Equal)
}

// Key is a text that is the same for equal notes and for no others, so that maps
// can hold notes.
func (n Note) Key() string {
	text, err := n.MarshalJSON()
	if err != nil {
		return n.String()
	}
	return string(text)
}

// String is the note for those who look for a fault: "call.straddles(target 4.5)".
func (n Note) String() string {
	if len(n.With) == 0 {
		return string(n.Code)
	}
	var with []string
	for _, v := range n.With {
		with = append(with, v.Name+" "+v.String())
	}
	return fmt.Sprintf("%s(%s)", n.Code, strings.Join(with, ", "))
}

// Has says whether one of the notes has the code.
func Has(notes []Note, code Code) bool {
	return slices.ContainsFunc(notes, func(n Note) bool { return n.Code == code })
}

// Same says whether two lists say the same in the same order.
func Same(a, b []Note) bool { return slices.EqualFunc(a, b, Note.Equal) }

// Once gives each note once, in the order in which they came.
func Once(notes ...Note) []Note {
	var out []Note
	for _, n := range notes {
		if !n.IsZero() && !slices.ContainsFunc(out, n.Equal) {
			out = append(out, n)
		}
	}
	return out
}

// Kind says what a value is, and so how it is put into words.
type Kind string

const (
	StageKind  Kind = "stage"  // Number: position on a scale
	FigureKind Kind = "figure" // Number with Digits decimals, in Unit
	ShareKind  Kind = "share"  // Number: fraction in [0, 1], told in per cent
	CountKind  Kind = "count"  // Number: a whole number of things
	DayKind    Kind = "day"    // Day
	NameKind   Kind = "name"   // Text: as someone called it
	TermKind   Kind = "term"   // Text: key of a word of the trade, such as "quantity.firmness"
	NamesKind  Kind = "names"  // Texts
	TermsKind  Kind = "terms"  // Texts: keys of words
	CountsKind Kind = "counts" // Numbers: whole numbers in order, such as those of fruit
	NotesKind  Kind = "notes"  // Notes: said within
)

// Value is one value of a note. Which fields count is told by Kind.
type Value struct {
	Name    string
	Kind    Kind
	Number  float64
	Digits  int
	Unit    string
	Text    string
	Texts   []string
	Numbers []int
	Notes   []Note
	Day     time.Time // midnight UTC
}

// Stage is a position on the scale of a reference set.
func Stage(name string, stage float64) Value {
	return Value{Name: name, Kind: StageKind, Number: stage}
}

// Figure is a measured figure, told with so many decimals and its unit; the unit
// is empty for none.
func Figure(name string, x float64, digits int, unit string) Value {
	return Value{Name: name, Kind: FigureKind, Number: x, Digits: digits, Unit: valid(unit)}
}

// Share is a fraction in [0, 1].
func Share(name string, fraction float64) Value {
	return Value{Name: name, Kind: ShareKind, Number: fraction}
}

// Count is a whole number of fruit, days, sets or the like.
func Count(name string, n int) Value { return Value{Name: name, Kind: CountKind, Number: float64(n)} }

// Day is a day of the calendar.
func Day(name string, day time.Time) Value {
	y, m, d := day.UTC().Date()
	return Value{Name: name, Kind: DayKind, Day: time.Date(y, m, d, 0, 0, 0, 0, time.UTC)}
}

// Name is what someone called a thing: a block, a market, a file.
func Name(name, text string) Value { return Value{Name: name, Kind: NameKind, Text: valid(text)} }

// Names are several of them; their order is kept.
func Names(name string, texts []string) Value {
	v := Value{Name: name, Kind: NamesKind}
	for _, text := range texts {
		v.Texts = append(v.Texts, valid(text))
	}
	return v
}

// Term is a word of the trade by its family and code, such as "quantity" and
// "firmness".
func Term[T ~string](name, family string, code T) Value {
	return Value{Name: name, Kind: TermKind, Text: valid(family + "." + string(code))}
}

// Terms are several words of one family.
func Terms[T ~string](name, family string, codes []T) Value {
	v := Value{Name: name, Kind: TermsKind}
	for _, code := range codes {
		v.Texts = append(v.Texts, valid(family+"."+string(code)))
	}
	return v
}

// Counts are whole numbers, such as those of fruit.
func Counts(name string, numbers []int) Value {
	return Value{Name: name, Kind: CountsKind, Numbers: slices.Clone(numbers)}
}

// Notes are what is said within a note, such as why it holds.
func Notes(name string, notes ...Note) Value {
	return Value{Name: name, Kind: NotesKind, Notes: slices.Clone(notes)}
}

// valid is text that JSON can hold as it is.
func valid(text string) string { return strings.ToValidUTF8(text, "\uFFFD") }

// Size is the number that decides between one and many: of a count itself, of a
// list its length. It is false for what is neither.
func (v Value) Size() (int, bool) {
	switch v.Kind {
	case CountKind:
		return int(v.Number), true
	case NamesKind, TermsKind:
		return len(v.Texts), true
	case CountsKind:
		return len(v.Numbers), true
	case NotesKind:
		return len(v.Notes), true
	}
	return 0, false
}

// Equal says whether two values are the same, to the last digit.
func (v Value) Equal(o Value) bool {
	return v.Name == o.Name && v.Kind == o.Kind && v.Digits == o.Digits && v.Unit == o.Unit && v.Text == o.Text &&
		(v.Number == o.Number || math.IsNaN(v.Number) && math.IsNaN(o.Number)) && v.Day.Equal(o.Day) &&
		slices.Equal(v.Texts, o.Texts) && slices.Equal(v.Numbers, o.Numbers) && slices.EqualFunc(v.Notes, o.Notes, Note.Equal)
}

// String is the value for those who look for a fault.
func (v Value) String() string {
	switch v.Kind {
	case NameKind, TermKind:
		return fmt.Sprintf("%q", v.Text)
	case NamesKind, TermsKind:
		return fmt.Sprintf("%q", v.Texts)
	case CountsKind:
		return fmt.Sprint(v.Numbers)
	case NotesKind:
		return fmt.Sprint(v.Notes)
	case DayKind:
		return v.Day.Format(time.DateOnly)
	}
	return strings.TrimSpace(fmt.Sprintf("%v %s", v.Number, v.Unit))
}
