package stain

import (
	"math"
	"testing"
)

// A warp moves the places of a picture as a lens or a tilted phone does.
type warp struct {
	to, from func(x, y float64) (float64, float64)
}

// radial is a lens that moves a place at distance r from the middle, in half diagonals, to
// r (1 + k1 r^2): the first term of Brown's model (1966), as OpenCV has it with a
// focal length of half a diagonal.
func radial(cols, rows int, k1 float64) warp {
	cx, cy := float64(cols)/2, float64(rows)/2
	f := math.Hypot(cx, cy)
	return warp{
		to: func(x, y float64) (float64, float64) {
			x, y = (x-cx)/f, (y-cy)/f
			k := 1 + k1*(x*x+y*y)
			return cx + f*k*x, cy + f*k*y
		},
		from: func(x, y float64) (float64, float64) {
			x, y = (x-cx)/f, (y-cy)/f
			ux, uy := x, y
			for range 30 { // the closed form is a cubic; this settles for any lens that does not fold the picture
				k := 1 + k1*(ux*ux+uy*uy)
				ux, uy = x/k, y/k
			}
			return cx + f*ux, cy + f*uy
		},
	}
}

// tilted is a phone at a distance, px, above the middle, tilted by degrees about the y axis.
func tilted(cols, rows int, degrees, distance float64) warp {
	cx, cy := float64(cols)/2, float64(rows)/2
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return warp{
		to: func(x, y float64) (float64, float64) {
			x, y = x-cx, y-cy
			z := distance + x*sin
			return cx + distance*x*cos/z, cy + distance*y/z
		},
		from: func(x, y float64) (float64, float64) {
			x, y = x-cx, y-cy
			u := x * distance / (distance*cos - x*sin)
			return cx + u, cy + y*(distance+u*sin)/distance
		},
	}
}

// warped is the drawing seen through the warp, with its faces where they then lie.
func (d drawing) warped(w warp) drawing {
	out := drawing{Picture: Picture{Cols: d.Cols, Rows: d.Rows, Pix: make([]byte, len(d.Pix))}, truth: d.truth}
	for y := range d.Rows {
		for x := range d.Cols {
			u, v := w.from(float64(x)+0.5, float64(y)+0.5)
			d.bilinear(u-0.5, v-0.5, out.Pix[3*(y*d.Cols+x):][:3])
		}
	}
	for _, f := range d.faces {
		out.faces = append(out.faces, w.face(f))
	}
	return out
}

func (d drawing) bilinear(x, y float64, pixel []byte) {
	x, y = math.Min(math.Max(x, 0), float64(d.Cols-1)-1e-9), math.Min(math.Max(y, 0), float64(d.Rows-1)-1e-9)
	c, r := int(x), int(y)
	fx, fy := x-float64(c), y-float64(r)
	at := func(c, r, band int) float64 { return float64(d.Pix[3*(r*d.Cols+c)+band]) }
	for b := range pixel {
		top := at(c, r, b)*(1-fx) + at(c+1, r, b)*fx
		low := at(c, r+1, b)*(1-fx) + at(c+1, r+1, b)*fx
		pixel[b] = byte(top*(1-fy) + low*fy + 0.5)
	}
}

// face is where a face lies after the warp: its edges again as radii by bearing from the core.
func (w warp) face(f Face) Face {
	n := len(f.Outline)
	x, y := w.to(f.X, f.Y)
	out := Face{X: x, Y: y, Radius: f.Radius, Flesh: make([]float64, n), Outline: make([]float64, n)}
	for b := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(b) / float64(n))
		for _, edge := range []struct{ from, to []float64 }{{f.Flesh, out.Flesh}, {f.Outline, out.Outline}} {
			// Along the bearing, halve to where the warped place lies on the edge of a disc.
			lo, hi := 0.0, 2*f.Radius
			for range 40 {
				r := (lo + hi) / 2
				u, v := w.from(x+r*cos, y+r*sin)
				if math.Hypot(u-f.X, v-f.Y) < edge.from[0] {
					lo = r
				} else {
					hi = r
				}
			}
			edge.to[b] = lo
		}
	}
	return out
}

// leaning are faces stained on one side, at the ends and in the middle of a tray: where a lens or a tilt stretches
// one side of a face more than the other, they show it most. turned by half a turn they lean the other way.
func leaning(turned float64) drawing {
	side := func(toward float64) look {
		return func(_, a float64) float64 {
			if math.Cos(a-toward-turned) > 0 {
				return 0.9
			}
			return 0
		}
	}
	return draw(evenLamp, nil, side(0), side(math.Pi/2), beyond(0.6, 0.9), side(math.Pi), side(math.Pi))
}

// What is said in DEVELOPERS.md: no lens and no tilt is assumed. They stretch one side of a face
// more than the other: fractions of halves stained on that side rise, on the other fall, and
// over a tray it comes to nothing. By the area that each side has, of a half at the end of a tray, k1 of
// -0.08 moves it by 0.021, a tilt of 10 degrees by 0.02.
func TestLensAndTiltAreBorne(t *testing.T) {
	for _, tt := range []struct {
		name      string
		warp      func(cols, rows int) warp
		each, all float64
	}{
		{"barrel", func(c, r int) warp { return radial(c, r, -0.08) }, 0.022, 0.001},
		{"cushion", func(c, r int) warp { return radial(c, r, 0.06) }, 0.022, 0.001},
		{"tilt of 10 degrees", func(c, r int) warp { return tilted(c, r, 10, 1100) }, 0.025, 0.002},
		{"tilt of 25 degrees", func(c, r int) warp { return tilted(c, r, 25, 1100) }, 0.055, 0.004},
	} {
		sum, n := 0.0, 0.0
		for _, turned := range []float64{0, math.Pi} {
			d := leaning(turned)
			straight := d.read()
			for i, r := range d.warped(tt.warp(d.Cols, d.Rows)).read() {
				off := stained(r.Profile) - stained(straight[i].Profile)
				n++
				if sum += off; math.Abs(off) > tt.each {
					t.Errorf("%s: face %d moves by %+.4f, may by %.3f", tt.name, i+1, off, tt.each)
				}
			}
		}
		if math.Abs(sum/n) > tt.all {
			t.Errorf("%s: all move by %+.4f, may by %.3f", tt.name, sum/n, tt.all)
		}
	}
}
