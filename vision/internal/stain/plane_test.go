package stain

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

func TestPlaneIsExact(t *testing.T) {
	for _, want := range [][3]float64{{0, 0, 0}, {-0.3, 0.1, -0.2}, {2, -1, 0.5}} {
		var a normal
		for _, p := range [][2]float64{{0, 0}, {1, 0}, {0, 1}, {0.3, -0.8}} {
			a.add(p[0], p[1], want[0]+want[1]*p[0]+want[2]*p[1], 1)
		}
		level, u, v := a.solve()
		for i, got := range []float64{level, u, v} {
			if math.Abs(got-want[i]) > 1e-12 {
				t.Errorf("plane %v came back as %v, %v, %v", want, level, u, v)
				break
			}
		}
	}
}

// Scattered points, weighed against gonum's least squares by QR.
func TestPlaneAgainstGonum(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 1))
	for range 20 {
		n := 4 + r.IntN(60)
		design, z := mat.NewDense(n, 3, nil), mat.NewDense(n, 1, nil)
		var a normal
		for i := range n {
			u, v, y := r.NormFloat64()+3, r.NormFloat64(), r.NormFloat64()
			design.SetRow(i, []float64{1, u, v})
			z.Set(i, 0, y)
			a.add(u, v, y, 1)
		}
		var want mat.Dense
		if err := want.Solve(design, z); err != nil {
			t.Fatal(err)
		}
		level, u, v := a.solve()
		for i, got := range []float64{level, u, v} {
			if math.Abs(got-want.At(i, 0)) > 1e-9 {
				t.Errorf("%d points: coefficient %d is %v, gonum has %v", n, i, got, want.At(i, 0))
			}
		}
	}
}

func TestPlaneHeld(t *testing.T) {
	// One point gives the level; the slopes are those it is held to.
	var one normal
	one.add(0.5, -0.5, 1, 1)
	one.hold(0.1, 0.2, 0.4)
	if level, u, v := one.solve(); math.Abs(u-0.2) > 1e-12 || math.Abs(v-0.4) > 1e-12 || math.Abs(level-(1-0.1+0.2)) > 1e-12 {
		t.Errorf("one point held to slopes of 0.2 and 0.4 gave %v, %v, %v", level, u, v)
	}
	// Four points at ±1 on the axes with slope 1 along u: sum u² = 2. Held to 0 with a
	// weight of 2 the slope is 2 / (2 + 2).
	var four normal
	for _, p := range [][2]float64{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
		four.add(p[0], p[1], p[0], 1)
	}
	four.hold(2, 0, 0)
	if level, u, v := four.solve(); math.Abs(u-0.5) > 1e-12 || math.Abs(v) > 1e-12 || math.Abs(level) > 1e-12 {
		t.Errorf("a slope of 1 held to 0 gave %v, %v, %v; want 0, 0.5, 0", level, u, v)
	}
}
