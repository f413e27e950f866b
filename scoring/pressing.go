package scoring

import (
	"math"

	"traystage/scoring/instrument"
)

// How far firmness of one user and instrument may lie from the true one.
const (
	// usersApart is the span of what professional users read of the same fruit,
	// lbf, before they had been trained together: three to four.
	// Source: Washington State University Tree Fruit Research and Extension
	// Center, Measuring fruit firmness with a penetrometer, on the collaborative
	// work led by G. D. Blanpied.
	usersApart = 3.5
	// fewestPairs is how many fruit pressed on both sides tell how steady a hand
	// is. Common practice, no source.
	fewestPairs = 10
	// steadyShare is what of the scatter of one pressing is taken for the error
	// that this hand makes on all. Common practice, no source.
	steadyShare = 0.5
)

// pressingError is the standard uncertainty that all firmness of a season
// shares: one instrument and one way of pressing. More fruit do not help. Half of
// its usual variance is laid to the instrument, until check weights tell how far
// that is off, half to the hand, until fruit pressed on both sides tell how steady
// it is. A rectangle as wide as users were apart stands for what is not told.
//
// Source: JCGM 100:2008 (GUM), 4.3.7, for the rectangle.
func pressingError(season []Sample, checks []instrument.Check, unit instrument.Unit) Common {
	usual := usersApart / math.Sqrt(12) / math.Sqrt2
	device, hand := usual, usual
	if off, ok := checkedOff(season, checks); ok {
		device = off
	}
	if scatter, ok := pressingScatter(season); ok {
		hand = min(steadyShare*scatter, usual)
	}
	pounds := math.Hypot(device, hand)
	return Common{Standard: instrument.Force{Value: pounds, Unit: instrument.PoundForce}.In(unit)}
}

// checkedOff is how far the penetrometers were off in the checks of the season,
// root mean square, lbf; false where none was checked.
func checkedOff(season []Sample, checks []instrument.Check) (float64, bool) {
	sum, n := 0.0, 0
	last := season[len(season)-1].tested()
	for _, c := range checks {
		if c.Kind != instrument.CheckWeight || c.Validate() != nil || daysBetween(c.Day, last) < 0 {
			continue
		}
		off := instrument.Force{Value: c.Shown - c.Expected, Unit: c.Unit}.In(instrument.PoundForce)
		sum += off * off
		n++
	}
	return math.Sqrt(sum / max(float64(n), 1)), n > 0
}

// pressingScatter is the standard deviation of one pressing, lbf, from fruit that
// were pressed on two sides: that of their difference over √2.
func pressingScatter(season []Sample) (float64, bool) {
	sum, n := 0.0, 0
	for _, s := range season {
		for _, r := range s.Readings {
			if r.Firmness == nil || len(r.Firmness.Sides) != 2 {
				continue
			}
			d := r.Firmness.Sides[0].In(instrument.PoundForce) - r.Firmness.Sides[1].In(instrument.PoundForce)
			sum += d * d
			n++
		}
	}
	return math.Sqrt(sum / 2 / max(float64(n), 1)), n >= fewestPairs
}
