package trend

import (
	"math"
	"testing"
)

// The mean of fruit cut at both ends, summed over the normal density in small
// steps, and undone again.
func TestCut(t *testing.T) {
	for _, s := range []float64{0.05, 0.15, 0.25} {
		for _, p := range []float64{-0.1, 0, 0.1, 0.5, 0.9, 1, 1.2} {
			sum, all := 0.0, 0.0
			for z := -7.0; z <= 7; z += 0.001 {
				w := math.Exp(-z * z / 2)
				sum += w * min(max(p+s*z, 0), 1)
				all += w
			}
			read, growth := cut(p, s)
			if math.Abs(read-sum/all) > 1e-6 {
				t.Errorf("mean %v, spread %v: reads %.7f, summed %.7f", p, s, read, sum/all)
			}
			next, _ := cut(p+1e-6, s)
			if math.Abs((next-read)/1e-6-growth) > 1e-3 {
				t.Errorf("mean %v, spread %v: grows by %.4f, measured %.4f", p, s, growth, (next-read)/1e-6)
			}
			if got := uncut(read, s); growth > 0.1 && math.Abs(got-p) > 1e-6 {
				t.Errorf("mean %v, spread %v: undone to %.7f", p, s, got)
			}
		}
	}
}

// Mean and standard deviation of cut fruit give back the spread before the cut.
func TestUncutSpread(t *testing.T) {
	for _, s := range []float64{0.08, 0.15} {
		for _, p := range []float64{0, 0.05, 0.1, 0.4} {
			mean, variance := cutMoments(p / s)
			if got := uncutSpread(mean*s, math.Sqrt(variance)*s); math.Abs(got-s) > 1e-3*s {
				t.Errorf("mean %v: spread %.5f, want %v", p, got, s)
			}
		}
	}
}
