package locate

import (
	"image"
	"image/draw"
	"math"
	"testing"

	"golang.org/x/image/vector"
)

// ringOf draws an outline around (x, y) from a function of the bearing in radians.
func ringOf(x, y float64, radius func(a float64) float64) ring {
	g := ring{x: x, y: y}
	for b := range g.r {
		g.r[b] = radius(2 * math.Pi * float64(b) / bearings)
	}
	return g
}

func circle(x, y, r float64) ring { return ringOf(x, y, func(float64) float64 { return r }) }

// sagitta is how far the sides of a ring of radius r lie inside the circle at most.
func sagitta(r float64) float64 { return r * (1 - math.Cos(math.Pi/bearings)) }

func TestRingRadius(t *testing.T) {
	// A regular polygon of n corners at radius r has the area n/2 r² sin(2 pi/n).
	turn := 2 * math.Pi / bearings
	g := circle(100, 80, 50)
	if got, want := g.radius(), 50*math.Sqrt(math.Sin(turn)/turn); math.Abs(got-want) > 1e-9 {
		t.Errorf("radius of a circle of 50 px is %v, want %v", got, want)
	}
	// An ellipse seen from its centre has the area pi a b; the chords lose 0.04 % of it.
	g = ringOf(0, 0, func(a float64) float64 { return 60 * 40 / math.Hypot(40*math.Cos(a), 60*math.Sin(a)) })
	if got, want := g.radius(), math.Sqrt(60*40); math.Abs(got-want) > 0.001*want {
		t.Errorf("radius of an ellipse of 60 by 40 px is %v, want %v", got, want)
	}
}

// The area inside an outline, against the pixels that the rasterizer of
// golang.org/x/image covers; its coverage is kept in 1/255 of a pixel, of which
// only those along the outline can be off: 2 pi r of pi r².
func TestRingAreaAgainstRasterizer(t *testing.T) {
	for name, g := range map[string]ring{
		"circle": circle(150, 140, 90),
		"lobed":  ringOf(150.3, 139.6, func(a float64) float64 { return 90 + 6*math.Cos(5*a) + 4*math.Sin(2*a) }),
		"bent":   ringOf(150, 150, func(a float64) float64 { return 70 + 30*math.Cos(3*a) }),
	} {
		z := vector.NewRasterizer(300, 300)
		for b := range bearings {
			x, y := g.point(b)
			if b == 0 {
				z.MoveTo(float32(x), float32(y))
			} else {
				z.LineTo(float32(x), float32(y))
			}
		}
		z.ClosePath()
		mask := image.NewAlpha(image.Rect(0, 0, 300, 300))
		z.DrawOp = draw.Src
		z.Draw(mask, mask.Rect, image.Opaque, image.Point{})
		var area, sx, sy float64
		for y := range 300 {
			for x := range 300 {
				v := float64(mask.AlphaAt(x, y).A) / 255
				area += v
				sx += v * (float64(x) + 0.5)
				sy += v * (float64(y) + 0.5)
			}
		}
		r := g.radius()
		if got := math.Pi * r * r; math.Abs(got-area) > 2*math.Pi*r/255 {
			t.Errorf("%s: area %.2f px, rasterized %.2f", name, got, area)
		}
		if x, y := g.centroid(); math.Hypot(x-sx/area, y-sy/area) > 0.02 {
			t.Errorf("%s: centroid %.3f, %.3f, rasterized %.3f, %.3f", name, x, y, sx/area, sy/area)
		}
	}
}

func TestRingRecentred(t *testing.T) {
	// A circle seen from d beside its centre: -d cos a + sqrt(R² - d² sin² a).
	const r, d = 80.0, 25.0
	g := circle(200, 120, r)
	seen := g.recentred(200+d, 120)
	for b, got := range seen.r {
		sin, cos := math.Sincos(2 * math.Pi * float64(b) / bearings)
		want := -d*cos + math.Sqrt(r*r-d*d*sin*sin)
		// A ray that meets the circle aslant meets the chord up to R / sqrt(R² - d²) times its sagitta early.
		if math.Abs(got-want) > sagitta(r)*r/math.Sqrt(r*r-d*d) {
			t.Fatalf("bearing %d: %.4f px to the edge, want %.4f", b, got, want)
		}
	}
	if x, y := seen.centroid(); math.Hypot(x-200, y-120) > 0.05 {
		t.Errorf("centroid of the circle seen from beside its centre: %.3f, %.3f", x, y)
	}
	same := g.recentred(g.x, g.y)
	for b := range same.r {
		if math.Abs(same.r[b]-r) > 1e-9 {
			t.Fatalf("seen from its own centre bearing %d became %v", b, same.r[b])
		}
	}
}

