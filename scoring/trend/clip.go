package trend

import "math"

// Fruit of one day differ, and none reads beyond an end of its scale: so the
// mean of a block near an end reads inside it. With fruit about a mean p with
// standard deviation s, of the scale, the mean that is read is
//
//	E min(max(p + s·z, 0), 1) = p + s·(loss(p/s) - loss((1-p)/s))
//
// with loss the unit normal loss integral.
//
// Source: J. Tobin, Estimation of relationships for limited dependent variables,
// Econometrica 26, 1958, for the mean of a normal variable that is cut.

// cut gives the mean that is read and how fast it grows with the mean itself.
func cut(p, s float64) (read, growth float64) {
	if s <= 0 {
		return p, 1
	}
	lossLow, belowLow := loss(p / s)
	lossHigh, belowHigh := loss((1 - p) / s)
	return p + s*(lossLow-lossHigh), max(1-belowLow-belowHigh, 0)
}

// loss is the unit normal loss integral E max(0, z-a) and the chance of z > a.
func loss(a float64) (loss, beyond float64) {
	if a > 8 {
		return 0, 0
	}
	beyond = math.Erfc(a/math.Sqrt2) / 2
	return math.Exp(-a*a/2)/math.Sqrt(2*math.Pi) - a*beyond, beyond
}

// uncut is the mean that reads so; where all fruit lie at an end, some way beyond it.
func uncut(read, s float64) float64 {
	if s <= 0 {
		return read
	}
	low, high := -2*s, 1+2*s
	for range 40 {
		mid := (low + high) / 2
		if r, _ := cut(mid, s); r < read {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// uncutSpread is the standard deviation of fruit whose mean, counted from the
// end of the scale near it, and standard deviation are read after the cut.
func uncutSpread(mean, sd float64) float64 {
	low, high := -2.0, 6.0 // of the mean, in standard deviations
	for range 40 {
		u := (low + high) / 2
		m, v := cutMoments(u)
		if math.Sqrt(v)*mean > sd*m {
			low = u
		} else {
			high = u
		}
	}
	m, _ := cutMoments((low + high) / 2)
	return mean / m
}

// cutMoments are mean and variance of max(0, u+z).
func cutMoments(u float64) (mean, variance float64) {
	l, _ := loss(-u)
	_, above := loss(-u)
	density := math.Exp(-u*u/2) / math.Sqrt(2*math.Pi)
	square := (u*u+1)*above + u*density
	return l, max(square-l*l, 0)
}
