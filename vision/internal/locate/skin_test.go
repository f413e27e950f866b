package locate

import (
	"math"
	"testing"
)

// A ring of skin of 0.02 radii seen 0.03 apart, the outline 0.012 outside of where the
// rim was unrolled along: which edges are seen must not move the outline by more than
// half of what blur does.
func TestOutlineByTheEdgesThatAreSeen(t *testing.T) {
	const (
		width, seen = 0.020, 0.030
		outline     = 0.012
		blur        = (seen - width) / 2
	)
	for _, tt := range []struct {
		name         string
		inner, outer float64 // where an edge is seen; NaN for nowhere
	}{
		{"both edges, pushed apart by blur", outline - width - blur, outline + blur},
		{"the outer one alone", math.NaN(), outline},
		{"the inner one alone", outline - width, math.NaN()},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s := rim{newGrid(bearings, rimDepths), newGrid(bearings, rimDepths)}
			for b := range bearings {
				for _, at := range []float64{tt.inner, tt.outer} {
					if !math.IsNaN(at) {
						s.crests.row(b)[int(math.Round((at-rimInner)/rimStep))] = 1
					}
				}
				if math.IsNaN(tt.inner) { // the tray begins beyond the edge, so that it must be the outer one
					for k := range s.tray.row(b) {
						s.tray.row(b)[k] = float32(max(0, rimDepth(k)-outline) * 50)
					}
				}
			}
			flesh, got := s.edges(seen, width)
			for b := range bearings {
				if math.Abs(got[b]-outline) > blur/2 || math.Abs(got[b]-flesh[b]-width) > 1e-9 {
					t.Fatalf("bearing %d: outline at %.4f, flesh at %.4f; want %.4f and %.4f", b, got[b], flesh[b], outline, outline-width)
				}
			}
		})
	}
}
