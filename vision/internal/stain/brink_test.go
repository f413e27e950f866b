package stain

import (
	"math"
	"slices"
	"testing"

	"traystage/vision/zones"
)

// shade is a shadow drawn on a tray: beyond a brink, which lies elsewhere on the ground.
type shade struct {
	brink
	shift float64    // px further along on the ground
	width float64    // of the penumbra, px
	depth [3]float64 // log10
	band  float64    // how far it reaches, px; 0 for as far as the tray
}

// at is how much darker, log10, it is at a place.
func (s shade) at(x, y float64, ground bool) [3]float64 {
	off := s.beyond(x, y)
	if ground {
		off -= s.shift
	}
	share := math.Min(math.Max(off/s.width+0.5, 0), 1)
	if s.band > 0 {
		share = math.Min(share, math.Min(math.Max((s.band-off)/s.width+0.5, 0), 1))
	}
	return dims(share, s.depth)
}

// leaned is a brink through a place, in a direction in degrees.
func leaned(degrees, x, y float64) brink {
	b := facing(int(math.Round(degrees * turns / 360)))
	b.p = b.beyond(x, y)
	return b
}

// drawTray draws faces with room between them, columns of them, in shadows.
func drawTray(columns int, shades []shade, sitters ...sitter) drawing {
	const cell = 3.2 * drawnRadius
	d := drawing{Picture: Picture{Cols: columns * cell, Rows: (len(sitters) + columns - 1) / columns * cell}}
	d.Pix = make([]byte, 3*d.Cols*d.Rows)
	var class [][]zones.Class
	var radius, bearing [][]float32
	for i := range sitters {
		d.faces = append(d.faces, round(cell*(float64(i%columns)+0.5), cell*(float64(i/columns)+0.5)))
	}
	class, radius, bearing = make([][]zones.Class, len(sitters)), make([][]float32, len(sitters)), make([][]float32, len(sitters))
	for y := range d.Rows {
		for x := range d.Cols {
			px, py := float64(x)+0.5, float64(y)+0.5
			i := min(int(py/cell)*columns+int(px/cell), len(sitters)-1)
			f := d.faces[i]
			rho := math.Hypot(px-f.X, py-f.Y) / drawnRadius
			a := math.Mod(math.Atan2(py-f.Y, px-f.X)+2*math.Pi, 2*math.Pi)
			colour, k := sitters[i].shown(rho, sitters[i].density(rho, a))
			for _, s := range shades {
				for band, dim := range s.at(px, py, rho >= 1) {
					colour[band] *= lit(-dim)
				}
			}
			d.put(x, y, colour, 0, 0)
			class[i], radius[i], bearing[i] = append(class[i], k), append(radius[i], float32(rho)), append(bearing[i], float32(a))
		}
	}
	for i := range sitters {
		d.truth = append(d.truth, zones.Count(class[i], radius[i], bearing[i], 5))
	}
	return d
}

var skyShade = [3]float64{0.6, 0.55, 0.45}

// half a face is stained, to one side.
func aside180(_, a float64) float64 {
	if a > math.Pi {
		return 0.8
	}
	return 0
}

// Faces across which the edge of a shadow runs are read as if they lay in the sun, and so are those in it.
func TestShadowEndsOnFaces(t *testing.T) {
	sitters := []sitter{
		{density: beyond(0.5, 0.8)}, {density: beyond(0.6, 0.8)}, {density: evenly(0.9)}, {density: beyond(0.4, 0.7)},
		{density: evenly(0)}, {density: aside180}, {density: beyond(0.7, 0.8)}, {density: aside180},
	}
	middle := leaned(20, 2.6*3.2*drawnRadius, 3.2*drawnRadius)
	for _, tt := range []struct {
		name   string
		shades []shade
		ends   []int // faces on which the shadow is drawn to end
	}{
		{"one edge", []shade{{middle, 40, 18, skyShade, 0}}, []int{2, 6}},
		{"upright", []shade{{leaned(0, 2.5*3.2*drawnRadius, 0), -60, 9, skyShade, 0}}, []int{2, 6}},
		{"from the left, soft", []shade{{leaned(180, 1.6*3.2*drawnRadius, 0), 30, 25, skyShade, 0}}, []int{1, 5}},
		{"a patch of sun", []shade{{middle, 40, 18, skyShade, 0}, {leaned(190, 0.4*3.2*drawnRadius, 1.6*drawnRadius), 40, 18, skyShade, 0}}, []int{0, 2, 4, 6}},
	} {
		d := drawTray(4, tt.shades, sitters...)
		for i, r := range d.read() {
			if got, want := stained(r.Profile), stained(d.truth[i]); math.Abs(got-want) > 0.03 {
				t.Errorf("%s: face %d: %.3f stained, drawn were %.3f", tt.name, i, got, want)
			}
			if got, want := r.Edge, slices.Contains(tt.ends, i); got != want {
				t.Errorf("%s: face %d: the shadow ends on it: %v, want %v", tt.name, i, got, want)
			}
		}
	}
}

