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
	low, high := t.span(x)
	below := func(p float64) float64 { return 1 - t.beyond(x, t.goal(p)) }
	at := func(p float64) float64 { return t.measure.value(rootOf(below, p, low, high)) }
	a, b := at((1-Confidence)/2), at((1+Confidence)/2)
	return Estimate{Value: at(0.5), Low: math.Min(a, b), High: math.Max(a, b)}
}

// span holds all progress that matters on a day.
func (t *Trend) span(x float64) (low, high float64) {
	if t.measure.course.curved() {
		return tiny, 1 - tiny
	}
	const farOut = 10 // standard deviations
	low, high = math.Inf(1), math.Inf(-1)
	for _, m := range t.moments(x) {
		sd := math.Hypot(m.sd, t.common)
		low = math.Min(low, m.mean-farOut*sd)
		high = math.Max(high, m.mean+farOut*sd)
	}
	return low, high
}

// Rate gives how fast the block's mean changes on a day, units per day with the
// sign of the change. It is 0 for a value that is held.
func (t *Trend) Rate(day time.Time) Estimate {
	if t.held {
		return Estimate{}
	}
	x := t.days(day)
	rates := t.rates(x)
	low, high := math.Inf(1), math.Inf(-1)
	for _, r := range rates {
		const farOut = 10
		low = math.Min(low, r.mean-farOut*r.sd)
		high = math.Max(high, r.mean+farOut*r.sd)
	}
	below := func(v float64) float64 {
		sum := 0.0
		for i, r := range rates {
			sum += t.branches[i].weight * normal((v-r.mean)/r.sd)
		}
		return sum
	}
	per := t.measure.per(t.measure.progress(t.At(day).Value))
	at := func(p float64) float64 { return per * rootOf(below, p, low, high) }
	a, b := at((1-Confidence)/2), at((1+Confidence)/2)
	return Estimate{Value: at(0.5), Low: math.Min(a, b), High: math.Max(a, b)}
}

// rates are those of progress under each branch: what it gains in the day about x.
func (t *Trend) rates(x float64) []moment {
	now, before, after := t.moments(x), t.moments(x-0.5), t.moments(x+0.5)
	out := make([]moment, len(now))
	for i := range t.branches {
		b := &t.branches[i]
		_, growth := b.link.at(now[i].mean)
		gain := after[i].mean - before[i].mean
		sd := b.rate * t.drift.size * math.Sqrt(1-math.Exp(-2*math.Abs(x)/t.drift.lasts))
		out[i] = moment{growth * gain, math.Max(growth*math.Max(sd, 0.1*b.rate), tiny)}
	}
	return out
}

// Pace is what the samples tell of the usual rate of this block and year, units a
// day with the sign of the change, of a stage half way, of an index parts of it;
// spread is the standard deviation of its logarithm. Nothing is held of it
// beforehand but its order of size.
func Pace(course Course, samples []Sample, opt Options) (rate, spread float64, err error) {
	if err := check(course, samples, opt); err != nil {
		return 0, 0, err
	}
	if oneDay(samples) {
		return 0, 0, ErrNoTrend
	}
	b := course.belief()
	b.spread = 1.2
	opt.Prior, opt.Published = nil, nil
	t := fit(course, b, samples, opt)
	mean, square := 0.0, 0.0
	for _, one := range t.branches {
		l := math.Log(one.rate)
		mean += one.weight * l
		square += one.weight * l * l
	}
	rate = math.Copysign(math.Exp(mean), t.measure.unit)
	if course.kind != index {
		rate *= math.Abs(t.measure.unit)
	}
	return rate, math.Sqrt(max(square-mean*mean, paces*paces/12)), nil
}
