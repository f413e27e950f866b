package trend

import "math"

// drift is how the rate of a block strays from its usual: the weather of a week
// hurries ripening on or holds it back, and passes. The relative deviation is a
// random walk that is drawn back to none (Ornstein and Uhlenbeck's process).
type drift struct {
	size  float64 // standard deviation of the rate, as a part of it
	lasts float64 // days after which a deviation has fallen to 37 %
}

// strayed is the variance of what has come of it after so many days, in days of
// the usual rate.
//
// Source: G. E. Uhlenbeck and L. S. Ornstein, On the theory of the Brownian
// motion, Physical Review 36, 1930, eq. 15: the integral of the process.
func (d drift) strayed(days float64) float64 {
	u := math.Abs(days) / d.lasts
	return 2 * d.size * d.size * d.lasts * d.lasts * (u + math.Expm1(-u))
}

// together is the covariance of what has come of it from day 0 to two days.
func (d drift) together(x, y float64) float64 {
	return (d.strayed(x) + d.strayed(y) - d.strayed(x-y)) / 2
}
