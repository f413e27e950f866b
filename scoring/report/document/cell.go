package document

import (
	"math"
	"strconv"
	"strings"
	"time"
)

// Cell is one value: as people read it, and as programs take it. The zero Cell
// is empty.
type Cell struct {
	text   string
	value  any // nil, string, bool, int, float64, time.Time
	high   *Cell
	digits int  // decimals that people are shown
	signed bool // shown with its sign
	strong bool // set apart, in bold
}

// Word is a cell of text.
func Word(text string) Cell {
	if text == "" {
		return Cell{}
	}
	return Cell{text: text, value: text}
}

// Count is a whole number.
func Count(n int) Cell { return Cell{text: strconv.Itoa(n), value: n} }

// Number is a figure shown with a number of decimals, 0 to 3. Unknown where it is
// not finite.
func Number(x float64, digits int) Cell {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return Unknown()
	}
	return Cell{text: Decimal(x, digits), value: x, digits: digits}
}

// Margin is a Number with its sign, also where it is positive, and with more
// decimals where it would read as none and is not.
func Margin(x float64, digits int) Cell {
	for most := min(digits+2, 3); digits < most && x != 0 && shown(x, digits) == 0; {
		digits++
	}
	c := Number(x, digits)
	if c.value != nil {
		c.signed = true
		c.text = strings.Replace(c.text, "-", minus, 1)
		if shown(x, digits) > 0 {
			c.text = "+" + c.text
		}
	}
	return c
}

const minus = "−"

// Between is an interval of two figures or days.
func Between(low, high Cell) Cell {
	c := low
	c.high = &high
	switch {
	case low.value == nil && high.value == nil:
		c.text = low.text
	case low.value == nil:
		c.text = "up to " + high.text
	case high.value == nil:
		c.text = "from " + low.text
	default:
		c.text = low.text + " to " + high.text
	}
	return c
}

// Day is a day of the calendar; the zero time is unknown.
func Day(t time.Time) Cell {
	if t.IsZero() {
		return Unknown()
	}
	return Cell{text: t.Format("2 Jan 2006"), value: t}
}

// ShortDay is a Day whose year goes without saying.
func ShortDay(t time.Time) Cell {
	c := Day(t)
	if c.value != nil {
		c.text = t.Format("2 Jan")
	}
	return c
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
func Unknown() Cell { return Cell{text: "–"} }

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
func (c Cell) plain() string {
	switch v := c.value.(type) {
	case nil:
		return ""
	case float64:
		return Decimal(v, c.digits)
	case time.Time:
		return v.Format(time.DateOnly)
	case bool:
		if v {
			return "yes"
		}
		return "no"
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
	return low, high
}

// Decimal is a figure as people read it, with a number of decimals, 0 to 3. It
// rounds the thousandth that programs are given, halves away from zero, so that
// a page and the figures behind it always tell the same.
func Decimal(x float64, digits int) string {
	return strconv.FormatFloat(shown(x, digits), 'f', digits, 64)
}

// shown is the number that Decimal prints.
func shown(x float64, digits int) float64 {
	power := math.Pow10(digits)
	y := math.Round(math.Round(1000*x)/math.Pow10(3-digits)) / power
	if y == 0 {
		return 0 // without the sign of a tiny negative
	}
	return y
}

// thousandth is the number that programs are given.
func thousandth(x float64) float64 {
	y := math.Round(1000*x) / 1000
	if y == 0 {
		return 0
	}
	return y
}
