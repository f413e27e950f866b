package stain

import (
	"math"
	"testing"
)

// latticed makes holes in the ground of a tray, as a crate has.
func (d drawing) latticed() drawing {
	for y := range d.Rows {
		for x := range d.Cols {
			on := false
			for _, f := range d.faces {
				on = on || f.holds(float64(x), float64(y), 1)
			}
			if !on && (x/40+y/25)%2 == 0 {
				copy(d.Pix[3*(y*d.Cols+x):], []byte{18, 22, 16})
			}
		}
	}
	return d
}

// Bands of shade across a crate are found by the faces on which they end, and all are read as if they lay in the sun.
func TestBandsOfShade(t *testing.T) {
	var sitters []sitter
	for i := range 12 {
		looks := []look{beyond(0.5, 0.9), side(float64(i)), beyond(0.7, 0.9), evenly(0)}
		sitters = append(sitters, sitter{density: looks[i%4]})
	}
	const cell = 3.2 * drawnRadius
	depth := [3]float64{0.5, 0.45, 0.38}
	for _, tt := range []struct {
		name  string
		bands []shade
		edges bool
	}{
		{"two bands", []shade{{leaned(15, 0.5*cell, 0), 60, 15, depth, 0.45 * cell}, {leaned(15, 2.4*cell, 0), 60, 15, depth, 0.45 * cell}}, true},
		{"bands as wide as the light between", []shade{{leaned(70, 2*cell, 0.5*cell), 60, 20, depth, 0.7 * cell}, {leaned(70, 2*cell, 1.9*cell), 60, 20, depth, 0.7 * cell}}, true},
		{"none", nil, false},
	} {
		d := drawTray(4, tt.bands, sitters...).latticed()
		edges := 0
		for i, r := range d.read() {
			if got, want := stained(r.Profile), stained(d.truth[i]); math.Abs(got-want) > 0.04 {
				t.Errorf("%s: face %d: %.3f stained, drawn were %.3f", tt.name, i, got, want)
			}
			if r.Edge {
				edges++
			}
		}
		if edges > 0 != tt.edges {
			t.Errorf("%s: shade ends on %d faces", tt.name, edges)
		}
	}
}

// side is a face half of which is stained, in some direction.
func side(turned float64) look {
	return func(rho, a float64) float64 {
		if rho*math.Cos(a-turned) > 0.1 {
			return 0.9
		}
		return 0
	}
}

// The bands that lead run in directions of their own, and are measured against those in others.
func TestLeading(t *testing.T) {
	deep := func(d float64) [3]float64 { return [3]float64{d, d, d} }
	for _, tt := range []struct {
		name   string
		all    []bands
		leads  []int // turns
		rivals []float64
	}{
		{"alone", []bands{{turn: 10, much: 2, depth: deep(0.4)}}, []int{10}, []float64{0.1}},
		{"another direction", []bands{{turn: 20, much: 2, depth: deep(0.4)}, {turn: 10, much: 5, depth: deep(0.4)}}, []int{10, 20}, []float64{2, 5}},
		{"nearly the same, and another", []bands{{turn: 10, much: 5, depth: deep(0.4)}, {turn: 14, much: 4, depth: deep(0.4)}, {turn: 6, much: 4, depth: deep(0.4)}, {turn: 30, much: 1, depth: deep(0.4)}}, []int{10, 30}, []float64{1, 5}},
		{"a little less nearly", []bands{{turn: 10, much: 5, depth: deep(0.4)}, {turn: 15, much: 4, depth: deep(0.4)}}, []int{10, 15}, []float64{4, 5}},
		{"round the circle", []bands{{turn: 1, much: 5, depth: deep(0.4)}, {turn: 34, much: 4, depth: deep(0.4)}}, []int{1}, []float64{0.1}},
		{"deeper", []bands{{turn: 10, much: 5, depth: deep(0.4)}, {turn: 11, much: 4, depth: deep(0.5)}, {turn: 12, much: 3, depth: deep(0.6)}}, []int{10, 12}, []float64{0.1, 0.1}},
		{"many", []bands{{turn: 0, much: 9, depth: deep(0.4)}, {turn: 6, much: 8, depth: deep(0.4)}, {turn: 12, much: 7, depth: deep(0.4)}, {turn: 18, much: 6, depth: deep(0.4)}, {turn: 24, much: 5, depth: deep(0.4)}, {turn: 30, much: 4, depth: deep(0.4)}}, []int{0, 6, 12, 18, 24}, []float64{8, 9, 9, 9, 9}},
		{"nothing", nil, nil, nil},
	} {
		leads := leading(tt.all)
		if len(leads) != len(tt.leads) {
			t.Errorf("%s: %+v lead", tt.name, leads)
			continue
		}
		for k, b := range leads {
			if got := rival(tt.all, b); b.turn != tt.leads[k] || math.Abs(got-tt.rivals[k]) > 1e-9 {
				t.Errorf("%s: %d leads against %v, want %d against %v", tt.name, b.turn, got, tt.leads[k], tt.rivals[k])
			}
		}
	}
}

