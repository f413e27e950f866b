package trend

import "math"

// normal gathers the normal equations of a weighted straight line
// level + slope·x. Days are counted from a centre near the middle of the
// samples, so that the two unknowns hardly disturb each other.
type normal struct {
	w, wx, wxx float64 // sums of weight, weight·x, weight·x²
	wy, wxy    float64 // sums of weight·y, weight·x·y
}

// add takes in one reading at x. It wants weight·y rather than y, which has no
// finite value where an S-curve is flat.
func (n *normal) add(x, weight, weightedY float64) {
	n.w += weight
	n.wx += weight * x
	n.wxx += weight * x * x
	n.wy += weightedY
	n.wxy += weightedY * x
}

// addSlope takes in what is known of the slope itself.
func (n *normal) addSlope(slope, weight float64) {
	n.wxx += weight
	n.wxy += weight * slope
}

// det is the determinant of the information about level and slope.
func (n *normal) det() float64 { return n.w*n.wxx - n.wx*n.wx }

// solve gives the line of least squares. Weights are 1 / variance; the sums
// must hold two different days, or one day and a slope.
func (n *normal) solve() line {
	d := n.det()
	return line{
		level: (n.wxx*n.wy - n.wx*n.wxy) / d,
		slope: (n.w*n.wxy - n.wx*n.wy) / d,
		vl:    n.wxx / d,
		vs:    n.w / d,
		cov:   -n.wx / d,
	}
}

// line is a straight line with the variances and the covariance of its level
// (at x = 0) and slope.
type line struct {
	level, slope float64
	vl, vs, cov  float64
}

func (l line) at(x float64) float64 { return l.level + l.slope*x }

// standard is the standard uncertainty of the line at x.
func (l line) standard(x float64) float64 {
	return math.Sqrt(max(0, l.vl+2*x*l.cov+x*x*l.vs))
}
