package locate

import (
	"math"
	"testing"
)

// ringedFace is pale flesh of radius inner(a) on grey, with a ring of grey as
// of the tray up to a dark skin at radius outer.
func ringedFace(cx, cy, outer float64, inner func(a float64) float64) *picture {
	return drawnPicture(300, 260, func(x, y float64) float64 {
		d := math.Hypot(x-cx, y-cy)
		switch {
		case d < inner(math.Atan2(y-cy, x-cx)):
			return 85
		case math.Abs(d-outer) < 1.5:
			return 30
		}
		return 55
	})
}

func TestBeyondStain(t *testing.T) {
	const cx, cy, outer = 150.0, 130.0, 70.0
	grains := func(a float64) float64 { return 60 + 1.5*math.Cos(17*a) }
	even := func(a float64) float64 { return 60 + 1.5*math.Cos(3*a) }
	// A thin ring of stain on one side, along whose inner edge the outline went.
	partly := func(a float64) float64 {
		if math.Cos(a) < 0.4 {
			return outer
		}
		return 66.5 + math.Cos(29*a)
	}
	for _, tt := range []struct {
		name  string
		inner func(a float64) float64
		skin  float64 // radius of the skin, 0 where there is none
		want  float64 // radius of the outline
	}{
		{"a jagged outline with skin outside", grains, outer, outer},
		{"an outline that leaves the skin on one side", partly, outer, outer},
		// a fruit's own outline with another edge around, as of the tray's cup
		{"a smooth outline", even, outer, 60},
		{"a jagged outline with nothing outside", grains, -10, 60},
	} {
		p := ringedFace(cx, cy, tt.skin, tt.inner)
		fs := []face{{ring: ringOf(cx, cy, tt.inner)}}
		moved := beyond(p, fs, make([]uint8, p.w*p.h))
		if got := fs[0].radius(); moved != (tt.want == outer) || math.Abs(got-tt.want) > 2 {
			t.Errorf("%s: radius %.1f, want %.0f; moved: %v", tt.name, got, tt.want, moved)
		}
	}
}

// An outline that is only uneven may lie along the inner edge of a wide ring of stain all around. It goes to the skin
// where that is the clearer edge, and stays where it is clear itself.
func TestBeyondAWideRingOfStain(t *testing.T) {
	const cx, cy, outer = 150.0, 130.0, 72.0
	uneven := func(a float64) float64 { return 58 + 0.6*math.Cos(17*a) }
	for _, tt := range []struct {
		flesh float64 // lightness of what the outline goes around, 55 outside of it
		want  float64
	}{{58, outer}, {85, 58}} {
		p := drawnPicture(300, 260, func(x, y float64) float64 {
			switch d := math.Hypot(x-cx, y-cy); {
			case d < uneven(math.Atan2(y-cy, x-cx)):
				return tt.flesh
			case math.Abs(d-outer) < 1.5:
				return 30
			}
			return 55
		})
		fs := []face{{ring: ringOf(cx, cy, uneven)}}
		if r := fs[0].roughness(); r < 0.0055 || r >= jagged {
			t.Fatalf("roughness %.4f", r)
		}
		beyond(p, fs, make([]uint8, p.w*p.h))
		if got := fs[0].radius(); math.Abs(got-tt.want) > 2 {
			t.Errorf("flesh of lightness %.0f: radius %.1f, want %.0f", tt.flesh, got, tt.want)
		}
	}
}

// The edge of the half beside is no skin of this one.
func TestBeyondStopsAtNeighbours(t *testing.T) {
	const cx, cy = 150.0, 130.0
	grains := func(a float64) float64 { return 60 + 1.5*math.Cos(17*a) }
	p := ringedFace(cx, cy, 70, grains)
	owner := make([]uint8, p.w*p.h)
	for i := range owner {
		owner[i] = 2
	}
	fs := []face{{ring: ringOf(cx, cy, grains)}}
	if beyond(p, fs, owner) {
		t.Errorf("the outline moved into another face, to radius %.1f", fs[0].radius())
	}
}
