package trend

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// supposition is what a handful of samples cannot settle but a forecast hangs
// on. The curve is fitted under each of a range of suppositions, and each counts
// as much as it makes the samples likely.
type supposition struct {
	// scatter is the standard deviation of the samples' means about the curve
	// beyond their own uncertainty, in units of height: riper trees in one sample,
	// a warm day, another hand at the penetrometer.
	scatter float64
	// dull is how much of the scale the mean reading loses at either end. A half
	// that is all stained can only be misread towards clear, and the other way
	// about, and some fruit of a block are early or late: so the mean of a block
	// at an end reads a little inside it.
	dull float64
}

// What is expected before there are samples, each the scale of half a Student's
// t: a multiple of three is rare but not ruled out.
//
// Common practice, no source: chosen on simulated seasons (TestForecastHolds).
const (
	typicalClearing = 0.08  // scatter of the logit, half a day at a usual pace
	typicalLine     = 0.015 // scatter of a straight course, of its value
	typicalDull     = 0.025 // of the scale, 0.2 stages of 1 to 8
	heaviness       = 4     // degrees of freedom of that t
)

// The range of each in pieces, as multiples of what is typical.
var (
	scatters = pieces(6)
	dulls    = pieces(5)
)

// suppositions are all that are tried, for a course whose values are about so
// large.
//
// Source of the shape for the scatter, for few groups: A. Gelman, Prior
// distributions for variance parameters in hierarchical models, Bayesian
// Analysis 1, 2006.
func (c Course) suppositions(value float64) []supposition {
	typical := typicalClearing
	if !c.curved() {
		typical = math.Max(typicalLine*value, 1e-9) // above 0, or weights would be infinite
	}
	var out []supposition
	for _, scatter := range scatters {
		s := supposition{scatter: typical * scatter}
		if !c.curved() {
			out = append(out, s)
			continue
		}
		for _, dull := range dulls {
			s.dull = typicalDull * dull
			out = append(out, s)
		}
	}
	return out
}

// pieces are the middles of n equally likely pieces of half a Student's t of
// scale 1.
func pieces(n int) []float64 {
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: heaviness}
	out := make([]float64, n)
	for i := range out {
		out[i] = t.Quantile(0.5 + (float64(i)+0.5)/float64(2*n))
	}
	return out
}

// chance is the curve under one supposition, and how much it counts.
type chance struct {
	line
	supposition
	info   normal  // that line was solved from
	weight float64 // all together 1
}

// negligible is the weight from which a supposition counts.
const negligible = 1e-3

// weigh fits the curve under every supposition and keeps those that count.
func (t *Trend) weigh() {
	var all []chance
	best := math.Inf(-1)
	for _, s := range t.course.suppositions(t.size()) {
		c := t.curve(s)
		all = append(all, c)
		best = math.Max(best, c.weight)
	}
	sum := 0.0
	for i := range all {
		all[i].weight = math.Exp(all[i].weight - best)
		sum += all[i].weight
	}
	left := 0.0
	for _, c := range all {
		if c.weight >= negligible*sum {
			t.chances = append(t.chances, c)
			left += c.weight
		}
	}
	for i := range t.chances {
		t.chances[i].weight /= left
	}
}

// size is the mean size of the samples' values.
func (t *Trend) size() float64 {
	sum := 0.0
	for _, s := range t.Samples {
		sum += math.Abs(s.Value)
	}
	return sum / float64(len(t.Samples))
}
