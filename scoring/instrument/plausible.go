package instrument

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"traystage/vision/note"
)

// limits are the values between which a reading can be that of an apple.
//
// They are there to catch slips of the pen and wrong units, not to judge fruit:
// all are common practice, no source, set well outside of what is published for
// apples. Published targets of firmness go from 11 to 19 lbf, those of soluble
// solids from 9 to 16 °Brix.
type limits struct {
	low, high float64
	unit      string
	hint      string // what is likely to be wrong
}

var (
	firmnessLimits = limits{2, 40, "lbf", "look for a slip of the pen, and whether the unit is right"}
	brixLimits     = limits{5, 25, "°Brix", "look for a slip of the pen, and wipe the prism"}
	celsiusLimits  = limits{0, 45, "°C", "if it was read in °F, say so, as in 64F"}
	redLimits      = limits{0, 100, "%", "red is the share of the skin in per cent"}
	// Published scales of ground colour begin at 0 or 1 and end at 4, 6 or 10.
	groundLimits = limits{0, 10, "", "name the scale in the heading, as in ground colour (1-4 card)"}
)

func (l limits) check(what string, x float64) error {
	if x >= l.low && x <= l.high { // NaN is not
		return nil
	}
	return &Implausible{what, x, l}
}

// Implausible is why a reading cannot be that of an apple.
type Implausible struct {
	what   string
	value  float64
	limits limits
}

// Error names the figure and its limits, and says what is likely to be wrong.
func (e *Implausible) Error() string {
	l, unit := e.limits, e.limits.unit
	if unit != "" {
		unit = " " + unit
	}
	return fmt.Sprintf("%s %s%s lies outside %s to %s%s; %s", e.what, decimal(e.value), unit, decimal(l.low), decimal(l.high), unit, l.hint)
}

// juiceTemperature is the term of what is read beside the soluble solids.
const juiceTemperature note.Code = "quantity.juice temperature"

// remark is the same as a note.
func (e *Implausible) remark() note.Note {
	unit := e.limits.unit
	return note.New("reading.implausible", note.Term("quantity", "quantity", e.what), asRead("value", e.value, unit),
		asRead("low", e.limits.low, ""), asRead("high", e.limits.high, unit))
}

// Odd says of each reading that cannot be an apple's why.
func Odd(readings []Reading) []note.Note {
	var out []note.Note
	for _, r := range readings {
		var odd *Implausible
		if errors.As(r.Plausible(), &odd) {
			out = append(out, ofFruit([]int{r.Fruit}, odd.remark()))
		}
	}
	return out
}

// Plausible gives the reason why a firmness cannot be that of an apple, nil when it
// can. The tip is another matter, see CheckTip.
func (f Firmness) Plausible() error {
	for _, side := range f.Sides {
		if err := side.plausible(); err != nil {
			return err
		}
	}
	return nil
}

// FirmnessRange is between which values a firmness can be that of an apple, in a unit.
func FirmnessRange(u Unit) (low, high float64) {
	to := func(pounds float64) float64 { return math.Round(Force{pounds, PoundForce}.In(u)*10) / 10 }
	return to(firmnessLimits.low), to(firmnessLimits.high)
}

func (f Force) plausible() error {
	if !f.Unit.Valid() {
		return fmt.Errorf("%q is not a unit of force; write lbf, kgf or N", f.Unit)
	}
	l := firmnessLimits
	to := func(pounds float64) float64 { return math.Round(Force{pounds, PoundForce}.In(f.Unit)*10) / 10 }
	return limits{to(l.low), to(l.high), string(f.Unit), l.hint}.check("firmness", f.Value)
}

// Plausible gives the reason why soluble solids cannot be those of an apple's
// juice, nil when they can.
func (s Solids) Plausible() error {
	if s.Celsius != nil {
		if err := celsiusLimits.check(strings.TrimPrefix(string(juiceTemperature), "quantity."), *s.Celsius); err != nil {
			return err
		}
	}
	return brixLimits.check("soluble solids", s.Brix)
}

// Plausible gives the reason why a score cannot be one of its scale, nil when it
// can. A scale named with its ends, as in "1-4 card", bounds the score.
func (g Ground) Plausible() error {
	l := groundLimits
	if low, high, ok := ends(g.Scale); ok {
		l = limits{low, high, "", "the scale is " + g.Scale}
	}
	return l.check("ground colour", g.Score)
}

// ends are the ends of a scale that is named by them: 1 and 4 of "1-4 card".
func ends(scale string) (low, high float64, ok bool) {
	first, _, _ := strings.Cut(strings.ReplaceAll(strings.TrimSpace(scale), "–", "-"), " ")
	from, to, ok := strings.Cut(first, "-")
	if !ok {
		return 0, 0, false
	}
	low, errLow := ParseNumber(from)
	high, errHigh := ParseNumber(to)
	return low, high, errLow == nil && errHigh == nil && low < high
}

// Plausible gives the first reason why a reading cannot be that of an apple,
// after the number of its fruit, nil when there is none.
func (r Reading) Plausible() error {
	var err error
	if r.Firmness != nil {
		err = r.Firmness.Plausible()
	}
	if err == nil && r.Solids != nil {
		err = r.Solids.Plausible()
	}
	if err == nil && r.Red != nil {
		err = redLimits.check("red colour", *r.Red)
	}
	if err == nil && r.Ground != nil {
		err = r.Ground.Plausible()
	}
	if err != nil {
		return fmt.Errorf("fruit %d: %w", r.Fruit, err)
	}
	return nil
}
