package calibrate

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// knotsAt samples a law of the cleared share of the scale at eight plates.
func knotsAt(law func(float64) float64) (x, y []float64) {
	for i := range 8 {
		x = append(x, float64(i))
		y = append(y, law(float64(i)/7))
	}
	return x, y
}

// Between plates a smooth law must come back to 0.02 stage. The tolerance is
// wider in the half gap at the end where a power law levels out: it moves the
// share by less than 0.01 there, and a cubic cannot follow a slope that begins
// or ends as the 0.6th or 0.8th power.
func TestCurveFollowsSmoothLaws(t *testing.T) {
	tests := []struct {
		name         string
		law          func(u float64) float64
		inside, ends float64 // largest error in stages, in the half gaps at the two ends
	}{
		{"straight", func(u float64) float64 { return 1 - u }, 1e-9, 1e-9},
		{"convex parabola", func(u float64) float64 { return (1 - u) * (1 - u) }, 1e-6, 1e-4},
		{"concave parabola", func(u float64) float64 { return 1 - u*u }, 1e-6, 1e-6},
		{"convex power", func(u float64) float64 { return math.Pow(1-u, 1.6) }, 0.02, 0.05},
		{"concave power", func(u float64) float64 { return 1 - math.Pow(u, 1.8) }, 0.02, 0.05},
		{"s shape", func(u float64) float64 { return (1 + math.Cos(math.Pi*u)) / 2 }, 0.02, 0.02},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := newCurve(knotsAt(tt.law))
			for i := range 701 {
				x := float64(i) / 100
				limit := tt.inside
				if x < 0.5 || x > 6.5 {
					limit = tt.ends
				}
				if err := math.Abs(c.where(tt.law(x/7)) - x); err > limit {
					t.Errorf("at %.2f the law's height is found %.4f away, want within %g", x, err, limit)
				}
			}
		})
	}
}

// Fritsch and Carlson 1980 give data of radiochemical analysis (RPN 14) that
// a plain cubic spline overshoots: a flat foot, a steep rise, a flat top.
// Their property: the interpolant is monotone wherever the data are, so that
// it never leaves the range of its two knots. The numbers are from memory;
// what is tested is the property. The data rise, so they are turned over.
func TestCurveNeverOvershoots(t *testing.T) {
	x := []float64{7.99, 8.09, 8.19, 8.7, 9.2, 10, 12, 15, 20}
	y := []float64{0, 2.76429e-5, 4.37498e-2, 0.169183, 0.469428, 0.943740, 0.998636, 0.999919, 0.999994}
	for i := range y {
		y[i] = 1 - y[i]
	}
	checkMonotone(t, x, y)
}

func TestCurveNeverOvershootsRandomSteps(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 500 {
		n := 2 + rng.IntN(10)
		x, y := make([]float64, n), make([]float64, n)
		for i := 1; i < n; i++ {
			x[i] = x[i-1] + 0.01 + rng.Float64()
			y[i] = y[i-1] - math.Max(0, math.Pow(rng.Float64(), 6)-0.05) // some steps are flat
		}
		checkMonotone(t, x, y)
	}
}

func checkMonotone(t *testing.T, x, y []float64) {
	t.Helper()
	c := newCurve(x, y)
	for i := range len(x) - 1 {
		before := y[i]
		for k := range 101 {
			at := x[i] + (x[i+1]-x[i])*float64(k)/100
			h := c.at(at)
			if h > before+1e-12 || h < y[i+1]-1e-12 {
				t.Fatalf("knots %v %v: height %g at %g after %g, next knot %g", x, y, h, at, before, y[i+1])
			}
			before = h
		}
		if h := c.at(x[i]); h != y[i] {
			t.Fatalf("height %g at knot %d, want %g", h, i, y[i])
		}
	}
}

func TestCurveInfo(t *testing.T) {
	// y = 1 - x²/49 on [0, 7]: slope² = 4x²/49², its integral 4x³/(3·49²).
	c := newCurve(knotsAt(func(u float64) float64 { return 1 - u*u }))
	for _, x := range []float64{0, 0.5, 1, 3.25, 7} {
		if got, want := c.infoAt(x), 4*x*x*x/3/49/49; math.Abs(got-want) > 1e-9 {
			t.Errorf("infoAt(%g) = %g, want %g", x, got, want)
		}
	}
}

func TestCurveWhere(t *testing.T) {
	// Stands still between 1 and 2.
	c := newCurve([]float64{0, 1, 2, 3}, []float64{0.9, 0.5, 0.5, 0.1})
	tests := []struct{ y, want float64 }{
		{1, 0}, {0.9, 0}, // at and above the first knot
		{0.5, 1},           // the first of those that stand still
		{0.1, 3}, {0.0, 3}, // at and below the last
	}
	for _, tt := range tests {
		if got := c.where(tt.y); got != tt.want {
			t.Errorf("where(%g) = %g, want %g", tt.y, got, tt.want)
		}
	}
}

func TestNeverRising(t *testing.T) {
	tests := []struct{ in, want []float64 }{
		{[]float64{3, 2, 1}, []float64{3, 2, 1}},
		{[]float64{3, 1, 2}, []float64{3, 1.5, 1.5}},
		// 1, 2 pool to 1.5; 3 joins: (1+2+3)/3 = 2.
		{[]float64{1, 2, 3}, []float64{2, 2, 2}},
		// 2, 4 pool to 3, which is above 2.5: that one joins too: (2.5+2+4)/3.
		{[]float64{5, 2.5, 2, 4, 0}, []float64{5, 8.5 / 3, 8.5 / 3, 8.5 / 3, 0}},
	}
	for _, tt := range tests {
		if got := neverRising(tt.in); !slices.Equal(got, tt.want) {
			t.Errorf("neverRising(%v) = %v, want %v", tt.in, got, tt.want)
		}
	}
}
