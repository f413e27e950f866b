package scoring

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Outlier is a fruit whose stage, or another figure, lies further from the others than chance
// explains. It stays in the mean: it may be the measurement that is wrong, or
// the block that is uneven, and only the grower can tell.
type Outlier struct {
	Number   int     // of the fruit
	G        float64 // its distance from the mean in sample standard deviations
	Critical float64 // what G exceeds
}

// outlierLevel is the significance of Grubbs' test, two-sided.
const outlierLevel = 0.05

// fewestForOutlier: with six values or fewer the test marks too much.
// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17, from memory.
const fewestForOutlier = 7

// findOutlier is Grubbs' test on the value that lies furthest from the mean;
// nil when none stands apart. Only one fruit is tested: repeating the test on
// what is left would change its significance.
//
//	G = max|x - mean| / sd
//
// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17.1;
// F. E. Grubbs, Procedures for detecting outlying observations in samples, 1969.
func findOutlier(values []value, mean, sd float64) *Outlier {
	if len(values) < fewestForOutlier || sd == 0 {
		return nil
	}
	var found Outlier
	for _, v := range values {
		if g := math.Abs(v.v-mean) / sd; g > found.G {
			found = Outlier{Number: v.fruit, G: g}
		}
	}
	// No quantile of Student's t is below that of the normal distribution, which
	// settles most samples at a fraction of the cost.
	if found.G <= grubbsAt(len(values), distuv.UnitNormal.Quantile(grubbsChance(len(values), outlierLevel))) {
		return nil
	}
	found.Critical = grubbsCritical(len(values), outlierLevel)
	if found.G <= found.Critical {
		return nil
	}
	return &found
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
