package stain

import (
	"math"
	"testing"
)

// shady is a face in small in a shadow of a depth beyond a line, radii from the core, at a turn, and stained.
func shady(turn int, p, depth float64, stained func(u, v float64) float64) *relief {
	b := facing(turn)
	b.p = p
	return reliefOf(func(u, v float64) float64 {
		d := stained(u, v) + 0.03*math.Sin(311*u+173*v) // grain of flesh
		if b.beyond(u, v) > 0 {
			d += depth
		}
		return d
	})
}

func rimmed(from, density float64) func(u, v float64) float64 {
	return func(u, v float64) float64 {
		if math.Hypot(u, v) > from {
			return density
		}
		return 0
	}
}

// An edge on one face is found by the depth of the shadow, where the face is simpler without it, bright before it and still stained.
func TestLone(t *testing.T) {
	const depth = 0.5
	far := ending{brink: facing(10 + turns/2), width: 0.1}
	far.p = 0.9
	sunny := shady(0, 2, depth, rimmed(0.6, 0.8))
	for _, tt := range []struct {
		name  string
		face  *relief
		over  bool
		knows []ending
		may   int // the turn that may be, -1 for all
		want  []float64
	}{
		{"an edge", shady(10, 0.2, depth, rimmed(0.6, 0.8)), false, nil, -1, []float64{0.2}},
		{"on a face taken for shaded", shady(10, 0.2, depth, rimmed(0.6, 0.8)), true, nil, -1, []float64{0.2}},
		{"in another direction than may be", shady(10, 0.2, depth, rimmed(0.6, 0.8)), false, nil, 20, nil},
		{"the other side of a band", shady(10, 0.2, depth, func(u, v float64) float64 {
			b := facing(10)
			if b.p = -0.2; b.beyond(u, v) < 0 {
				return rimmed(0.6, 0.8)(u, v) + depth
			}
			return rimmed(0.6, 0.8)(u, v)
		}), false, []ending{{brink: brink{turn: 10, u: facing(10).u, v: facing(10).v, p: 0.2}, width: 0.1}}, -1, []float64{0.2, 0.2}},
		{"one beside three", shady(10, 0.2, depth, rimmed(0.6, 0.8)), false, []ending{far, far, far}, -1, []float64{0.9, 0.9, 0.9}},
		{"one beside two", shady(10, 0.2, depth, rimmed(0.6, 0.8)), false, []ending{far, far}, -1, []float64{0.9, 0.9, 0.2}},
		{"a small part of the face", shady(10, 0.7, depth, rimmed(0.6, 0.8)), false, nil, -1, nil},
		{"a part hardly large enough", shady(10, 0.39, depth, rimmed(0.6, 0.8)), false, nil, -1, []float64{0.39}},
		{"none", sunny, false, nil, -1, nil},
		{"a face stained on one side as deep as the shadow", shady(10, 0.2, depth, rimmed(2, 0)), false, nil, -1, nil},
		{"in a shadow of another depth", shady(10, 0.2, 0.25, rimmed(0.6, 0.8)), false, nil, -1, nil},
	} {
		c := scene{faces: make([]Face, 2), reliefs: []*relief{tt.face, sunny}, radius: 50}.flanked()
		s := newShadow(2)
		s.depth, s.over[0], s.ends[0] = [3]float64{depth, depth, depth}, tt.over, tt.knows
		s.lone(c, func(turn int) bool { return tt.may < 0 || turn == tt.may }, []bool{true, false})
		var got []float64
		for _, e := range s.ends[0] {
			got = append(got, e.p)
		}
		if len(got) != len(tt.want) {
			t.Errorf("%s: edges at %.2f, want %.2f", tt.name, got, tt.want)
			continue
		}
		for k, want := range tt.want {
			if math.Abs(got[k]-want) > 0.1 {
				t.Errorf("%s: edges at %.2f, want %.2f", tt.name, got, tt.want)
			}
		}
		if s.over[0] != (tt.over && len(got) == 0) || len(s.ends[1]) > 0 {
			t.Errorf("%s: in the shade wholly %v, and on a face that may not %d edges", tt.name, s.over[0], len(s.ends[1]))
		}
	}
}

// Enough of what is seen along an edge has to show its drop, from near it on.
func TestShowsOn(t *testing.T) {
	s := newShadow(1)
	s.depth = [3]float64{0.5, 0.5, 0.5}
	for _, tt := range []struct {
		name string
		dark func(u, v float64) float64
		want bool
	}{
		{"two fifths", func(u, v float64) float64 { return when(u > 0 && v < -0.19, 0.5) }, false},
		{"half", func(u, v float64) float64 { return when(u > 0 && v < 0, 0.5) }, true},
		{"a wide penumbra", func(u, v float64) float64 { return 0.5 * math.Min(math.Max(u/0.4+0.5, 0), 1) }, true},
		{"a wider one", func(u, v float64) float64 { return 0.5 * math.Min(math.Max(u/0.52+0.5, 0), 1) }, false},
		{"stain beyond", func(u, v float64) float64 { return when(u > 0, 0.5) + when(u > 0.175, 0.6) }, true},
	} {
		if got := s.showsOn(reliefOf(tt.dark), facing(0)); got != tt.want {
			t.Errorf("%s: %v", tt.name, got)
		}
	}
}

func when(is bool, v float64) float64 {
	if is {
		return v
	}
	return 0
}

func TestShowStain(t *testing.T) {
	for _, tt := range []struct {
		stained int // of 100
		darker  float64
		want    bool
	}{{7, 0.5, false}, {9, 0.5, true}, {30, 0.28, false}, {30, 0.32, true}, {0, 0, false}} {
		of := make([]float64, 100)
		for i := range tt.stained {
			of[i] = -tt.darker
		}
		if got := showStain(of); got != tt.want {
			t.Errorf("%d darker by %.2f: %v", tt.stained, tt.darker, got)
		}
	}
}
