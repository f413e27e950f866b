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
	rho          []float32 // normalised radius: 0 core's centre, 1 outline
	bearing      []float32 // from the core's centre, radians in [0, 2 pi)
	flesh        []bool    // inside the flesh edge
	r, g, b      []float32 // log10 of linear light, 0 at full scale
}

// darkest is the linear light taken for black, so that its logarithm is finite:
// half of the first step of an 8-bit sRGB value.
const darkest = 0.5 / 255 / 12.92

// logLinear is log10 of the light of an 8-bit value: the sRGB curve (IEC
// 61966-2-1) undone, and the roll-off that cameras put over it undone too.
var logLinear [256]float32

func init() {
	for i := range logLinear {
		v := float64(i) / 255
		if v <= 0.04045 {
			v /= 12.92
		} else {
			v = math.Pow((v+0.055)/1.055, 2.4)
		}
		logLinear[i] = float32(math.Log10(math.Max(unroll(v), darkest)))
	}
}

// Cameras let the brightest light roll off softly instead of clipping it.
// Clear flesh is the brightest thing measured, so its red would be taken for
// less than it is and stain for thinner than it is. Above the knee the light
// is knee + room*(1-exp(-(light-knee)/room)) of itself, with room = 1-knee.
const (
	knee     = 0.7
	blownOut = 0.975 // linear value from which the roll-off leaves nothing to go by
)

func unroll(v float64) float64 {
	if v <= knee {
		return v
	}
	return knee - (1-knee)*math.Log(1-(math.Min(v, blownOut)-knee)/(1-knee))
}

func cut(p Picture, f Face) *patch {
	far := 0.0
	for _, r := range f.Outline {
		far = math.Max(far, r)
	}
	q := &patch{face: f}
	q.x0, q.y0 = max(0, int(f.X-far)), max(0, int(f.Y-far))
	q.w = max(0, min(p.Cols, int(f.X+far)+2)-q.x0)
	q.h = max(0, min(p.Rows, int(f.Y+far)+2)-q.y0)
	n := q.w * q.h
	q.rho, q.bearing, q.flesh = make([]float32, n), make([]float32, n), make([]bool, n)
	q.r, q.g, q.b = make([]float32, n), make([]float32, n), make([]float32, n)
	perRadian := float64(len(f.Outline)) / (2 * math.Pi)
	for y := range q.h {
		for x := range q.w {
			i := y*q.w + x
			dx, dy := float64(q.x0+x)+0.5-f.X, float64(q.y0+y)+0.5-f.Y
			d := math.Hypot(dx, dy)
			q.rho[i] = 2
			if d > far {
				continue
			}
			a := math.Atan2(dy, dx)
			if a < 0 {
				a += 2 * math.Pi
			}
			q.bearing[i] = float32(a)
			q.rho[i] = float32(d / between(f.Outline, a*perRadian))
			q.flesh[i] = d < between(f.Flesh, a*perRadian)
			o := 3 * ((q.y0+y)*p.Cols + q.x0 + x)
			q.b[i], q.g[i], q.r[i] = logLinear[p.Pix[o]], logLinear[p.Pix[o+1]], logLinear[p.Pix[o+2]]
		}
	}
	return q
}

// between interpolates a closed list at a fractional index.
func between(v []float64, t float64) float64 {
	i := int(t)
	f := t - float64(i)
	return v[i%len(v)]*(1-f) + v[(i+1)%len(v)]*f
}

// at gives the place of pixel i relative to the core, in radii.
func (q *patch) at(i int) (u, v float64) {
	return (float64(q.x0+i%q.w) + 0.5 - q.face.X) / q.face.Radius,
		(float64(q.y0+i/q.w) + 0.5 - q.face.Y) / q.face.Radius
}
