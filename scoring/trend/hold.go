package trend

import "math"

// Hold is what is known of a quantity that was read on one day and whose rate
// nothing tells: it stays as it was last read, and its age widens the doubt by
// what a usual block changes in that time. So a state that hangs on it stays as
// well, and gets less sure. Forecasts of it give no day.
func Hold(course Course, s Sample, opt Options) (*Trend, error) {
	if err := check(course, []Sample{s}, opt); err != nil {
		return nil, err
	}
	b := course.belief()
	t := newTrend(course, b, []Sample{s}, opt)
	t.held = true
	r := t.read(b)[0]
	if s.N >= FewestFruit { // enough to tell their own spread
		own := t.measure.spread(s.Standard, s.Value)
		r.variance = own * own
	}
	day := b.days[0].value
	t.branches = []branch{{
		supposition: supposition{link: straight, day: day, rate: b.pace}, weight: 1, start: r.progress,
		a: []float64{r.variance + day*day},
	}}
	return t, nil
}

// Held says whether the trend keeps the value of one sample: see Hold.
func (t *Trend) Held() bool { return t.held }

// heldAt is where a value that is held may lie on a day.
func (b *branch) heldAt(x float64) moment {
	return moment{b.start, math.Sqrt(b.a[0] + b.rate*b.rate*x*x)}
}
