package stain

import (
	"math"
	"slices"
	"testing"
)

// Faces beyond the end of a patch of sun are read as those in it, where the ground tells that they are; where it does not they
// are as dark as stain.
func TestFacesBesideAPatchOfSun(t *testing.T) {
	const depth = 0.75 // log10
	in := []float64{0.5, 0.6, 0.7}
	var sitters, elsewhere []sitter
	for _, from := range in {
		sitters = append(sitters, sitter{density: beyond(from, 0.8)})
	}
	elsewhere = append(elsewhere, sitters...)
	for _, from := range in {
		sitters = append(sitters, sitter{density: beyond(from, 0.8), light: -depth})
		elsewhere = append(elsewhere, sitter{density: beyond(from, 0.8), light: -depth, ground: -depth})
	}
	shaded, lit := drawFaces(evenLamp, sitters...), drawFaces(evenLamp, elsewhere...)
	for i, r := range shaded.read() {
		if want := stained(shaded.truth[i]); i != 3 && math.Abs(stained(r.Profile)-want) > 0.02 { // beside the first in the shade there is sun
			t.Errorf("face %d: %.3f stained, drawn were %.3f", i, stained(r.Profile), want)
		}
	}
	for i, r := range lit.read()[4:] {
		if got := stained(r.Profile); got < 0.95 {
			t.Errorf("dark face %d on ground in the sun: %.3f stained, want all", i, got)
		}
	}
}

func TestShadowOn(t *testing.T) {
	ground := func(n int, red, blue float64) (out []sample) {
		for range n {
			out = append(out, sample{c: [3]float64{red, red + blue/2, red + blue}})
		}
		return out
	}
	sun := ground(100, -0.5, -0.1)
	shaded := ground(100, -1.1, 0)
	for _, tt := range []struct {
		name  string
		rings [][]sample
		over  int // faces in the shadow, 0 for none
	}{
		{"even ground", [][]sample{sun, sun, sun}, 0},
		{"one face in the shade, of a bluer light", [][]sample{sun, sun, ground(100, -1.1, 0.05)}, 1},
		{"most of the ground around it", [][]sample{sun, sun, append(ground(90, -1.1, 0), ground(10, -0.5, -0.1)...)}, 1},
		{"a lamp on the tray, in red alone", [][]sample{sun, sun, ground(100, -1.1, 0.4)}, 0},
		{"a lamp that is nearly as bright in blue", [][]sample{sun, sun, ground(100, -1.1, 0.22)}, 0},
		{"shade under a deep blue sky", [][]sample{sun, sun, ground(100, -1.1, 0.18)}, 1},
		{"light that fades away", [][]sample{sun, ground(20, -0.75, -0.05), ground(90, -0.5, -0.1), shaded}, 0},
		{"the edge of a tree's shade", [][]sample{sun, ground(15, -0.75, -0.05), ground(90, -0.5, -0.1), shaded}, 1},
		{"a little of the ground in the shade", [][]sample{sun, sun, sun, ground(40, -1.1, 0)}, 1},
		{"hardly any of it", [][]sample{sun, sun, sun, ground(26, -1.1, 0)}, 0},
		{"darker by what faces tell themselves", [][]sample{sun, sun, ground(100, -0.75, -0.1)}, 0},
		{"a warmer ground", [][]sample{sun, sun, ground(100, -1.1, -0.2)}, 0},
		{"one face in the sun", [][]sample{sun, ground(100, -1.1, 0), ground(100, -1.1, 0)}, 0},
		{"no ground to be seen", [][]sample{nil, nil}, 0},
	} {
		s, ok := Default().shadowByGround(tt.rings)
		n := 0
		for _, in := range s.over {
			if in {
				n++
			}
		}
		if ok != (tt.over > 0) || ok && (n != tt.over || math.Abs(s.depth[0]-0.6) > 0.01) {
			t.Errorf("%s: %v, %d faces in a shadow of %.2f, want %d", tt.name, ok, n, s.depth[0], tt.over)
		}
	}
}

// A shadow may end on a face around which some of the ground lies in it and some does not.
func TestShadowEdge(t *testing.T) {
	ring := func(dark int) (out []sample) {
		for k := range 100 {
			p := sample{c: [3]float64{-0.5, -0.55, -0.6}}
			if k < dark {
				p.c = [3]float64{-1.1, -1.1, -1.1}
			}
			out = append(out, p)
		}
		return out
	}
	s, ok := Default().shadowByGround([][]sample{ring(0), ring(20), ring(30), ring(75), ring(85), ring(100)})
	if want := []bool{false, false, true, true, false, false}; !ok || !slices.Equal(s.edge, want) {
		t.Errorf("%v, it may end on %v, want %v", ok, s.edge, want)
	}
	if want := []bool{false, false, false, false, true, true}; !slices.Equal(s.over, want) {
		t.Errorf("it lies over %v, want %v", s.over, want)
	}
}

// What is as dark and as blue as clear flesh in the shadow may be that, where the shadow ends on the face.
func TestMaybeShaded(t *testing.T) {
	m := Default()
	s := &shadow{depth: [3]float64{0.65, 0.6, 0.5}}
	at := func(red, blue float64) level { return level{c: [3]float64{red, red, red + blue}, share: 0.2} }
	for _, tt := range []struct {
		name string
		dark level
		want float64
	}{
		{"as dark and as blue", at(-0.9, -0.15), 0.2},
		{"too light", at(-0.6, -0.15), 0},
		{"too dark", at(-1.1, -0.15), 0},
		{"bluer", at(-0.9, 0.0), 0},
	} {
		got := m.maybeShaded(s, tray{level: -0.2, blue: -0.3, scale: 1}, Face{}, []level{at(-0.2, -0.3), tt.dark})
		if got != tt.want {
			t.Errorf("%s: %v of the face, want %v", tt.name, got, tt.want)
		}
	}
}
