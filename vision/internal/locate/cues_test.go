package locate

import (
	"math"
	"testing"
)

// drawnFace is an unrolled face, wholly in the picture, of what a function shows at a bearing
// in radians and a depth in shares of the radius.
func drawnFace(show func(a, rho float64) shade) *unrolled {
	u := new(unrolled)
	for b := range u.at {
		u.within[b] = lookDepths
		for k := range u.at[b] {
			u.at[b][k] = show(2*math.Pi*float64(b)/lookBearings, (float64(k)+0.5)/lookDepths)
		}
	}
	return u
}

// step of the histograms that quantiles are read off.
const binned = countStep

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.Abs(got-want) > tolerance {
		t.Errorf("%s is %.4f, want %.4f", what, got, want)
	}
}

func TestSeeds(t *testing.T) {
	// Two of ten parts of the core are brown, so that the warmest seventh is; flesh beyond has warmth 0.2.
	u := drawnFace(func(a, rho float64) shade {
		if rho < 0.25 && math.Mod(a, math.Pi/5) < math.Pi/25 {
			return shade{warm: 0.9}
		}
		return shade{warm: 0.2}
	})
	near(t, "brown in the core", u.seeds(), 0.7, binned)
	near(t, "an even face", drawnFace(func(a, rho float64) shade { return shade{warm: 0.2} }).seeds(), 0, binned)
}

func TestDetail(t *testing.T) {
	// The same waves along all circles come as often per radian, so that per px their steps fall off with the radius:
	// the core's four circles against the flesh's four, by the sum of 1 / radius.
	inner, outer := 0.0, 0.0
	for k := 1; k < coreDepth; k++ {
		inner += 1 / (float64(k) + 0.5)
	}
	for k := fleshDepth; k < aroundDepth; k++ {
		outer += 1 / (float64(k) + 0.5)
	}
	waves := func(a, rho float64) shade { return shade{dark: float32(math.Cos(6 * a))} }
	near(t, "waves all over", drawnFace(waves).detail(), math.Log(inner/outer), 0.01)
	core := drawnFace(func(a, rho float64) shade {
		if rho > 0.25 {
			return shade{}
		}
		return waves(a, rho)
	})
	if d := core.detail(); d < 4 {
		t.Errorf("waves in the core alone say %.2f, even flesh around makes it large", d)
	}
	near(t, "an even face", drawnFace(func(a, rho float64) shade { return shade{} }).detail(), 0, 1e-9)
}

func TestFold(t *testing.T) {
	pattern := func(n float64) float64 {
		return drawnFace(func(a, rho float64) shade { return shade{dark: float32(0.3 * math.Cos(n*a))} }).fold()
	}
	// Power of a wave of 0.3 is 0.15² on each of the four circles of the core, against noise.
	full := math.Log((4*0.15*0.15 + 0.002) / 0.002)
	for n := 3.0; n <= 7; n++ {
		near(t, "a star", pattern(n), full, 1e-6)
	}
	near(t, "a pair of seeds", pattern(2), -full, 1e-6)
	near(t, "what comes round once", pattern(1), 0, 1e-6)
}

func TestExtremes(t *testing.T) {
	// A third of the face is clear, a third stained, a third in between.
	u := drawnFace(func(a, rho float64) shade {
		switch {
		case a < 2*math.Pi/3:
			return shade{dark: 0.1, warm: 0.3, green: -0.05}
		case a < 4*math.Pi/3:
			return shade{dark: 0.4, warm: 0.1}
		}
		return shade{dark: 0.8, warm: -0.1, green: 0.1}
	})
	flesh, green, dark := u.extremes()
	near(t, "warmth of the lightest", flesh, 0.3, 1e-6)
	near(t, "greenness of the lightest", green, -0.05, 1e-6)
	near(t, "warmth of the darkest", dark, -0.1, 1e-6)
}

