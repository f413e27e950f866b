package trend

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// The quick form is held against the incomplete beta function, and a little
// below the freedom at which it is taken against itself at that freedom.
func TestStudentQuickForm(t *testing.T) {
	for _, freedom := range []float64{enoughFreedom, 10.5, 19, 30, 190, 5000, 1e6} {
		exact := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: freedom}
		for v := -40.0; v <= 40; v += 0.125 {
			if got, want := student(v, freedom), exact.CDF(v); math.Abs(got-want) > 1e-9 {
				t.Fatalf("t %g, freedom %g: %.12f, want %.12f", v, freedom, got, want)
			}
		}
	}
	for _, v := range []float64{-40, -1.5, 0, 0.3, 1.5, 40, math.Inf(1), math.Inf(-1)} {
		if got, want := student(v, math.Inf(1)), distuv.UnitNormal.CDF(v); math.Abs(got-want) > 1e-15 {
			t.Errorf("t %g, without end of freedom: %.12f, want %.12f", v, got, want)
		}
		below := math.Nextafter(enoughFreedom, 0)
		if got, want := student(v, below), student(v, enoughFreedom); math.Abs(got-want) > 1e-9 {
			t.Errorf("t %g: %.12f just below %d, %.12f there", v, got, enoughFreedom, want)
		}
	}
	if got := student(math.Inf(1), 20); got != 1 {
		t.Errorf("infinite t: %g", got)
	}
}