// Where the shadow is seen to end, what lies in it may be stained all over.
func TestStainedInTheShade(t *testing.T) {
	const cell = 3.2 * drawnRadius
	d := drawTray(3, []shade{{leaned(0, 1.45*cell, 0), 40, 15, skyShade, 0}},
		sitter{density: beyond(0.5, 0.8)}, sitter{density: beyond(0.6, 0.8)}, sitter{density: evenly(0.9)},
		sitter{density: beyond(0.7, 0.8)}, sitter{density: beyond(0.4, 0.8)}, sitter{density: evenly(0.9)})
	for i, r := range d.read() {
		if got, want := stained(r.Profile), stained(d.truth[i]); math.Abs(got-want) > 0.03 {
			t.Errorf("face %d: %.3f stained, drawn were %.3f", i, got, want)
		}
	}
}

// A line speaks for a shadow's edge where most places on it show its drop.
func TestSupports(t *testing.T) {
	depth := [3]float64{0.6, 0.6, 0.6}
	step := func(by float64) func(u, v float64) float64 {
		return func(u, _ float64) float64 { return by * math.Min(math.Max(u/0.02, 0), 1) }
	}
	partly := func(share float64) func(u, v float64) float64 {
		return func(u, v float64) float64 {
			if v < -0.9+1.8*share {
				return step(0.6)(u, v)
			}
			return 0
		}
	}
	soft := ending{width: 0.3}
	soft.u = 1
	for _, tt := range []struct {
		name string
		dark func(u, v float64) float64
		want bool
	}{
		{"the shadow", step(0.6), true},
		{"a little less", step(0.6 * 0.71), true},
		{"less", step(0.6 * 0.61), false},
		{"a little more", step(0.6 * 1.29), true},
		{"more", step(0.6 * 1.39), false},
		{"nothing", step(0), false},
		{"the sun beyond", func(u, v float64) float64 { return step(0.6)(-u, v) }, false},
		{"four of ten places", partly(0.41), true},
		{"three of ten", partly(0.29), false},
		{"a wide penumbra", func(u, v float64) float64 { return dims(soft.share(u, v), depth)[0] }, true},
		{"a narrow band of shade", func(u, _ float64) float64 {
			if u > 0 && u < 0.15 {
				return 0.6
			}
			return 0
		}, true},
	} {
		if got := reliefOf(tt.dark).supports(depth)[0][0][place(0)]; got > 0 != tt.want {
			t.Errorf("%s: %.2f speaks for it", tt.name, got)
		}
	}
	s := reliefOf(step(0.6)).supports(depth)[0]
	if most := s[0][place(0)]; most < 1 || s[turns/2][place(0)] > 0 || s[turns/4][place(0)] > 0 {
		t.Errorf("%.2f speaks for the edge, %.2f for it the other way and %.2f across", most, s[turns/2][place(0)], s[turns/4][place(0)])
	}
}

// Faces higher than others have the edge elsewhere, by so much.
func TestStrayed(t *testing.T) {
	var s support
	s[10][20] = 1
	got := s.strayed()
	for _, tt := range []struct {
		turn, place int
		want        float32
	}{{10, 20, 1}, {10, 23, 1}, {10, 17, 1}, {10, 24, 0}, {10, 16, 0}, {11, 20, 1}, {9, 23, 1}, {12, 20, 0}} {
		if got[tt.turn][tt.place] != tt.want {
			t.Errorf("turn %d, place %d: %v, want %v", tt.turn, tt.place, got[tt.turn][tt.place], tt.want)
		}
	}
	if b := s.ease(brink{turn: 11, p: 0.1}); b.turn != 10 || math.Abs(b.p) > 1e-9 {
		t.Errorf("eased to %+v", b)
	}
	s[71][0] = 1
	if got := s.strayed(); got[0][0] != 1 || got[70][2] != 1 {
		t.Error("directions do not go round")
	}
}

