package trend

import "math"

// reading is a sample as the fit sees it.
type reading struct {
	x        float64 // days since the last sample, 0 or less
	progress float64 // as it was read
	variance float64 // of that, from the sample alone
	spread   float64 // standard deviation of its fruit before the cut; 0 for no cut
	inside   float64 // progress before the cut
	growth   float64 // of the read progress with that before the cut
}

// trust is how many fruit the usual spread counts for beside a sample's own: the
// spread of five fruit is hardly known from them.
const trust = 6

// read turns the samples into readings.
func (t *Trend) read(b belief) []reading {
	pooled := t.pooledSpread(b)
	out := make([]reading, len(t.Samples))
	for i, s := range t.Samples {
		r := reading{x: t.days(s.Day), progress: t.measure.progress(s.Value)}
		own, n := t.measure.spread(s.Standard, s.Value), float64(s.N)
		r.variance = own * own
		r.inside, r.growth = r.progress, 1
		if t.measure.course.curved() {
			r.spread = t.spreadOf(s, pooled)
			r.inside = uncut(r.progress, r.spread)
			_, r.growth = cut(r.inside, r.spread)
			// Source: JCGM 100:2008 (GUM), F.2.2.1, for the rectangle of a step.
			step := t.measure.course.scale.Step / t.measure.course.scale.Span()
			r.variance += step * step / 12
		}
		if s.N > 1 {
			usual := pooled * pooled * max(r.growth, 0.1) / n
			r.variance = ((n-1)*r.variance + trust*usual) / (n - 1 + trust)
		}
		out[i] = r
	}
	return out
}

// spreadOf is the standard deviation of a sample's fruit before the cut, drawn to
// the pooled.
func (t *Trend) spreadOf(s Sample, pooled float64) float64 {
	own, ok := t.ownSpread(s)
	if !ok {
		return pooled
	}
	n := float64(s.N - 1)
	return math.Sqrt((n*own*own + trust*pooled*pooled) / (n + trust))
}

// ownSpread is the standard deviation of a sample's fruit before the cut; false
// where it does not tell.
func (t *Trend) ownSpread(s Sample) (float64, bool) {
	sd := t.measure.spread(s.Standard*math.Sqrt(float64(s.N)), s.Value)
	if s.N < 2 || sd <= 0 {
		return 0, false
	}
	if !t.measure.course.curved() {
		return sd, true
	}
	p := t.measure.progress(s.Value)
	near := min(p, 1-p)
	if near <= 0 {
		return 0, false
	}
	return uncutSpread(near, sd), true
}

// pooledSpread is the standard deviation from fruit to fruit over all samples,
// drawn to the usual.
func (t *Trend) pooledSpread(b belief) float64 {
	sum, all := trust*b.fruit*b.fruit, float64(trust)
	for _, s := range t.Samples {
		if own, ok := t.ownSpread(s); ok {
			own = min(own, 3*b.fruit) // all but at an end a sample tells little
			sum += float64(s.N-1) * own * own
			all += float64(s.N - 1)
		}
	}
	return math.Sqrt(sum / all)
}
