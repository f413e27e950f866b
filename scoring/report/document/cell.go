package document

import (
	"math"
	"strconv"
	"time"

	"traystage/scoring/words"
	"traystage/vision/note"
)

// Cell is one value: as people read it, and as programs take it. The zero Cell
// is empty.
type Cell struct {
	text   string // in English, or in the language of its document once that is told
	shown  manner
	value  any // nil, string, bool, int, float64, time.Time
	high   *Cell
	digits int  // decimals that people are shown
	strong bool // set apart, in bold
	notes  []words.Spoken
}

// manner is how a value is put into words.
type manner int

const (
	asText manner = iota // as it was given
	asNumber
	asSigned
	asDay
	asShortDay
)

// Word is a cell of text.
func Word(text string) Cell {
	if text == "" {
		return Cell{}
	}
	return Cell{text: text, value: text}
}

// Term is a word of the reader's language that programs are given as a code.
func Term(text, code string) Cell {
	if code == "" {
		return Cell{}
	}
	return Cell{text: text, value: code}
}

// Said is what notes say, in a cell of a column with Noted.
func Said(text string, notes []words.Spoken) Cell {
	c := Word(text)
	c.notes = notes
	return c
}

// Count is a whole number.
func Count(n int) Cell { return Cell{text: strconv.Itoa(n), value: n} }

// Number is a figure shown with a number of decimals, 0 to 3. Unknown where it is
// not finite.
func Number(x float64, digits int) Cell {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return Unknown()
	}
	return Cell{shown: asNumber, value: x, digits: digits}.in(english)
}

// Margin is a Number with its sign, also where it is positive, and with more
// decimals where it would read as none and is not.
func Margin(x float64, digits int) Cell {
	for most := min(digits+2, 3); digits < most && x != 0 && words.Shown(x, digits) == 0; {
		digits++
	}
	c := Number(x, digits)
	if c.value != nil {
		c.shown = asSigned
	}
	return c.in(english)
}

// Between is an interval of two figures or days.
func Between(low, high Cell) Cell {
	c := low
	c.high = &high
	return c.in(english)
}

// Day is a day of the calendar; the zero time is unknown.
func Day(t time.Time) Cell {
	if t.IsZero() {
		return Unknown()
	}
	return Cell{shown: asDay, value: t}.in(english)
}

// ShortDay is a Day whose year goes without saying.
func ShortDay(t time.Time) Cell {
	c := Day(t)
	if c.value != nil {
		c.shown = asShortDay
	}
	return c.in(english)
}

// Yes is a truth: text where it holds, empty to the eye where it does not.
func Yes(holds bool, text string) Cell {
	c := Cell{value: holds}
	if holds {
		c.text = text
	}
	return c
}

// Unknown is a value that is not known.
func Unknown() Cell { return Cell{text: unknown} }

const unknown = "–"

var english = words.For(words.Default)

// in is the cell in a language.
func (c Cell) in(w *words.Catalogue) Cell {
	switch v := c.value.(type) {
	case float64:
		c.text = w.Number(v, c.digits)
		if c.shown == asSigned {
			c.text = w.Signed(v, c.digits)
		}
	case time.Time:
		c.text = w.MediumDay(v)
		if c.shown == asShortDay {
			c.text = w.ShortDay(v)
		}
	}
	if c.high != nil {
		c = c.between(c, c.high.in(w), w)
	}
	return c
}

// between puts the two ends of an interval together.
func (c Cell) between(low, high Cell, w *words.Catalogue) Cell {
	c.high = &high
	from, to := note.Name("low", low.text), note.Name("high", high.text)
	switch {
	case low.value == nil && high.value == nil:
	case low.value == nil:
		c.text = w.Text("cell.up_to", to)
	case high.value == nil:
		c.text = w.Text("cell.from", from)
	default:
		c.text = w.Text("cell.between", from, to)
	}
	return c
}

// Strong is the cell set apart.
func Strong(c Cell) Cell {
	c.strong = true
	return c
}

// String is the cell as people read it.
func (c Cell) String() string { return c.text }

// Empty says whether the cell tells nothing.
func (c Cell) Empty() bool { return c.value == nil && (c.high == nil || c.high.value == nil) }

// plain is the figure for CSV: as people read it, with a point and a hyphen,
// days as year-month-day, truths as yes and no; empty where nothing is known.
func (c Cell) plain(w *words.Catalogue) string {
	switch v := c.value.(type) {
	case nil:
		return ""
	case float64:
		return strconv.FormatFloat(words.Shown(v, c.digits), 'f', c.digits, 64)
	case time.Time:
		return v.Format(time.DateOnly)
	case bool:
		if v {
			return w.Text("cell.yes")
		}
		return w.Text("cell.no")
	}
	return c.text
}

// split gives the two ends of an interval; both unknown for a cell without.
func (c Cell) split() (low, high Cell) {
	if c.high == nil {
		return Cell{}, Cell{}
	}
	low, high = c, *c.high
	low.high = nil
	return low.in(english), high
}

// millionth is the number that programs are given: all that was measured, without
// the digits that only a computer's fractions have.
func millionth(x float64) float64 {
	y := math.Round(1e6*x) / 1e6
	if y == 0 {
		return 0
	}
	return y
}