func TestBlueing(t *testing.T) {
	half := func(d, w float32) *unrolled {
		return drawnFace(func(a, rho float64) shade {
			if a < math.Pi {
				return shade{dark: 0.1, warm: 0.3}
			}
			return shade{dark: 0.1 + d, warm: 0.3 + w}
		})
	}
	// Half of the face darker by d has a standard deviation of d/2 and a covariance of d w / 4. The complex takes
	// away 1 : .86 : .56 of red, green and blue: .807 of mean density for .44 of warmth.
	want := 0.807 * 0.44 / 4 / math.Hypot(0.807/2, 0.05)
	near(t, "stain", half(0.807, -0.44).blueing(), want, 1e-6)
	near(t, "shadow", half(0.5, 0).blueing(), 0, 1e-6)
	if b := half(0.3, 0.4).blueing(); b > -0.15 {
		t.Errorf("a brown crust says %.3f", b)
	}
}

func TestLimb(t *testing.T) {
	// From 0.725 to 0.925 of the radius a ball lit from above loses cos(asin): log10(0.689/0.380).
	ball := drawnFace(func(a, rho float64) shade { return shade{dark: float32(-math.Log10(math.Sqrt(1 - rho*rho)))} })
	near(t, "a ball", ball.limb(), math.Log10(0.6887/0.3800), binned)
	stained := drawnFace(func(a, rho float64) shade {
		if rho > 0.8 {
			return shade{dark: 0.5, warm: -0.3}
		}
		return shade{warm: 0.2}
	})
	near(t, "a ring of stain", stained.limb(), 0, binned)
}

func TestOblong(t *testing.T) {
	g := ringOf(9, 5, func(a float64) float64 { return 60 * 45 / math.Hypot(45*math.Cos(a-0.3), 60*math.Sin(a-0.3)) })
	// Widths are looked at every 11 degrees on points 11 degrees apart: within 1 in 100.
	near(t, "an ellipse of 60 by 45", g.oblong(), 60.0/45, 0.02)
	c := circle(0, 0, 50)
	near(t, "a circle", c.oblong(), 1, 0.01)
}

func TestJaggedness(t *testing.T) {
	lobed := ringOf(0, 0, func(a float64) float64 { return 50 + 3*math.Cos(5*a) })
	near(t, "a lobed fruit", lobed.jaggedness(), 0, 1e-9)
	// A wave of amplitude A has an effective value of A/sqrt 2; means of four of 128 bearings keep
	// sin(x)/x of it on either side, x a sixteenth of its half period here: 12 waves, 10.7 bearings each.
	x := math.Pi * 4 / (bearings / 12.0)
	grains := ringOf(0, 0, func(a float64) float64 { return 50 + math.Cos(12*a) })
	near(t, "grains of starch", grains.jaggedness(), math.Sin(x)/x/math.Sqrt2/50, 3e-4)
}

func TestEdgeAlong(t *testing.T) {
	const r = 60
	disc := func(outside float64) *picture {
		return drawnPicture(200, 200, func(x, y float64) float64 {
			if math.Hypot(x-100, y-100) < r {
				return 80
			}
			return outside
		})
	}
	on, off := circle(100, 100, r), circle(100, 100, 0.8*r)
	near(t, "a sharp edge", edgeAlong(disc(40), &on), 1, 0)
	// Half of what counts as clear.
	near(t, "a faint edge", edgeAlong(disc(80-clearEdge/2), &on), 0.5, 0.05)
	near(t, "an outline without an edge", edgeAlong(disc(40), &off), 0, 0)
}

func TestSkinAlong(t *testing.T) {
	const r, skin = 60.0, 4.0
	drawn := func(l, a float64) *picture {
		p := drawnPicture(200, 200, func(x, y float64) float64 {
			switch d := math.Hypot(x-100, y-100); {
			case d < r-skin:
				return 80
			case d < r:
				return l
			}
			return 40
		})
		for i := range p.w * p.h {
			if d := math.Hypot(float64(i%p.w)+0.5-100, float64(i/p.w)+0.5-100); d < r && d > r-skin {
				p.lab[3*i+1] = uint8(128 + a)
			}
		}
		return p
	}
	g := circle(100, 100, r)
	near(t, "no skin, between the two", skinAlong(drawn(60, 0), &g), 0, 1)
	near(t, "a halo of sharpening", skinAlong(drawn(95, 0), &g), 0, 1)
	near(t, "red skin", skinAlong(drawn(60, 30), &g), 30, 1)
}
