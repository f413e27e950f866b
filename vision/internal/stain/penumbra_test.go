package stain

import (
	"math"
	"testing"
)

// Faces near a brink lie in the shadow or not, whatever the ground around them shows.
func TestSettle(t *testing.T) {
	b := facing(0)
	alone, corner, band := []brink{b}, []brink{b, facing(turns / 4)}, []brink{b, facing(turns / 2)}
	band[1].p = -200 // it begins 4 radii beyond where it ends
	for _, tt := range []struct {
		name       string
		x, y       float64 // of the face, radii
		brinks     []brink
		over, edge bool    // by the ground
		shows      bool    // what crosses it shows on it
		want       [3]bool // over, edge, the shadow ends on it
	}{
		{"crossed", 0.5, 0, alone, true, false, true, [3]bool{false, false, true}},
		{"crossed by what does not show", 0.5, 0, alone, true, false, false, [3]bool{true, false, false}},
		{"before it", -1.5, 0, alone, true, false, true, [3]bool{false, false, false}},
		{"beyond it", 1.5, 0, alone, false, true, true, [3]bool{true, false, false}},
		{"not far before it", -2.8, 0, alone, false, true, true, [3]bool{false, false, false}},
		{"far before it", -3.2, 0, alone, false, true, true, [3]bool{false, true, false}},
		{"in the patch", -1.5, -2, corner, true, false, true, [3]bool{false, false, false}},
		{"beyond one side of it", -1.5, 2, corner, true, false, true, [3]bool{true, false, false}},
		{"the same, in the sun by the ground", -1.5, 2, corner, false, true, true, [3]bool{false, true, false}},
		{"beyond one side, and the other ends on it", 0.5, 2, corner, true, false, true, [3]bool{false, false, true}},
		{"in a band", 1.5, 0, band, false, true, true, [3]bool{true, false, false}},
		{"beside it", 5.5, 0, band, true, false, true, [3]bool{false, false, false}},
	} {
		s := &shadow{over: []bool{tt.over}, edge: []bool{tt.edge}, ends: make([][]ending, 1), settled: make([]bool, 1)}
		s.settle(0, Face{X: 50 * tt.x, Y: 50 * tt.y, Radius: 50}, tt.brinks, &support{}, func(brink) bool { return tt.shows })
		if got := [3]bool{s.over[0], s.edge[0], len(s.ends[0]) > 0}; got != tt.want {
			t.Errorf("%s: %v, want %v", tt.name, got, tt.want)
		}
	}
}

// The place of a shadow's edge on a face, its penumbra and its depth are told by what is seen.
func TestSteep(t *testing.T) {
	for _, tt := range []struct{ at, width, depth float64 }{{0, 0.2, 0.6}, {0.1, 0.1, 0.55}, {-0.05, 0.3, 0.65}, {0.05, 0.05, 0.6}} {
		drawn := ending{brink: facing(0), width: tt.width}
		drawn.p = tt.at
		r := reliefOf(func(u, v float64) float64 {
			return dims(drawn.share(u, v), [3]float64{tt.depth, tt.depth, tt.depth})[0]
		})
		s := &shadow{depth: [3]float64{0.6, 0.6, 0.6}, ends: [][]ending{{{brink: facing(0)}}}}
		s.steep([]*relief{r}, [][3]float64{s.depth})
		got := s.ends[0][0]
		if math.Abs(got.p-tt.at) > 0.03 || math.Abs(got.width-tt.width) > 0.051 || math.Abs(s.depth[0]-tt.depth) > 0.03 {
			t.Errorf("at %.2f, %.2f wide, %.2f deep; drawn were %+v", got.p, got.width, s.depth[0], tt)
		}
	}
}

// The depth of a shadow is that which most drops share, within the noise.
func TestDensest(t *testing.T) {
	var drops []sample
	for _, by := range []float64{1, 1, 1, 1, 1, 0.84, 0.84, 0.77, 0.77, 0.70, 0.70, 0.50, 0.475, 0.45, 0.425, 0.40} {
		drops = append(drops, sample{c: [3]float64{by, by, by}})
	}
	got := densest(drops)
	if len(got) != 5 || got[0].c[0] != 0.40 || got[4].c[0] != 0.50 {
		t.Errorf("%v", got)
	}
}
