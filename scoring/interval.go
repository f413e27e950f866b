package scoring

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"traystage/calibrate"
)

// Confidence is the coverage of every interval of this package: nine in ten
// such intervals hold the true value.
const Confidence = 0.90

// Common is the error that all stages of a sample share: plates that sit a
// little high or low, a threshold that is not quite this tray's. It moves the
// mean as a whole, so more fruit do not average it out.
type Common struct {
	Standard float64 // standard uncertainty, stages, 0 or more; 0 claims that there is none
	Freedom  float64 // degrees of freedom behind Standard; 0 when it is taken as known
}

// Uncalibrated is the common error of a set that nobody has compared with
// graded halves of the variety: the true stage may lie anywhere within one
// seventh of the scale (one stage on 1 to 8) on either side, which is a
// rectangular distribution with the standard uncertainty width/√3.
//
// Source: JCGM 100:2008 (GUM), 4.3.7, for the rectangle. Its width is an
// assumption of this project: common practice, no source.
func Uncalibrated(scale calibrate.Scale) Common {
	return Common{Standard: math.Abs(scale.Clear-scale.Stained) / 7 / math.Sqrt(3)}
}

// meanInterval is the half width of the interval for a block's mean stage,
// from n stages with sample standard deviation sd.
//
// Each measured stage is
//
//	block mean + what this fruit differs by + its own measuring error + common error
//
// The sample's scatter holds the second and third term together, so sd/√n
// covers sampling error and independent measuring error at once; adding a
// measuring error of each half to it would count it twice. The common error is
// in no scatter and is combined in quadrature:
//
//	u     = √(sd²/n + c²)
//	ν     = u⁴ / ((sd²/n)²/(n-1) + c⁴/νc)
//	width = t(0.95, ν) · u
//
// with c the common standard uncertainty, νc its degrees of freedom and t the
// quantile of Student's distribution. Without common error it is the usual
// t(0.95, n-1)·sd/√n.
//
// Source: JCGM 100:2008, Evaluation of measurement data - Guide to the
// expression of uncertainty in measurement: 5.1.2 (combining), G.4.1
// (Welch-Satterthwaite degrees of freedom).
func meanInterval(sd float64, n int, c Common, confidence float64) float64 {
	sampling := sd * sd / float64(n)
	common := c.Standard * c.Standard
	u2 := sampling + common
	if u2 == 0 {
		return 0
	}
	perFreedom := sampling * sampling / float64(n-1)
	if c.Freedom > 0 {
		perFreedom += common * common / c.Freedom
	}
	return tQuantile(0.5+confidence/2, u2*u2/perFreedom) * math.Sqrt(u2)
}

// tQuantile is the quantile of Student's t; infinite freedom gives that of the
// normal distribution. Quantiles that nine in ten intervals take come from a
// series once there are degrees of freedom enough for it to be right to a
// millionth; inverting the distribution takes hundreds of times as long.
//
// Source of the series: M. Abramowitz, I. A. Stegun, Handbook of Mathematical
// Functions, 1964, 26.7.5.
func tQuantile(p, freedom float64) float64 {
	const most, enough = 2, 18 // of the normal quantile, of the degrees of freedom
	z := distuv.UnitNormal.Quantile(p)
	if freedom <= 1e6 && (math.Abs(z) > most || freedom < enough) {
		return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: freedom}.Quantile(p)
	}
	s := z * z
	g1 := (s + 1) * z / 4
	g2 := ((5*s+16)*s + 3) * z / 96
	g3 := (((3*s+19)*s+17)*s - 15) * z / 384
	g4 := ((((79*s+776)*s+1482)*s-1920)*s - 945) * z / 92160
	return z + (g1+(g2+(g3+g4/freedom)/freedom)/freedom)/freedom
}

// mostFruit is where counting the fruit needed stops: no tester cuts more.
const mostFruit = 1000

// FruitNeeded is the smallest number of fruit whose 90 % interval reaches no
// further than width stages to either side of the mean, in a block with
// standard deviation sd. It is false where even a thousand would not do, as
// when the common error alone is wider.
func FruitNeeded(sd float64, c Common, width float64) (int, bool) {
	return fruitNeeded(sd, c, width, Confidence)
}

func fruitNeeded(sd float64, c Common, width, confidence float64) (int, bool) {
	// No quantile of Student's t is below that of the normal distribution, which
	// settles most numbers at a fraction of the cost.
	normal := distuv.UnitNormal.Quantile(0.5 + confidence/2)
	for n := 2; n <= mostFruit; n++ {
		if normal*math.Sqrt(sd*sd/float64(n)+c.Standard*c.Standard) > width {
			continue
		}
		if meanInterval(sd, n, c, confidence) <= width {
			return n, true
		}
	}
	return 0, false
}
