package locate

import (
	"image"
	"math"

	"gocv.io/x/gocv"
)

// picture is a working picture as plain numbers, blurred by less than a pixel
// against sensor noise.
type picture struct {
	w, h int
	lab  []uint8  // OpenCV's 8-bit CIELAB: L* x 255/100, a* + 128, b* + 128; 3 a pixel
	code []uint16 // colour of every pixel, see colours
	colours
}

// toStar turns a difference of 8-bit values into CIELAB units.
var toStar = [3]float32{100.0 / 255, 1, 1}

func newPicture(bgr gocv.Mat) *picture {
	m := gocv.NewMat()
	defer m.Close()
	gocv.GaussianBlur(bgr, &m, image.Pt(5, 5), 0.8, 0.8, gocv.BorderReplicate)
	gocv.CvtColor(m, &m, gocv.ColorBGRToLab)
	p := &picture{w: m.Cols(), h: m.Rows(), lab: m.ToBytes()}
	p.code, p.colours = number(p.lab)
	return p
}

// index is the pixel under a point, the nearest one where the point lies outside.
func (p *picture) index(x, y float64) int {
	return min(max(int(y), 0), p.h-1)*p.w + min(max(int(x), 0), p.w-1)
}

func (p *picture) inside(x, y float64) bool {
	return x >= 0 && y >= 0 && x < float64(p.w) && y < float64(p.h)
}

// at samples the picture by bilinear interpolation, in CIELAB units (a* and b* + 128).
func (p *picture) at(x, y float64) [3]float32 {
	x = math.Min(math.Max(x-0.5, 0), float64(p.w-1))
	y = math.Min(math.Max(y-0.5, 0), float64(p.h-1))
	x0, y0 := int(x), int(y)
	fx, fy := float32(x-float64(x0)), float32(y-float64(y0))
	i := 3 * (y0*p.w + x0)
	right, down := 3, 3*p.w
	if x0 == p.w-1 {
		right = 0
	}
	if y0 == p.h-1 {
		down = 0
	}
	var out [3]float32
	for c := range out {
		top := float32(p.lab[i+c])*(1-fx) + float32(p.lab[i+right+c])*fx
		low := float32(p.lab[i+down+c])*(1-fx) + float32(p.lab[i+down+right+c])*fx
		out[c] = (top*(1-fy) + low*fy) * toStar[c]
	}
	return out
}

// ray samples the picture outward from (x, y) along a bearing: len(out) points
// from radius r0 in steps of dr.
func (p *picture) ray(x, y float64, bearing int, r0, dr float64, out [][3]float32) {
	for k := range out {
		r := r0 + float64(k)*dr
		out[k] = p.at(x+r*cosines[bearing], y+r*sines[bearing])
	}
}

// quickRay is ray without interpolation, for where half a pixel does not matter.
func (p *picture) quickRay(x, y float64, bearing int, r0, dr float64, out [][3]float32) {
	for k := range out {
		r := r0 + float64(k)*dr
		i := 3 * p.index(x+r*cosines[bearing], y+r*sines[bearing])
		out[k] = [3]float32{float32(p.lab[i]) * toStar[0], float32(p.lab[i+1]), float32(p.lab[i+2])}
	}
}

// steps writes the colour step before every sample of a ray: the distance
// between the means of span samples on either side, in CIELAB units, 0 where
// the ray is too short to tell.
func steps(ray [][3]float32, span int, out []float32) {
	for k := range out {
		out[k] = 0
		if k < span || k+span > len(ray) {
			continue
		}
		var sq float32
		for c := range 3 {
			var d float32
			for s := range span {
				d += ray[k+s][c] - ray[k-1-s][c]
			}
			sq += d * d
		}
		out[k] = float32(math.Sqrt(float64(sq))) / float32(span)
	}
}