// flanked is the scene with what its reliefs show on either side of lines.
func (c scene) flanked() scene {
	c.flanks = nil
	for _, r := range c.reliefs {
		c.flanks = append(c.flanks, r.flanks())
	}
	return c
}

func strayedOf(of []*support) (out []*support) {
	for _, s := range of {
		out = append(out, s.strayed())
	}
	return out
}

// groundBeyond is ground in the sun, and in the shade from a number of radii beyond x = 0 on, as far as another.
func groundBeyond(from, to, shaded float64) [][]sample {
	const radius = 50
	var ring []sample
	for x := -4.0; x < 4; x += 0.02 {
		for k := range 20 {
			p := sample{u: x * radius, v: float64(k), c: [3]float64{-0.5, -0.5, -0.5}}
			if x >= from && x < to || x < 0 && float64(k) < 20*shaded {
				p.c = [3]float64{-1.1, -1.1, -1.1}
			}
			ring = append(ring, p)
		}
	}
	return [][]sample{ring}
}

// The ground says on which side of a brink the shadow is, from beyond where the brink may lie on it.
func TestBrinkParts(t *testing.T) {
	for _, tt := range []struct {
		name             string
		from, to, shaded float64
		want             bool
	}{
		{"all beyond it in the shade", 0, 9, 0, true},
		{"where halves shade half of the ground in the sun", 0, 9, 0.5, true},
		{"where they shade more", 0, 9, 0.7, false},
		{"from a little beyond on", 0.95, 9, 0, true},
		{"from further beyond on", 1.25, 9, 0, false},
		{"most of it", 0, 2.85, 0, true},
		{"less", 0, 2.7, 0, false},
		{"as far as it tells", 0, 3.0, 0, true},
		{"none", 9, 9, 0, false},
	} {
		if got := (scene{rings: groundBeyond(tt.from, tt.to, tt.shaded), radius: 50}).parts(facing(0), -0.8); got != tt.want {
			t.Errorf("%s: %v", tt.name, got)
		}
	}
}

// Little ground does not tell.
func TestLittleGroundParts(t *testing.T) {
	ring := groundBeyond(0, 9, 0)[0]
	for share, want := range map[float64]bool{0.012: true, 0.008: false} {
		elsewhere := make([]sample, 0, len(ring))
		for n := float64(len(ring)) / 4; float64(len(elsewhere)) < n/share; { // a quarter of it tells on each side
			elsewhere = append(elsewhere, sample{u: 0, c: ring[0].c})
		}
		if got := (scene{rings: [][]sample{ring, elsewhere[:len(elsewhere)-len(ring)]}, radius: 50}).parts(facing(0), -0.8); got != want {
			t.Errorf("%.3f of the ground beyond it: %v", share, got)
		}
	}
}

// The first edge of a shadow takes more evidence than further ones, which do not lie on the same faces nor in its shade.
func TestBrinks(t *testing.T) {
	c := scene{radius: 50, rings: groundBeyond(0, 9, 0)}
	for _, x := range []float64{-60, 0, 60, 180} {
		c.faces = append(c.faces, Face{X: x, Radius: 50})
		c.reliefs = append(c.reliefs, reliefOf(func(u, v float64) float64 { return 0 }))
	}
	c.rings[0] = append(c.rings[0], groundBeyond(0, 9, 0)[0]...)
	for _, tt := range []struct {
		name   string
		first  float64 // what speaks for an edge on the second face
		before float64 // how much darker flesh is before it than in the sun
		dark   float64 // and beyond it
		want   int
	}{
		{"enough", 0.55, 0, 0.6, 1},
		{"too little", 0.45, 0, 0.6, 0},
		{"a little too bright beyond", 0.55, 0, 0.35, 1},
		{"as bright as in the sun", 0.55, 0, 0.25, 0},
		{"a little too dark before", 0.55, 0.25, 0.6, 1},
		{"as dark as in the shade", 0.55, 0.35, 0.6, 0},
	} {
		of := make([]*support, len(c.faces))
		for i := range of {
			of[i] = &support{}
		}
		of[1][0][place(0)] = float32(tt.first)
		of[2][0][place(0)] = 0.3 // in the shade of the first
		c.reliefs[1] = reliefOf(func(u, _ float64) float64 {
			if u > 0 {
				return tt.dark
			}
			return tt.before
		})
		c.reliefs[2], c.reliefs[3] = reliefOf(func(u, v float64) float64 { return tt.dark }), reliefOf(func(u, v float64) float64 { return tt.dark })
		s := &shadow{depth: [3]float64{0.6, 0.6, 0.6}, half: -0.8}
		if got := s.brinks(c.flanked(), strayedOf(of)); len(got) != tt.want {
			t.Errorf("%s: %+v, want %d", tt.name, got, tt.want)
		}
	}
}

