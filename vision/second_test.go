package vision

import (
	"errors"
	"math"
	"slices"
	"testing"

	"traystage/refimages/painter"
	"traystage/vision/note"
)

// The photos of the second painter, and one of a third on which only fruit is that was cut lengthwise: on each a half is found where one lies and in its turn, nothing else is
// taken for one, and fruit cut lengthwise are suspects at most.
func TestSecondPainter(t *testing.T) {
	for _, name := range []string{"second/usual_05.jpg", "second/usual_06.jpg", "second/rough_04.jpg", "second/none_02.jpg", "third/lengthwise.jpg"} {
		t.Run(name, func(t *testing.T) {
			truth := truthOf(t, name)
			tray, err := Measure(bytesOf(t, name), Options{})
			if err != nil && (len(truth.Halves) > 0 || !errors.Is(err, ErrNoHalves)) {
				t.Fatal(err)
			}
			found := 0
			for _, h := range tray.Halves {
				if i := heldBy(truth.Halves, h.Centre); i < 0 {
					t.Errorf("half %d at %.0f is none", h.Number, h.Centre)
				} else {
					found++
				}
			}
			// Printed paper hides an edge or two.
			if least := len(truth.Halves) * 9 / 10; found < least {
				t.Errorf("%d halves found of %d", found, len(truth.Halves))
			}
			for _, s := range tray.Suspects {
				if s.Why.IsZero() || len(s.Outline) == 0 || s.Radius <= 0 {
					t.Errorf("a suspect without place or reason: %+v", s)
				}
			}
			told := note.Has(tray.Remarks, RemarkSuspects) || note.Has(tray.Remarks, RemarkUncut)
			if err == nil && told != (len(tray.Suspects) > 0) {
				t.Errorf("%d suspects, remarks %v", len(tray.Suspects), tray.Remarks)
			}
			if len(truth.Halves) == 0 && len(tray.Suspects) == 0 {
				t.Error("halves cut lengthwise are not even suspected")
			}
		})
	}
}

// heldBy is the half that lies around a point, within half its radius of the core; -1 for none.
func heldBy(halves []painter.HalfTruth, p Point) int {
	return slices.IndexFunc(halves, func(h painter.HalfTruth) bool {
		return math.Hypot(h.Centre[0]-p.X, h.Centre[1]-p.Y) < 0.5*h.Radius
	})
}
