package calibrate

import (
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/interp"
)

// curve is a never-rising smooth function of the position along a path: the
// stained fraction of the face or of one zone against the stage.
//
// Between knots it is a cubic whose slopes at the knots are those of the cubic
// spline through all knots, brought back to what keeps it monotone. A slope of
// at most three times the flatter neighbouring chord is enough (F. N. Fritsch
// and R. E. Carlson, Monotone Piecewise Cubic Interpolation, 1980); a slope of
// at least half of it keeps the curve from standing still where the knots
// do not.
type curve struct {
	x, y []float64 // knots: x strictly increasing, y never rising
	fit  interp.PiecewiseCubic
	info []float64 // integral of slope² from the first knot to each knot
}

const (
	steepest = 3   // times the flatter chord: the side of Fritsch and Carlson's square
	flattest = 0.5 // times the flatter chord; 0 at the two ends, where a curve may level out
)

// newCurve lays the curve through at least two knots.
func newCurve(x, y []float64) curve {
	c := curve{x: x, y: y, info: make([]float64, len(x))}
	c.fit.FitWithDerivatives(x, y, fallingSlopes(x, y))
	for i := 1; i < len(x); i++ {
		c.info[i] = c.info[i-1] + c.infoBetween(x[i-1], x[i])
	}
	return c
}

// fallingSlopes gives the slope of a never-rising curve at each knot.
func fallingSlopes(x, y []float64) []float64 {
	chords := make([]float64, len(x)-1)
	for i := range chords {
		chords[i] = (y[i+1] - y[i]) / (x[i+1] - x[i])
	}
	slopes := splineSlopes(x, y, chords)
	last := len(x) - 1
	for i := range slopes {
		flat, low := 0.0, flattest
		switch i {
		case 0:
			flat, low = chords[0], 0
		case last:
			flat, low = chords[last-1], 0
		default:
			flat = math.Max(chords[i-1], chords[i])
		}
		slopes[i] = math.Max(steepest*flat, math.Min(low*flat, slopes[i]))
	}
	return slopes
}

// splineSlopes are the slopes of the not-a-knot cubic spline, or of the chords
// where there are too few knots for one.
func splineSlopes(x, y, chords []float64) []float64 {
	slopes := make([]float64, len(x))
	var spline interp.NotAKnotCubic
	if len(x) >= 4 && spline.Fit(x, y) == nil {
		for i := range x {
			slopes[i] = spline.PredictDerivative(x[i])
		}
		return slopes
	}
	slopes[0], slopes[len(x)-1] = chords[0], chords[len(chords)-1]
	for i := 1; i < len(chords); i++ {
		slopes[i] = (y[i+1] - y[i-1]) / (x[i+1] - x[i-1])
	}
	return slopes
}

// at is the height of the curve at x; beyond the ends that of the end.
func (c curve) at(x float64) float64 { return c.fit.Predict(x) }

// infoBetween integrates slope² from a to b, both in one gap. The slope is
// a quadratic and its square a quartic, for which three Gauss points are exact.
func (c curve) infoBetween(a, b float64) float64 {
	if b <= a {
		return 0
	}
	half, mid := (b-a)/2, (a+b)/2
	off := half * math.Sqrt(0.6)
	l, m, r := c.fit.PredictDerivative(mid-off), c.fit.PredictDerivative(mid), c.fit.PredictDerivative(mid+off)
	return half * (5*l*l + 8*m*m + 5*r*r) / 9
}

// infoAt integrates slope² from the first knot to x.
func (c curve) infoAt(x float64) float64 {
	i := gapOf(c.x, x)
	return c.info[i] + c.infoBetween(c.x[i], math.Min(x, c.x[i+1]))
}

// where is the position at which the curve has height y: the first one where it
// stands still, an end where it never comes so high or low.
func (c curve) where(y float64) float64 {
	last := len(c.y) - 1
	i := sort.Search(last, func(i int) bool { return c.y[i] <= y })
	if c.y[i] >= y || i == 0 {
		return c.x[i]
	}
	return bisect(c.x[i-1], c.x[i], func(x float64) bool { return c.at(x) <= y })
}

// gapOf is the gap between knots that holds x; beyond the ends the end gap.
func gapOf(knots []float64, x float64) int {
	i := sort.SearchFloat64s(knots, x) - 1
	return max(0, min(i, len(knots)-2))
}

// bisect narrows the first place between a and b from which past holds down to
// neighbouring numbers.
func bisect(a, b float64, past func(float64) bool) float64 {
	for {
		mid := a + (b-a)/2
		if mid <= a || mid >= b {
			return b
		}
		if past(mid) {
			b = mid
		} else {
			a = mid
		}
	}
}

// neverRising replaces values by the never-rising ones nearest to them in least
// squares: neighbours that rise are pooled into their weighted mean (the
// pool-adjacent-violators method of M. Ayer and others, An Empirical
// Distribution Function for Sampling with Incomplete Information, 1955).
func neverRising(values []float64) []float64 {
	return neverRisingOf(values, slices.Repeat([]float64{1}, len(values)))
}

// neverRisingOf is neverRising of values that count with weights.
func neverRisingOf(values, weights []float64) []float64 {
	type pool struct {
		mean, weight float64
		n            int
	}
	var pools []pool
	for i, v := range values {
		pools = append(pools, pool{v, weights[i], 1})
		for k := len(pools) - 1; k > 0 && pools[k].mean > pools[k-1].mean; k-- {
			a, b := pools[k-1], pools[k]
			weight := a.weight + b.weight
			pools = append(pools[:k-1], pool{(a.mean*a.weight + b.mean*b.weight) / weight, weight, a.n + b.n})
		}
	}
	out := make([]float64, 0, len(values))
	for _, p := range pools {
		for range p.n {
			out = append(out, p.mean)
		}
	}
	return out
}