func TestRingDistance(t *testing.T) {
	// From outside, the ray crosses the outline twice or not at all; the farther
	// crossing counts.
	g := circle(0, 0, 10)
	for _, tt := range []struct{ x, y, dx, dy, want float64 }{
		{0, 0, 1, 0, 10},
		{4, 0, 1, 0, 6},
		{4, 0, -1, 0, 14},
		{0, 3, 0, 1, 7},
		{-20, 0, 1, 0, 30},
		{20, 0, 1, 0, 0},
		{0, 30, 1, 0, 0},
	} {
		corners := g.corners(tt.x, tt.y)
		bearing := int(math.Round(math.Atan2(tt.dy, tt.dx)/(2*math.Pi)*bearings)+bearings) % bearings
		if got := distance(&corners, bearing, tt.dx, tt.dy); math.Abs(got-tt.want) > 1e-9 {
			t.Errorf("from (%v, %v) towards (%v, %v): %v, want %v", tt.x, tt.y, tt.dx, tt.dy, got, tt.want)
		}
	}
}

func TestRingRadiusAt(t *testing.T) {
	g := ringOf(5, 5, func(a float64) float64 { return 20 + 3*math.Cos(a) })
	step := 2 * math.Pi / bearings
	for _, b := range []int{0, 1, 63, 127, 128, -1, 256} {
		if got, want := g.radiusAt(float64(b)*step), g.r[(b+2*bearings)%bearings]; math.Abs(got-want) > 1e-9 {
			t.Errorf("bearing %d: %v, want %v", b, got, want)
		}
	}
	if got, want := g.radiusAt(127.5*step), (g.r[127]+g.r[0])/2; math.Abs(got-want) > 1e-9 {
		t.Errorf("between the last bearing and the first: %v, want %v", got, want)
	}
	for _, tt := range []struct {
		x, y, s float64
		want    bool
	}{{5, 5, 1, true}, {27.9, 5, 1, true}, {28.1, 5, 1, false}, {-12.1, 5, 1, false}, {-11.9, 5, 1, true}, {27.9, 5, 0.9, false}, {5, 5.1, 0, false}} {
		if got := g.contains(tt.x, tt.y, tt.s); got != tt.want {
			t.Errorf("(%v, %v) inside the ring scaled by %v: %v", tt.x, tt.y, tt.s, got)
		}
	}
}

func TestRingSmooth(t *testing.T) {
	low := func(a float64) float64 { return 50 + 3*math.Cos(2*a-1) + 2*math.Sin(4*a) }
	g := ringOf(0, 0, func(a float64) float64 { return low(a) + 1.5*math.Cos(7*a) + math.Sin(20*a) })
	want := ringOf(0, 0, low)
	got := g.smooth(4)
	for b := range got.r {
		if math.Abs(got.r[b]-want.r[b]) > 1e-9 {
			t.Fatalf("bearing %d: %v, its first four harmonics give %v", b, got.r[b], want.r[b])
		}
	}
}

func TestRoughness(t *testing.T) {
	// Lobes are smooth; a ripple of amplitude A beyond the seventh harmonic has a root mean square of A/sqrt 2.
	for _, a := range []float64{0, 1, 3} {
		g := ringOf(0, 0, func(b float64) float64 { return 80 + 4*math.Cos(5*b) + 2*math.Sin(2*b) + a*math.Cos(12*b) })
		if got, want := g.roughness(), a/math.Sqrt2/g.radius(); math.Abs(got-want) > 1e-9 {
			t.Errorf("ripple of %v px: roughness %v, want %v", a, got, want)
		}
	}
}

func TestEdgeIsClockwise(t *testing.T) {
	f := Face{Core: Point{10, 20}, Outline: []float64{5, 6, 7, 8}}
	want := []Point{{15, 20}, {10, 26}, {3, 20}, {10, 12}} // right, below, left, above
	for i, p := range f.Edge() {
		if math.Hypot(p.X-want[i].X, p.Y-want[i].Y) > 1e-9 {
			t.Errorf("point %d of the edge is %v, want %v", i, p, want[i])
		}
	}
}
