package painter

import (
	"math"
	"testing"
)

func TestShareFallsFromAllToNone(t *testing.T) {
	for _, f := range Families() {
		if got := f.Share(StageStained); got != 1 {
			t.Errorf("%s: share at stage 1 is %g, want 1", f, got)
		}
		if got := f.Share(StageClear); math.Abs(got) > 1e-12 {
			t.Errorf("%s: share at stage 8 is %g, want 0", f, got)
		}
		for s := 1.0; s < 7.95; s += 0.1 {
			if a, b := f.Share(s), f.Share(s+0.1); b >= a {
				t.Errorf("%s: share rises from %g at %.1f to %g at %.1f", f, a, s, b, s+0.1)
			}
		}
		if f.Share(0) != f.Share(1) || f.Share(9) != f.Share(8) {
			t.Errorf("%s: stages off the scale must count as its ends", f)
		}
	}
}

func TestShareLaws(t *testing.T) {
	// stage 4.5 is the middle of the scale, x = 0.5
	for _, c := range []struct {
		family Family
		want   float64
	}{
		{Concentric, 0.5},
		{Petals, 0.5},                                     // 1 - 0.225 - 0.55 * 0.25 * 2
		{OneSided, (1 - math.Sqrt(0.125)) / 1.3},          // 0.5^1.5 = sqrt(0.125)
		{RimLast, (0.52204578 - 0.27253179) / 0.72746821}, // e^-0.65, e^-1.3
		{Islands, 0.5},                                    // 0.275 + 0.225
	} {
		if got := c.family.Share(4.5); math.Abs(got-c.want) > 1e-7 {
			t.Errorf("%s: share at 4.5 is %.8f, want %.8f", c.family, got, c.want)
		}
	}
}
