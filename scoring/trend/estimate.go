package trend

import (
	"math"
	"time"
)

// Estimate is a figure with its 90 % interval.
type Estimate struct{ Value, Low, High float64 } // Low <= Value <= High

// At gives the block's mean on a day, on the scale or in the unit of the course:
// what the trend's line and band are drawn from.
func (t *Trend) At(day time.Time) Estimate {
	x := t.days(day)
	low, high := 1e-9, 1-1e-9
	if !t.course.curved() {
		low, high = t.reach(func(c chance) (float64, float64) { return c.at(x), math.Hypot(c.standard(x), t.common) })
	}
	return t.estimate(func(p float64) float64 { return t.beyond(x, p) }, low, high, t.course.value)
}

// Rate gives how fast the block's mean changes on a day, units per day with the
// sign of the change.
func (t *Trend) Rate(day time.Time) Estimate {
	x := t.days(day)
	rate := func(c chance) (value, standard float64) {
		p, growth := t.course.bend(c.at(x))
		turn := 0.0 // of the growth with the height
		if t.course.curved() {
			turn = growth * (1 - 2*p)
		}
		byLevel, bySlope := turn*c.slope, growth+turn*c.slope*x
		v := byLevel*byLevel*c.vl + 2*byLevel*bySlope*c.cov + bySlope*bySlope*c.vs
		return growth * c.slope, math.Sqrt(math.Max(0, v))
	}
	low, high := t.reach(rate)
	above := func(r float64) float64 {
		sum := 0.0
		for _, c := range t.chances {
			v, s := rate(c)
			sum += c.weight * student((v-r)/s, t.freedom)
		}
		return sum
	}
	return t.estimate(above, low, high, func(r float64) float64 { return r * t.course.per() })
}

// estimate finds the middle and the limits of a quantity from the chance that it
// lies above a value.
func (t *Trend) estimate(above func(v float64) float64, low, high float64, shown func(v float64) float64) Estimate {
	below := func(v float64) float64 { return 1 - above(v) }
	at := func(p float64) float64 { return shown(rootOf(below, p, low, high)) }
	a, b := at((1-Confidence)/2), at((1+Confidence)/2)
	return Estimate{Value: at(0.5), Low: math.Min(a, b), High: math.Max(a, b)}
}

// farOut is how many standard uncertainties hold all that matters, even with a
// single degree of freedom.
const farOut = 1000

// reach holds a quantity under all suppositions.
func (t *Trend) reach(of func(c chance) (value, standard float64)) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, c := range t.chances {
		v, s := of(c)
		low = math.Min(low, v-farOut*s)
		high = math.Max(high, v+farOut*s)
	}
	return low, high
}
