package locate

import (
	"fmt"
	"math"
	"testing"
)

// A ring of skin of 0.02 radii seen 0.03 apart: which edges are seen must not move the outline by more than
// half of what blur does, wherever the rim was unrolled along.
func TestOutlineByTheEdgesThatAreSeen(t *testing.T) {
	for _, outline := range []float64{0.012, -0.05} {
		t.Run(fmt.Sprint(outline), func(t *testing.T) { testOutline(t, outline) })
	}
}

func testOutline(t *testing.T, outline float64) {
	const (
		width, seen = 0.020, 0.030
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
			s := rim{newGrid(bearings, rimDepths), newGrid(bearings, rimDepths), newGrid(bearings, rimDepths)}
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

func noRim() rim {
	return rim{newGrid(bearings, rimDepths), newGrid(bearings, rimDepths), newGrid(bearings, rimDepths)}
}

// Stain against a light tray with one edge in sight, which the tray beyond makes the outer one: whether it is the skin's outer
// edge or, with skin like the tray, the flesh's cannot be told, and the flesh is taken to end half way.
func TestFleshByOneEdgeOfStain(t *testing.T) {
	const width, seen, edge = 0.020, 0.030, 0.01
	for _, tt := range []struct {
		name       string
		rise, want float64
	}{
		{"clear flesh, skin alike", 0, edge - width},
		{"stain", 1, edge - width/2},
	} {
		s := noRim()
		for b := range bearings {
			k := int(math.Round((edge - rimInner) / rimStep))
			s.crests.row(b)[k] = 1
			s.rises.row(b)[k] = float32(tt.rise)
			for k := range s.tray.row(b) {
				s.tray.row(b)[k] = float32(max(0, rimDepth(k)-edge) * 50)
			}
		}
		flesh, outline := s.edges(seen, width)
		if math.Abs(flesh[0]-tt.want) > rimStep || math.Abs(outline[0]-edge) > rimStep {
			t.Errorf("%s: flesh ends at %.4f, should at %.4f; outline at %.4f", tt.name, flesh[0], tt.want, outline[0])
		}
	}
}
