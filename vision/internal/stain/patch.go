package stain

import "math"

// Picture is the working picture: 8-bit BGR, sRGB-encoded, row by row without padding.
type Picture struct {
	Pix        []byte
	Cols, Rows int
}

// Face is where one cut face lies on the working picture.
type Face struct {
	X, Y    float64   // centre of the core, px
	Radius  float64   // of the circle with the outline's area, px
	Flesh   []float64 // radius of the flesh edge by bearing from the core: equal steps from the x axis towards y, px
	Outline []float64 // radius of the outline, skin included, on the same bearings, px
}

// patch holds the pixels of one face, row by row.
type patch struct {
	x0, y0, w, h int
	face         Face
	far          float64   // largest radius of the outline, px
	rho          []float32 // normalised radius: 0 core's centre, 1 outline
	bearing      []float32 // from the core's centre, radians in [0, 2 pi)
	flesh        []bool    // inside the flesh edge
	raw          []byte    // BGR as in the picture, 3 a pixel
	rim          []rimPixel
}

// halfDiagonal is how far a pixel's centre may lie from a place in it, px. So
// much further inward a pixel is surely beyond the rim.
const halfDiagonal = 0.71

// rimPixel is a pixel that shows flesh and skin, and the one inward of it that shows
// flesh alone and whose class it takes.
type rimPixel struct{ at, inward int }

// cut takes the pixels of a face out of the picture. mixedRim is as in Model.
func cut(p Picture, f Face, mixedRim float64) *patch {
	far := 0.0
	for _, r := range f.Outline {
		far = math.Max(far, r)
	}
	q := &patch{face: f, far: far}
	q.x0, q.y0 = max(0, int(f.X-far)), max(0, int(f.Y-far))
	q.w = max(0, min(p.Cols, int(f.X+far)+2)-q.x0)
	q.h = max(0, min(p.Rows, int(f.Y+far)+2)-q.y0)
	n := q.w * q.h
	q.rho, q.bearing, q.flesh = make([]float32, n), make([]float32, n), make([]bool, n)
	q.raw = make([]byte, 3*n)
	perRadian := float64(len(f.Outline)) / (2 * math.Pi)
	for y := range q.h {
		for x := range q.w {
			i := y*q.w + x
			dx, dy := float64(q.x0+x)+0.5-f.X, float64(q.y0+y)+0.5-f.Y
			d := math.Sqrt(dx*dx + dy*dy)
			q.rho[i] = 2
			if d > far {
				continue
			}
			a := bearingOf(dx, dy)
			q.bearing[i] = float32(a)
			t := a * perRadian
			k := int(t)
			part := t - float64(k)
			if k == len(f.Outline) { // by rounding
				k = 0
			}
			next := k + 1
			if next == len(f.Outline) {
				next = 0
			}
			q.rho[i] = float32(d / (f.Outline[k]*(1-part) + f.Outline[next]*part))
			end := f.Flesh[k]*(1-part) + f.Flesh[next]*part
			q.flesh[i] = d < end
			if q.flesh[i] && d > end-mixedRim && end > 4*mixedRim {
				in := (end - mixedRim - halfDiagonal) / d
				sx, sy := int(math.Floor(f.X+in*dx))-q.x0, int(math.Floor(f.Y+in*dy))-q.y0
				if sx >= 0 && sx < q.w && sy >= 0 && sy < q.h { // not so where the core lies beside the picture
					q.rim = append(q.rim, rimPixel{i, sy*q.w + sx})
				}
			}
			o := 3 * ((q.y0+y)*p.Cols + q.x0 + x)
			copy(q.raw[3*i:3*i+3], p.Pix[o:o+3])
		}
	}
	return q
}

// bearingOf is the angle of (dx, dy) in [0, 2 pi), to a hundred thousandth of a
// radian: the minimax polynomial of the arctangent (Abramowitz and Stegun 1964,
// 4.4.47, coefficients from memory), for half a million pixels where math.Atan2 was felt.
func bearingOf(dx, dy float64) float64 {
	ax, ay := math.Abs(dx), math.Abs(dy)
	z := min(ax, ay) / max(ax, ay, 1e-9)
	z2 := z * z
	a := z * (0.9998660 + z2*(-0.3302995+z2*(0.1801410+z2*(-0.0851330+z2*0.0208351))))
	if ay > ax {
		a = math.Pi/2 - a
	}
	if dx < 0 {
		a = math.Pi - a
	}
	if dy < 0 {
		a = 2*math.Pi - a
	}
	if a >= 2*math.Pi {
		a = 0
	}
	return a
}

const (
	coreReach   = 0.30 // the core and its cavities end within this normalised radius
	mostSamples = 1500 // of one face, plenty for a plane
	nearSkin    = 0.95 // normalised radius from which flesh may be tinted by the skin
	blown       = 238  // 8-bit value above which a band may be cut off
)

// samples takes evenly spaced flesh pixels of the face, as the curve has them. Pixels blown
// out in every band say nothing of their colour.
func (q *patch) samples(c *curve) []sample {
	flesh := 0
	for i, rho := range q.rho {
		if q.flesh[i] && rho < nearSkin {
			flesh++
		}
	}
	stride := flesh/mostSamples + 1
	out := make([]sample, 0, flesh/stride+1)
	next := 0 // how many to pass over
	for i, rho := range q.rho {
		if !q.flesh[i] || rho >= nearSkin {
			continue
		}
		if next == 0 {
			next = stride
			u, v := q.at(i)
			blue, green, red := q.raw[3*i], q.raw[3*i+1], q.raw[3*i+2]
			if min(blue, green, red) <= blown {
				out = append(out, sample{u, v, [3]float64{float64(c[red]), float64(c[green]), float64(c[blue])}, rho < coreReach})
			}
		}
		next--
	}
	return out
}

// at gives the place of pixel i relative to the core, in radii.
func (q *patch) at(i int) (u, v float64) {
	return (float64(q.x0+i%q.w) + 0.5 - q.face.X) / q.face.Radius,
		(float64(q.y0+i/q.w) + 0.5 - q.face.Y) / q.face.Radius
}