// What speaks for bands, how much more than for others, and by how much simpler faces are without them, tell together.
func TestTold(t *testing.T) {
	for _, tt := range []struct {
		much, rival, gain float64
		want              bool
	}{
		{1.2, 0.6, 0.25, true}, {1.2, 0.6, 0.21, false}, {1.2, 0.7, 0.25, false}, {5, 5, 0.13, true}, {5, 1, -0.1, false},
	} {
		if got := told(tt.much, tt.rival, tt.gain); got != tt.want {
			t.Errorf("%+v: %v", tt, got)
		}
	}
}

// Shade begins and ends in turn.
func TestInTurn(t *testing.T) {
	c := scene{radius: 50, faces: []Face{{X: 0, Radius: 50}}}
	at := func(x float64, begins bool, much float64) spoken {
		b := facing(0)
		if !begins {
			b = facing(turns / 2)
			x = -x
		}
		b.p = x
		return spoken{b, much}
	}
	for _, tt := range []struct {
		name  string
		could []spoken
		much  float64
		edges int
	}{
		{"a band", []spoken{at(-100, true, 1), at(0, false, 1)}, 2, 2},
		{"two beginnings", []spoken{at(-100, true, 1), at(0, true, 0.7)}, 1, 1},
		{"a band and what begins in it", []spoken{at(-100, true, 1), at(-50, true, 0.7), at(0, false, 1), at(100, true, 0.3)}, 2.3, 3},
		{"a band that is narrow", []spoken{at(0, true, 1), at(26, false, 0.7)}, 1.7, 2},
		{"no band", []spoken{at(0, true, 1), at(24, false, 0.7)}, 1, 1},
		{"across", []spoken{{facing(turns / 4), 3}}, 0, 0},
		{"nearly so", []spoken{{facing(1), 3}}, 3, 1},
		{"less nearly", []spoken{{facing(2), 3}}, 0, 0},
	} {
		if got := c.inTurn(0, tt.could, nil); math.Abs(got.much-tt.much) > 1e-9 || len(got.edges) != tt.edges {
			t.Errorf("%s: %+v, want %.1f for %d edges", tt.name, got, tt.much, tt.edges)
		}
	}
}

// Faint edges count for bands as well.
func TestBandsOf(t *testing.T) {
	c := scene{radius: 50, faces: []Face{{X: 0, Radius: 50}}, reliefs: []*relief{reliefOf(func(u, _ float64) float64 {
		if u > 0 {
			return 0.5
		}
		return 0
	})}}.flanked()
	for much, want := range map[float32]float64{0.12: 0.12, 0.08: 0} {
		of := &support{}
		of[0][place(0)] = much
		most := 0.0
		for _, b := range c.bandsOf([3]float64{0.5, 0.5, 0.5}, []*support{of}) {
			most = math.Max(most, b.much)
		}
		if math.Abs(most-want) > 1e-6 {
			t.Errorf("%.2f speaks for an edge, %.2f for bands", much, most)
		}
	}
}

// Edges of bands lean a little, whichever way they face.
func TestAlong(t *testing.T) {
	for turn, want := range map[int]bool{1: true, 3: true, 4: false, 71: true, 70: false, 37: true, 39: true, 40: false, 19: false, 0: true} {
		if got := (bands{turn: 1}).along(turn); got != want {
			t.Errorf("turn %d is along turn 1: %v", turn, got)
		}
	}
}
