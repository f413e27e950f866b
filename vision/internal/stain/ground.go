package stain

import (
	"math"
	"slices"

	"traystage/vision/internal/parallel"
)

// A shadow that lies over a face lies over the tray around it too. So the ground tells a face in the shade from one that
// is stained all over, where stain is as grey as shade.
const (
	groundFrom, groundTo = 1.15, 1.5 // radii: beyond what the side of a half hides
	groundStride         = 4         // px
)

// groundAround is what is seen of the ground around every face.
func groundAround(p Picture, faces []Face, c *curve) [][]sample {
	out := make([][]sample, len(faces))
	parallel.Each(len(faces), func(i int) {
		f := faces[i]
		reach := groundTo * f.Radius
		beside := besides(faces, f)
		for y := max(0, int(f.Y-reach)); y < min(p.Rows, int(f.Y+reach)); y += groundStride {
			for x := max(0, int(f.X-reach)); x < min(p.Cols, int(f.X+reach)); x += groundStride {
				if f.holds(float64(x), float64(y), groundTo) && !onAny(beside, float64(x), float64(y)) {
					at := 3 * (y*p.Cols + x)
					out[i] = append(out[i], sample{u: float64(x), v: float64(y), c: [3]float64{float64(c[p.Pix[at+2]]), float64(c[p.Pix[at+1]]), float64(c[p.Pix[at]])}})
				}
			}
		}
	})
	return out
}

// brightest is the brightest band of a colour. What is nearly black in a band, as a green tray in red, shows little of the light in it, but
// much of what is reflected.
func brightest(c [3]float64) float64 { return max(c[0], c[1], c[2]) }

func red(c [3]float64) float64 { return c[0] }

// middles is the middle of what samples show; NaN where there are none.
func middles(of [][]sample, show func(c [3]float64) float64) []float64 {
	out := make([]float64, len(of))
	parallel.Each(len(of), func(i int) {
		out[i] = math.NaN()
		if len(of[i]) == 0 {
			return
		}
		values := make([]float64, len(of[i]))
		for k, p := range of[i] {
			values[k] = show(p.c)
		}
		slices.Sort(values)
		out[i] = values[(len(values)-1)/2]
	})
	return out
}

// holds says whether a place lies within so many radii of the core.
func (f Face) holds(x, y, radii float64) bool {
	return sq(x-f.X)+sq(y-f.Y) < sq(radii*f.Radius)
}

// besides are the faces that may lie on the ground around one, itself among them.
func besides(faces []Face, f Face) (out []Face) {
	for _, o := range faces {
		if math.Hypot(o.X-f.X, o.Y-f.Y) < groundTo*f.Radius+groundFrom*o.Radius {
			out = append(out, o)
		}
	}
	return out
}

// onAny says whether a place lies on one of the faces, or where its side may lie.
func onAny(faces []Face, x, y float64) bool {
	return slices.ContainsFunc(faces, func(f Face) bool { return f.holds(x, y, groundFrom) })
}

func sq(v float64) float64 { return v * v }

// deepestShades are how much darker than the light of the tray, log10, a shadow may make each face at most, by the ground around it;
// infinite where that does not tell. The light falls off over the ground as over the faces. Ground that is not even tells still where
// it is as bright as any around faces in the light: no shadow lies there.
func (m Model) deepestShades(t tray, faces []Face, of [][]level, ground []float64) []float64 {
	out, inLight := make([]float64, len(faces)), slices.Clone(ground)
	for i, f := range faces {
		inLight[i] -= t.at(f)
	}
	lit, litBy := m.groundInLight(t, faces, of, ground), m.groundInLight(t, faces, of, inLight)
	const fewest = 3
	told, usual := len(lit) >= fewest, quantile(litBy, 0.5)
	even := m.isEven(litBy, usual)
	// From here on ground is as bright as any.
	bright, brightBy := quantile(lit, 1)-m.GroundEven/2, quantile(litBy, 1)-m.GroundEven/2
	for i := range ground {
		switch out[i] = math.Inf(1); {
		case !told || math.IsNaN(ground[i]):
		case even:
			out[i] = math.Max(m.Alike, m.GroundShows*(usual-inLight[i]))
		case ground[i] > bright || inLight[i] > brightBy:
			out[i] = m.Alike
		}
	}
	return out
}

// groundInLight is the ground around the faces as bright as clear flesh in the light of the tray.
func (m Model) groundInLight(t tray, faces []Face, of [][]level, ground []float64) (lit []float64) {
	for i, ls := range of {
		if m.expected(t, faces[i], ls) >= 0 && !math.IsNaN(ground[i]) {
			lit = append(lit, ground[i])
		}
	}
	return lit
}

// plain says whether all ground but what halves shade is about as bright: no shadow lies on it.
func plain(rings [][]sample) bool {
	const (
		shade = 0.15 // log10, half of that which the least shadow makes
		most  = 0.8  // of the ground seen
	)
	var reds []float64
	for _, ring := range rings {
		for _, p := range ring {
			reds = append(reds, p.c[0])
		}
	}
	middle := quantile(reds, 0.5)
	for i, v := range reds {
		reds[i] = math.Abs(v - middle)
	}
	return quantile(reds, most) < shade
}

// isEven says whether the ground around three quarters of the faces strays little from the middle.
func (m Model) isEven(ground []float64, middle float64) bool {
	var off []float64
	for _, g := range ground {
		off = append(off, math.Abs(g-middle))
	}
	return quantile(off, 0.75) < m.GroundEven
}
