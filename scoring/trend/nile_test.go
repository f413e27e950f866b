package trend

import (
	"math"
	"testing"
)

// nile is the flow of the Nile at Aswan from 1871 to 1970, 10⁸ m³ a year: G. W.
// Cobb, The problem of the Nile, Biometrika 65, 1978; Nile of R's datasets.
var nile = []float64{
	1120, 1160, 963, 1210, 1160, 1160, 813, 1230, 1370, 1140, 995, 935, 1110, 994, 1020, 960, 1180, 799, 958, 1140,
	1100, 1210, 1150, 1250, 1260, 1220, 1030, 1100, 774, 840, 874, 694, 940, 833, 701, 916, 692, 1020, 1050, 969,
	831, 726, 456, 824, 702, 1120, 1100, 832, 764, 821, 768, 845, 864, 862, 698, 845, 744, 796, 1040, 759,
	781, 865, 845, 944, 984, 897, 822, 1010, 771, 676, 649, 846, 812, 742, 801, 1040, 860, 874, 848, 890,
	744, 749, 838, 1050, 918, 986, 797, 923, 975, 815, 1020, 906, 901, 1170, 912, 746, 919, 718, 714, 740,
}

// Variances of the local level model of the Nile.
//
// Source: J. Durbin, S. J. Koopman, Time series analysis by state space methods,
// 2nd edition 2012, section 2.10.3; StructTS(Nile, "level") of R prints 15099 and 1469.
const (
	nileReading = 15099.0
	nileLevel   = 1469.1
)

// levelOf is a level that walks at random, seen with independent errors: the
// drift of a rate whose deviations last no time at all.
func levelOf(series []float64, reads, walks float64) *Trend {
	const instant, rate = 1e-5, 1e-4 // an instant of a year, and next to no rate of its own
	d := drift{size: math.Sqrt(walks/(2*instant)) / rate, lasts: instant}
	t := &Trend{measure: measure{Rising(), 1}, drift: d, known: map[float64][]moment{}, origin: start}
	var readings []reading
	for i, v := range series {
		x := float64(i + 1 - len(series))
		readings = append(readings, reading{x: x, progress: v, variance: reads, inside: v, growth: 1})
		t.Samples = append(t.Samples, Sample{Day: onDay(x)})
	}
	t.branchOut([]supposition{{link: straight, rate: rate, vague: 1e5}}, readings, 0)
	return t
}

// likely is the logarithm of how likely the series is, up to a constant.
func likely(series []float64, reads, walks float64) float64 {
	t := levelOf(series, reads, walks)
	return t.evidence
}

// The published variances make the series likeliest of all, for the estimator's
// own smoother: nowhere about them is it likelier.
func TestNileIsLikeliestAtThePublishedVariances(t *testing.T) {
	best := likely(nile, nileReading, nileLevel)
	for _, reads := range []float64{0.97, 1, 1.03} {
		for _, walks := range []float64{0.95, 1, 1.05} {
			if reads == 1 && walks == 1 {
				continue
			}
			if l := likely(nile, reads*nileReading, walks*nileLevel); l >= best {
				t.Errorf("reading variance %.0f, level variance %.0f: %.5f, at the published ones %.5f", reads*nileReading, walks*nileLevel, l, best)
			}
		}
	}
}

// The smoothed level and its variance are those of the recursions that Durbin
// and Koopman give for the model, section 2.4 (eq. 2.37 to 2.43), which know
// nothing of Gaussian processes.
func TestNileSmootherAgainstRecursions(t *testing.T) {
	level, variance := smoothed(nile, nileReading, nileLevel)
	tr := levelOf(nile, nileReading, nileLevel)
	for i := range nile {
		m := tr.moments(float64(i + 1 - len(nile)))[0]
		if math.Abs(m.mean-level[i]) > 0.05 || math.Abs(m.sd*m.sd-variance[i]) > 0.002*variance[i] {
			t.Errorf("%d: level %.2f and variance %.1f, recursions give %.2f and %.1f", 1871+i, m.mean, m.sd*m.sd, level[i], variance[i])
		}
	}
	// The forecast beyond the end keeps the level and gains the walk's variance.
	last, ahead := tr.moments(0)[0], tr.moments(10)[0]
	if gained := ahead.sd*ahead.sd - last.sd*last.sd; math.Abs(ahead.mean-last.mean) > 0.05 || math.Abs(gained-10*nileLevel) > 20 {
		t.Errorf("ten years on: level %.1f after %.1f, variance gained %.1f, want %.1f", ahead.mean, last.mean, gained, 10*nileLevel)
	}
}

// smoothed is the local level model's Kalman filter and fixed-interval smoother.
func smoothed(y []float64, reads, walks float64) (level, variance []float64) {
	n := len(y)
	a, p := 0.0, 1e10
	v, f, k, ps, as := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range y {
		as[i], ps[i] = a, p
		v[i], f[i] = y[i]-a, p+reads
		k[i] = p / f[i]
		a += k[i] * v[i]
		p = p*(1-k[i]) + walks
	}
	level, variance = make([]float64, n), make([]float64, n)
	r, big := 0.0, 0.0
	for i := n - 1; i >= 0; i-- {
		r = v[i]/f[i] + (1-k[i])*r
		big = 1/f[i] + (1-k[i])*(1-k[i])*big
		level[i], variance[i] = as[i]+ps[i]*r, ps[i]-ps[i]*ps[i]*big
	}
	return level, variance
}
