package calibrate

import (
	"math"
	"strings"
	"testing"
)

// Halves on the straight line are converted end to end, whichever way either
// scale runs.
func TestConvert(t *testing.T) {
	var halves []Observation
	for i := range 41 {
		halves = append(halves, seenAt(float64(i)/40))
	}
	for _, from := range scales {
		for _, to := range scales {
			got, err := Convert(wholeSet(t, from), wholeSet(t, to), halves)
			if err != nil {
				t.Fatal(err)
			}
			if len(got) != int(from.Span())+1 {
				t.Errorf("%g to %g: %d lines", from.Stained, from.Clear, len(got))
			}
			for _, c := range got {
				want := from.position(c.From) / from.Span()
				if share := to.position(c.To) / to.Span(); math.Abs(share-want) > 0.012 || c.Low > c.To || c.To > c.High || c.Halves == 0 {
					t.Errorf("%g to %g: %+v lies at %.3f of the scale, want %.3f", from.Stained, from.Clear, c, share, want)
				}
			}
		}
	}
}

// Halves that lie 0.3 above and below a straight relation in turn: about the line between
// its neighbours each is 0.6 off, or less where neighbours are pooled.
func TestConvertTellsItsError(t *testing.T) {
	var pairs []pair
	for i := range 21 {
		x := float64(i) * 0.35
		pairs = append(pairs, pair{x, x + 0.3*float64(1-2*(i%2)), 0.4})
	}
	got, err := table(oneToEight, Scale{0, 10, 0.1}, pairs)
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != 8 {
		t.Errorf("%d lines, want 8", len(got))
	}
	for _, c := range got[2:6] { // away from the ends of the scale
		// t(0.95, 20) is 1.72; 0.3 to 0.6 of scatter, and 0.4 of the set's own.
		if half := (c.High - c.Low) / 2; half < math.Hypot(1.72*0.3, 0.4) || half > math.Hypot(1.72*0.6, 0.4) {
			t.Errorf("%+v is %.2f wide to either side", c, half)
		}
	}
}

func TestConvertRefuses(t *testing.T) {
	whole := wholeSet(t, oneToEight)
	if _, err := Convert(whole, whole, []Observation{seenAt(1), seenAt(0)}); err == nil || !strings.Contains(err.Error(), "2 halves") {
		t.Errorf("two halves: %v", err)
	}
	other := wholeSet(t, oneToEight)
	other.StainedDensity = 0.3
	if _, err := Convert(whole, other, []Observation{seenAt(1), seenAt(0.5), seenAt(0)}); err == nil || !strings.Contains(err.Error(), "density") {
		t.Errorf("another threshold: %v", err)
	}
}

// Many halves of one place in the first set, as clear and full ones are, are no trouble: the
// table rises, holds its own middle, and says of the ties what their mean is.
func TestConvertWithTies(t *testing.T) {
	whole := wholeSet(t, oneToEight)
	var halves []Observation
	for range 5 {
		halves = append(halves, seenAt(1), seenAt(0), seenAt(0.5), seenAt(0.5))
	}
	unmeasured := seenAt(0.5)
	unmeasured.Stained = math.NaN()
	got, err := Convert(whole, whole, append(halves, unmeasured))
	if err != nil {
		t.Fatal(err)
	}
	last := math.Inf(-1)
	for _, c := range got {
		if c.To < last || math.IsNaN(c.To) || c.Low > c.To || c.To > c.High {
			t.Errorf("%+v after %.2f", c, last)
		}
		last = c.To
	}
	pairs := []pair{{1, 2, 0.1}, {1, 4, 0.1}, {1, 3, 0.1}, {2, 5, 0.1}, {2, 1, 0.1}, {3, 6, 0.1}}
	r := rising(pairs)
	// At 1 and 2 the means are both 3, so that nothing has to be pooled.
	for x, want := range map[float64]float64{0: 3, 1: 3, 1.5: 3, 2: 3, 2.5: 4.5, 3: 6, 9: 6} {
		if got := r.at(x); math.Abs(got-want) > tiny {
			t.Errorf("at %g: %g, want %g", x, got, want)
		}
	}
	for _, same := range [][]pair{{{2, 1, 0}, {2, 1, 0}, {2, 1, 0}}, {{2, 1, 0}, {2, 5, 0}, {2, 3, 0}}} {
		if lines, err := table(oneToEight, oneToEight, same); err != nil || len(lines) != 1 || lines[0].Halves != 3 {
			t.Errorf("%v: %+v, %v", same, lines, err)
		}
	}
}
