package locate

import (
	"math"
	"testing"
)

// drawnPicture has the lightness (CIELAB L*, 0 to 100) that a function gives for
// the middle of every pixel, and no colour.
func drawnPicture(w, h int, light func(x, y float64) float64) *picture {
	p := &picture{w: w, h: h, lab: make([]uint8, 3*w*h)}
	for y := range h {
		for x := range w {
			l := light(float64(x)+0.5, float64(y)+0.5)
			i := 3 * (y*w + x)
			p.lab[i] = uint8(math.Round(math.Min(math.Max(l, 0), 100) * 2.55))
			p.lab[i+1], p.lab[i+2] = 128, 128
		}
	}
	p.code, p.colours = number(p.lab, p.lab)
	return p
}

// lobes is a star of n around (cx, cy), from 0.05 to 0.27 of the radius r of its face.
func lobes(n, cx, cy, r, amplitude float64) func(x, y float64) float64 {
	return func(x, y float64) float64 {
		d := math.Hypot(x-cx, y-cy) / r
		if d < 0.05 || d > 0.27 {
			return 60
		}
		return 60 + amplitude*math.Cos(n*math.Atan2(y-cy, x-cx)-0.7)
	}
}

func TestStar(t *testing.T) {
	const r = 250.0
	// A star of amplitude A has the variance A²/2 on each circle, and all of it is
	// explained but what is put down to noise, 4: A² / (A² + 8). Samples are whole pixels,
	// half a pixel off at most 0.7/22 radians of the innermost circle, five times that in phase.
	for _, a := range []float64{6, 10, 25} {
		p := drawnPicture(600, 560, lobes(5, 300, 280, r, a))
		if got, want := starAt(p, 300, 280, r), a*a/(a*a+8); math.Abs(got-want) > 0.02 {
			t.Errorf("a star of amplitude %v: share %.3f, want %.3f", a, got, want)
		}
	}
	for name, light := range map[string]func(x, y float64) float64{
		"nothing":              func(float64, float64) float64 { return 60 },
		"a slope":              func(x, y float64) float64 { return x / 10 },
		"an edge":              func(x, _ float64) float64 { return 20 + 60*math.Round(x/600) },
		"a disc":               func(x, y float64) float64 { return 80 - 50*math.Round(math.Min(1, math.Hypot(x-300, y-280)/60)) },
		"a star of three":      lobes(3, 300, 280, r, 25),
		"a star of four":       lobes(4, 300, 280, r, 25),
		"a star of six":        lobes(6, 300, 280, r, 25),
		"a star too faint":     lobes(5, 300, 280, r, 4),
		"a star somewhere far": lobes(5, 80, 80, r/3, 25),
	} {
		if got := starAt(drawnPicture(600, 560, light), 300, 280, r); got > 0.05 {
			t.Errorf("%s passes for a star: share %.3f", name, got)
		}
	}
}

func TestCoreIsFound(t *testing.T) {
	const r = 120.0
	for _, off := range [][2]float64{{0, 0}, {9, -5}, {-12, 8}, {3, 13}} {
		cx, cy := 200+off[0], 180+off[1]
		p := drawnPicture(400, 360, lobes(5, cx, cy, r, 20))
		c := findCore(p, 200, 180, r)
		// found on a grid of starSpacing radii
		if d := math.Hypot(c.x-cx, c.y-cy); d > starSpacing*r {
			t.Errorf("core at %v, %v found %.1f px off", cx, cy, d)
		}
		if c = centreCore(p, c, r); math.Hypot(c.x-cx, c.y-cy) > 1.5 || c.share < 0.8 {
			t.Errorf("core at %v, %v centred on %.1f, %.1f with share %.2f", cx, cy, c.x, c.y, c.share)
		}
	}
	p := drawnPicture(400, 360, func(x, y float64) float64 { return 50 + x/20 })
	if c := findCore(p, 200, 180, r); c.share > 0.05 || c.x != 200 || c.y != 180 {
		t.Errorf("a core was found where there is none: %+v", c)
	}
}