// A further edge takes less.
func TestNextBrink(t *testing.T) {
	ring := groundBeyond(0, 9, 0)[0]
	for _, p := range groundBeyond(0, 9, 0)[0] { // the sun from -4 to 0 radii, shade before and beyond
		p.u = -p.u - 8*50
		ring = append(ring, p)
	}
	c := scene{radius: 50, rings: [][]sample{ring}}
	side := func(sign float64) *relief {
		return reliefOf(func(u, _ float64) float64 {
			if sign*u > 0 {
				return 0.6
			}
			return 0
		})
	}
	c.faces = []Face{{X: -400, Radius: 50}, {X: -200, Radius: 50}, {X: 0, Radius: 50}}
	c.reliefs = []*relief{nil, reliefOf(func(u, v float64) float64 { return 0 }), side(1)}
	for _, tt := range []struct {
		turn   int
		next   float64
		before float64 // how much darker flesh is before it than in the sun
		want   int
	}{
		{36, 0.22, 0, 2}, {36, 0.18, 0, 1}, {36 + 4, 0.22, 0, 2}, {36 + 5, 0.4, 0, 1}, {36 - 4, 0.22, 0, 2}, {36 - 5, 0.4, 0, 1},
		{36, 0.22, 0.4, 2}, // stained all over
	} {
		c.reliefs[0] = reliefOf(func(u, _ float64) float64 {
			if u < 0 {
				return tt.before + 0.6
			}
			return tt.before
		})
		of := []*support{{}, {}, {}}
		of[2][0][place(0)], of[0][tt.turn][place(0)] = 0.6, float32(tt.next)
		s := &shadow{depth: [3]float64{0.6, 0.6, 0.6}, half: -0.8}
		if got := s.brinks(c.flanked(), strayedOf(of)); len(got) != tt.want {
			t.Errorf("%.2f speaks for the second, %d turns on: %+v, want %d", tt.next, tt.turn, got, tt.want)
		}
	}
}

// Where a shadow ends on one side of a tray it may end on the other, and does not end on the same side again.
func TestLeast(t *testing.T) {
	one := []brink{facing(10)}
	for _, tt := range []struct {
		turn   int
		others []brink
		want   float64
	}{
		{10, nil, 0.5}, {10, one, math.Inf(1)}, {13, one, math.Inf(1)}, {7, one, math.Inf(1)}, {14, one, 0.5}, {6, one, 0.5},
		{46, one, 0.2}, {43, one, 0.2}, {49, one, 0.2}, {50, one, 0.5}, {42, one, 0.5}, {10, []brink{facing(46)}, 0.2},
		{71, []brink{facing(1)}, math.Inf(1)}, {46, []brink{facing(10), facing(28)}, 0.2}, {46, []brink{facing(10), facing(45)}, math.Inf(1)},
	} {
		if got := facing(tt.turn).least(tt.others); got != tt.want {
			t.Errorf("turn %d beside %d others: %v, want %v", tt.turn, len(tt.others), got, tt.want)
		}
	}
}

// Discs that somebody pointed out may be as small as nothing.
func TestLinesEnd(t *testing.T) {
	n := 0
	scene{faces: []Face{{X: 0}, {X: 100}, {X: 1000, Radius: 50}}}.lines(func(brink) { n++ })
	if n == 0 || n > 2_000_000 {
		t.Errorf("%d lines", n)
	}
}
