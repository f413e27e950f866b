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

// How much more speaks for bands than for any in another direction.
func TestStanding(t *testing.T) {
	for _, tt := range []struct {
		name  string
		all   []bands
		times float64
	}{
		{"alone", []bands{{turn: 10, much: 2}}, 20},
		{"another direction", []bands{{turn: 10, much: 5}, {turn: 20, much: 2}}, 2.5},
		{"nearly the same, and another", []bands{{turn: 10, much: 5}, {turn: 14, much: 4}, {turn: 6, much: 4}, {turn: 30, much: 1}}, 5},
		{"a little less nearly", []bands{{turn: 10, much: 5}, {turn: 15, much: 4}}, 1.25},
		{"round the circle", []bands{{turn: 1, much: 5}, {turn: 34, much: 4}}, 50},
		{"nothing", nil, 0},
	} {
		if best, times := standing(tt.all); math.Abs(times-tt.times) > 1e-9 || len(tt.all) > 0 && best.much != tt.all[0].much {
			t.Errorf("%s: %v times, want %v, %+v", tt.name, times, tt.times, best)
		}
	}
}

// What speaks for bands, how much more than for others, and by how much simpler faces are without them, tell together.
func TestTold(t *testing.T) {
	for _, tt := range []struct {
		much, times, gain float64
		want              bool
	}{
		{1.2, 2, 0.25, true}, {1.2, 2, 0.21, false}, {1.2, 1.7, 0.25, false}, {5, 1, 0.13, true}, {5, 5, -0.1, false}, {0.9, 10, 0.5, false},
	} {
		if got := told(tt.much, tt.times, tt.gain); got != tt.want {
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
