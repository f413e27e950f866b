package painter

import (
	"math"
	"testing"
)

// disc is a round face.
func disc(radius, height float64) *shape {
	s := &shape{mean: radius, max: radius, height: height}
	for i := range s.rho {
		s.rho[i] = radius
	}
	return s
}

func TestShapeStaysNearItsRadius(t *testing.T) {
	for seed := range uint64(200) {
		s := newShape(37, 36, seed)
		if math.Abs(s.mean-37) > 1e-9 {
			t.Fatalf("seed %d: mean radius %g, want 37", seed, s.mean)
		}
		for i := range bearings {
			th := 2 * math.Pi * (float64(i) + 0.5) / bearings
			if r := s.at(th - 2*math.Pi*float64(i%2)); r < 37*0.85 || r > 37*1.15 {
				t.Fatalf("seed %d: radius %g at %g", seed, r, th)
			}
		}
	}
}

func TestGapOfDiscs(t *testing.T) {
	for _, c := range []struct{ dx, dy, want float64 }{
		{80, 0, 10}, {0, 70, 0}, {48, 48, 48*math.Sqrt2 - 70}, {-60, 0, -10},
	} {
		if got := gap(disc(40, 36), disc(30, 36), c.dx, c.dy); math.Abs(got-c.want) > 0.01 {
			t.Errorf("gap at %g, %g is %g, want %g", c.dx, c.dy, got, c.want)
		}
	}
}

func TestGirth(t *testing.T) {
	if girth(0) != 1 || girth(1) != 0.5 {
		t.Errorf("girth runs from %g to %g, want 1 to 0.5", girth(0), girth(1))
	}
	const e = 1e-6
	for _, u := range []float64{0.1, 0.5, 0.9} {
		if got := (girth(u+e) - girth(u-e)) / (2 * e); math.Abs(got-girthSlope(u)) > 1e-6 {
			t.Errorf("slope at %g is %g, formula says %g", u, got, girthSlope(u))
		}
	}
}

func TestHalfIsHitOnFaceAndSide(t *testing.T) {
	h := half{shape: disc(30, 40)}
	at, depth, ok := h.hit(vec{10, 5, 400}, vec{z: -1})
	if !ok || at != 360 || depth != 0 {
		t.Errorf("from above: hit at %g, depth %g, %v; want 360, 0, true", at, depth, ok)
	}
	if _, _, ok := h.hit(vec{31, 0, 400}, vec{z: -1}); ok {
		t.Error("a ray straight down beside the face must miss: the body narrows downward")
	}
	// 45 degrees inward from x = 40 at the height of the face: the body at depth u is
	// met where 40 - 40u = 30 (1 - u^2.5 / 2)
	_, depth, ok = h.hit(vec{440, 0, 440}, vec{-1, 0, -1}.unit())
	if !ok || math.Abs(40-40*depth-30*girth(depth)) > 0.5 {
		t.Errorf("from the side: depth %g, %v", depth, ok)
	}
}

func TestShadowOfADisc(t *testing.T) {
	h := half{shape: disc(30, 36)}
	sun := from(0, 45) // shadow of the face falls on x from -66 to -6
	for _, c := range []struct {
		x    float64
		dark bool
	}{{-60, true}, {-40, true}, {-67.5, false}, {40, false}} {
		got := h.shade(vec{x: c.x}, sun, math.Inf(1), 0.01)
		if (got < 0.1) != c.dark || (got > 0.9) == c.dark {
			t.Errorf("at x = %g the sun shows to %.2f, dark: %v", c.x, got, c.dark)
		}
	}
	// on the border half of the lamp is hidden
	if got := h.shade(vec{x: -66}, sun, math.Inf(1), 0.1); math.Abs(got-0.5) > 0.02 {
		t.Errorf("on the shadow's border %.2f of the lamp shows, want 0.5", got)
	}
}

func TestFruitIsASolidOnTheTray(t *testing.T) {
	f := newFruit(FruitSpec{X: 20, Y: -10, Radius: 36, Variety: Yellow, Seed: 5})
	at, ok := f.hit(vec{40, -10, 300}, vec{z: -1}, 300) // clear of the stem
	if z := 300 - at; !ok || z < 30 || z > 75 {
		t.Errorf("from above the fruit is met at height %.1f, %v", z, ok)
	}
	if f.dist(f.middle) >= 0 || f.dist(vec{20, -10, 200}) <= 0 {
		t.Error("the middle must lie inside and a point above outside")
	}
	if _, ok := f.hit(vec{70, -10, 300}, vec{z: -1}, 300); ok {
		t.Error("a ray 50 mm beside the axis meets a fruit of 36 mm")
	}
	n := f.normal(vec{40, -10, 300 - at})
	if math.Abs(n.norm()-1) > 1e-9 || n.z < 0.3 || n.x < 0 {
		t.Errorf("the surface faces %v", n)
	}
}

func TestFifth(t *testing.T) {
	for th := -3.0; th < 3; th += 0.37 {
		re, im := fifth(4*math.Cos(th), 4*math.Sin(th))
		if math.Abs(re-math.Cos(5*th)) > 1e-6 || math.Abs(im-math.Sin(5*th)) > 1e-6 {
			t.Errorf("five times %g is at %g, %g", th, re, im)
		}
	}
}

func TestDistances(t *testing.T) {
	if got := capsule(vec{3, 4, 0}, vec{}, vec{x: 10}, 1, 1); math.Abs(got-3) > 1e-12 {
		t.Errorf("distance to the rod is %g, want 3", got)
	}
	if got := box(vec{13, 9, 1}, 10, 5, 2, 0); math.Abs(got-5) > 1e-12 {
		t.Errorf("distance to the box is %g, want 5", got)
	}
	if got := join(2, 2, 4); got != 1 {
		t.Errorf("two surfaces 2 away join to %g, want 1", got)
	}
}
