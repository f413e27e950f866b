package instrument

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// AppleTip is the diameter of the penetrometer tip for apples, mm. Pears are
// pressed with 8 mm.
// Source: Strickhof, Den Reifeindex nach Streif bestimmen; Michigan State
// University Extension, Checking apple maturity: What to look for.
const AppleTip = 11.0

// SidesApart is the difference between two sides of one fruit from which it
// should be pressed again, lbf. Professional users differed by 3 to 4 lbf on the
// same lots (WSU, Measuring Fruit Firmness with a Penetrometer): a difference as
// large speaks of the pressing rather than of the fruit. Taking it as the limit
// between sides is common practice, no source.
const SidesApart = 3.0

// Tips sold for apples measure from 11 mm to the 11.28 mm of a true square
// centimetre; 7/16 inch is 11.11 mm.
const narrowestAppleTip, widestAppleTip = 10.9, 11.4

const millimetresPerInch = 25.4 // exact; NIST SP 811, appendix B

// Mean is the mean of the sides in a unit, and false when no side was pressed
// or a unit is not valid.
func (f Firmness) Mean(unit Unit) (float64, bool) {
	sum := 0.0
	for _, side := range f.Sides {
		sum += side.In(unit)
	}
	if len(f.Sides) == 0 || math.IsNaN(sum) {
		return 0, false
	}
	return sum / float64(len(f.Sides)), true
}

// Spread is the difference between the hardest and the softest side in a unit,
// 0 or more; 0 when fewer than two sides were pressed.
func (f Firmness) Spread(unit Unit) float64 {
	if len(f.Sides) < 2 {
		return 0
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, side := range f.Sides {
		low, high = min(low, side.In(unit)), max(high, side.In(unit))
	}
	return high - low
}

// OneSide says whether only one side was pressed, where two should be.
func (f Firmness) OneSide() bool { return len(f.Sides) == 1 }

// Uneven says whether the sides differ by more than SidesApart.
func (f Firmness) Uneven() bool {
	// Sides read to the tenth differ by 3.0 or by 3.1, whatever their doubles do.
	return f.Spread(PoundForce) > SidesApart+1e-9
}

// CheckTip refuses a tip that is not made for apples, diameter in mm.
func CheckTip(diameter float64) error {
	if diameter >= narrowestAppleTip && diameter <= widestAppleTip {
		return nil
	}
	if math.Abs(diameter-8) < 0.3 {
		return fmt.Errorf("the %s mm tip is for pears and reads apples far too soft; press again with the 11 mm tip, no factor turns one into the other", decimal(diameter))
	}
	return fmt.Errorf("a tip of %s mm is not one for apples; press with the 11 mm tip (7/16 inch)", decimal(diameter))
}

// ParseTip reads the diameter of a tip: "11", "11 mm", "11,1", "7/16" or
// `7/16"`, fractions in inches. The result is in mm, positive and finite; it
// need not be one for apples, see CheckTip.
func ParseTip(s string) (float64, error) {
	bad := fmt.Errorf("%q is not the diameter of a tip; write 11 for millimetres or 7/16 for inches", s)
	text := strings.ToLower(strings.TrimSpace(s))
	if over, under, ok := strings.Cut(text, "/"); ok {
		under = strings.TrimSpace(strings.TrimSuffix(strings.TrimSuffix(under, "inch"), `"`))
		a, errA := strconv.ParseUint(strings.TrimSpace(over), 10, 8)
		b, errB := strconv.ParseUint(under, 10, 8)
		if errA != nil || errB != nil || a == 0 || b == 0 {
			return 0, bad
		}
		// To the tenth of a micrometre: 7/16 are 11.1125, not 11.112499999999999.
		return math.Round(1e4*millimetresPerInch*float64(a)/float64(b)) / 1e4, nil
	}
	x, err := ParseNumber(strings.TrimSuffix(text, "mm"))
	if err != nil || x <= 0 {
		return 0, bad
	}
	return x, nil
}

// decimal writes a number with as many decimals as it needs, four at most.
func decimal(x float64) string {
	return strconv.FormatFloat(math.Round(x*1e4)/1e4, 'f', -1, 64)
}
