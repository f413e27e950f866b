package stain

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// The entropy of a histogram is that of what it counts: ln of how many places are as likely (C. E. Shannon, A Mathematical Theory of
// Communication, 1948), and of a Gaussian ln(sigma sqrt(2 pi e)) less that of a bin.
func TestEntropy(t *testing.T) {
	for _, n := range []int{1, 2, 8} {
		var h histogram
		for k := range n {
			for range 5 {
				h.add(entropyFloor + entropyStep*float64(10+3*k))
			}
		}
		if got, want := h.entropy(), math.Log(float64(n)); math.Abs(got-want) > 1e-9 {
			t.Errorf("%d places have %.6f, want %.6f", n, got, want)
		}
	}
	for _, sigma := range []float64{0.1, 0.3} {
		var h histogram
		at := distuv.Normal{Mu: -1, Sigma: sigma, Src: rand.NewPCG(1, 2)}
		for range 200_000 {
			h.add(at.Rand())
		}
		want := math.Log(sigma*math.Sqrt(2*math.Pi*math.E)) - math.Log(entropyStep)
		// A bin's two sides smooth it by a sixth of its square.
		if got := h.entropy(); math.Abs(got-want) > 0.02 {
			t.Errorf("sigma %.1f has %.3f, want %.3f", sigma, got, want)
		}
	}
}

// Without a shadow that lies on it a face is simpler, without one that does not it is less so.
func TestGain(t *testing.T) {
	depth := [3]float64{0.4, 0.4, 0.4}
	edge := facing(0)
	edge.p = 0.1
	across := func(u, _ float64) float64 {
		if u > 0.1 {
			return 0.4
		}
		return 0
	}
	stained := func(_, v float64) float64 { // of which a third is clear
		if v > -0.3 {
			return 0.7
		}
		return 0
	}
	for _, tt := range []struct {
		name     string
		dark     func(u, v float64) float64
		from, to float64
	}{
		{"a shadow over clear flesh", across, 0.6, math.Ln2},
		{"over stain too", func(u, v float64) float64 { return across(u, v) + stained(u, v) }, 0.6, math.Ln2},
		{"stain across it", stained, -math.Ln2, -0.5},
		{"nothing", func(u, v float64) float64 { return 0 }, -math.Ln2, -0.6},
		{"stain that ends there", func(u, v float64) float64 { return 2.2 * across(u, v) }, -0.05, 0.05},
	} {
		s := newShadow(2)
		s.depth, s.ends[0] = depth, []ending{{brink: edge, width: 0.05}}
		if got := s.gain([]*relief{reliefOf(tt.dark), reliefOf(across)}); got < tt.from || got > tt.to {
			t.Errorf("%s: %.3f, want %.2f to %.2f", tt.name, got, tt.from, tt.to)
		}
	}
	if got := newShadow(1).gain([]*relief{reliefOf(across)}); got != 0 {
		t.Errorf("a shadow that ends nowhere: %.3f", got)
	}
}
