package scoring

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Outlier is a fruit whose stage, or another figure, lies further from the others than chance
// explains. It stays in the mean: it may be the measurement that is wrong, or
// the block that is uneven, and only the grower can tell.
type Outlier struct {
	Number   int     // of the fruit
	G        float64 // its distance from the mean in sample standard deviations, coarse reading allowed for
	Critical float64 // what G exceeds
}

// outlierLevel is the significance of the test, two-sided. Together with reading
// in steps and with ends that cut the fruit, clean samples are then marked in at
// most one case of twenty (TestCleanSamplesAreNotMarked).
const outlierLevel = 0.04

// fewestForOutlier: with six values or fewer the test marks too much.
// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17, from memory.
const fewestForOutlier = 7

// bounds are the ends of the scale that values lie on, in any order; the zero
// bounds are none.
type bounds struct{ a, b float64 }

var percentBounds = bounds{0, 100}

// boundsOf reads the ends out of a scale's name, such as "1-4 card".
func boundsOf(scale string) bounds {
	var b bounds
	if _, err := fmt.Sscanf(scale, "%g-%g", &b.a, &b.b); err != nil {
		return bounds{}
	}
	return b
}

// findOutlier is Grubbs' test on the value that lies furthest from the mean;
// nil when none stands apart. Only one fruit is tested: repeating the test on
// what is left would change its significance.
//
//	G = max|x - mean| / √(sd² + step²/12)
//
// with the step in which the values were read: fruit that are all alike but one,
// a step off, do not stand apart.
//
// Where fruit lie at the end of the scale that the value lies away from, the
// sample is cut there and skewed, and Grubbs' test marks what is clean. Then the
// value must also be too far off for a tail as heavy as an exponential one, which
// no cut normal distribution has: see tailChance.
//
// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17.1;
// F. E. Grubbs, Procedures for detecting outlying observations in samples, 1969.
func findOutlier(values []value, mean, sd float64, scale bounds) *Outlier {
	if len(values) < fewestForOutlier || sd == 0 {
		return nil
	}
	step := grain(values)
	spread := math.Sqrt(sd*sd + step*step/12)
	var found Outlier
	var far float64
	for _, v := range values {
		if g := math.Abs(v.v-mean) / spread; g > found.G {
			found, far = Outlier{Number: v.fruit, G: g}, v.v
		}
	}
	// No quantile of Student's t is below that of the normal distribution, which
	// settles most samples at a fraction of the cost.
	if found.G <= grubbsAt(len(values), distuv.UnitNormal.Quantile(grubbsChance(len(values), outlierLevel))) {
		return nil
	}
	found.Critical = grubbsCritical(len(values), outlierLevel)
	if found.G <= found.Critical || tailChance(values, far, mean, scale) > outlierLevel {
		return nil
	}
	return &found
}

// tailChance is the chance that the largest of the distances from the end of the
// scale is such a part of their sum as it is, were they exponential; 0 where no
// fruit lies at the end. Fruit at the end have no distance: they are cut.
//
//	P(max/sum > g) <= k·(1-g)^(k-1)
//
// Source: R. A. Fisher, Tests of significance in harmonic analysis, Proceedings
// of the Royal Society A 125, 1929, for the distribution; its first term bounds it.
func tailChance(values []value, far, mean float64, scale bounds) float64 {
	end := min(scale.a, scale.b)
	if far < mean {
		end = max(scale.a, scale.b)
	}
	cut, sum := 0, 0.0
	for _, v := range values {
		d := math.Abs(v.v - end)
		if d == 0 {
			cut++
		}
		sum += d
	}
	if scale == (bounds{}) || cut == 0 {
		return 0
	}
	k := float64(len(values) - cut)
	return k * math.Pow(1-math.Abs(far-end)/sum, k-1)
}

// grain is the coarsest usual step that all values are multiples of.
func grain(values []value) float64 {
	for _, step := range []float64{10, 5, 1, 0.5, 0.1} {
		fits := true
		for _, v := range values {
			part := v.v / step
			fits = fits && math.Abs(part-math.Round(part)) < 1e-6
		}
		if fits {
			return step
		}
	}
	return 0
}

// grubbsCritical is the two-sided critical value of Grubbs' test for n >= 3
// values:
//
//	(n-1)/√n · √(t² / (n-2+t²)),  t = t(1 - level/(2n), n-2)
//
// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17.1.
func grubbsCritical(n int, level float64) float64 {
	return grubbsAt(n, tQuantile(grubbsChance(n, level), float64(n-2)))
}

// grubbsChance is the chance whose quantile the critical value takes.
func grubbsChance(n int, level float64) float64 { return 1 - level/float64(2*n) }

// grubbsAt is the critical value with that quantile; it rises with t.
func grubbsAt(n int, t float64) float64 {
	N := float64(n)
	return (N - 1) / math.Sqrt(N) * math.Sqrt(t*t/(N-2+t*t))
}
