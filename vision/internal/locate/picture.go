package locate

import (
	"image"
	"math"

	"gocv.io/x/gocv"

	"traystage/vision/internal/cielab"
)

// picture is a working picture as plain numbers, blurred by less than a pixel
// against sensor noise.
type picture struct {
	w, h int
	bgr  []uint8  // as photographed, 3 a pixel
	lab  []uint8  // 8-bit CIELAB (see cielab): L* x 255/100, a* + 128, b* + 128; 3 a pixel
	code []uint16 // colour of every pixel, see colours
	colours
}

// toStar turns a difference of 8-bit values into CIELAB units.
var toStar = [3]float32{100.0 / 255, 1, 1}

func newPicture(bgr gocv.Mat) *picture {
	m := gocv.NewMat()
	defer m.Close()
	gocv.GaussianBlur(bgr, &m, image.Pt(5, 5), 0.8, 0.8, gocv.BorderReplicate)
	p := &picture{w: m.Cols(), h: m.Rows(), bgr: m.ToBytes()}
	p.lab = cielab.FromBGR(p.bgr)
	p.code, p.colours = number(p.bgr, p.lab)
	return p
}

// index is the pixel under a point, the nearest one where the point lies outside.
func (p *picture) index(x, y float64) int {
	return min(max(int(y), 0), p.h-1)*p.w + min(max(int(x), 0), p.w-1)
}

func (p *picture) inside(x, y float64) bool {
	return x >= 0 && y >= 0 && x < float64(p.w) && y < float64(p.h)
}

// walk gives the pixels under len(out) points outward from (x, y), a place in
// the picture, along a bearing, from radius r0 in steps of dr. Points outside
// have the nearest pixel; within is how many, from the first, lie inside.
func (p *picture) walk(x, y float64, bearing int, r0, dr float64, out []int32) (within int) {
	return p.line(x+r0*cosines[bearing], y+r0*sines[bearing], dr*cosines[bearing], dr*sines[bearing], out)
}

// line is walk from (x, y) in steps of (dx, dy).
func (p *picture) line(x, y, dx, dy float64, out []int32) (within int) {
	last := float64(len(out) - 1)
	if p.inside(x, y) && p.inside(x+last*dx, y+last*dy) {
		for k := range out {
			out[k] = int32(int(y+float64(k)*dy)*p.w + int(x+float64(k)*dx))
		}
		return len(out)
	}
	for k := range out {
		px, py := x+float64(k)*dx, y+float64(k)*dy
		out[k] = int32(p.index(px, py))
		if p.inside(px, py) {
			within = k + 1
		}
	}
	return within
}

// A ray is what is seen outward along a bearing: before every point, and after
// the last, the sums of the three channels of all points before, in shares
// of rayUnit of the picture's own 8-bit values.
type ray [][3]int32

const rayUnit = 256

func newRay(points int) ray { return make(ray, points+1) }

// over takes the colours of whole pixels, for where half a pixel does not matter.
func (r ray) over(p *picture, pixels []int32) {
	var sum [3]int32
	for k, at := range pixels {
		c := p.lab[3*at : 3*at+3 : 3*at+3]
		sum[0] += int32(c[0]) * rayUnit
		sum[1] += int32(c[1]) * rayUnit
		sum[2] += int32(c[2]) * rayUnit
		r[k+1] = sum
	}
}

// between takes colours by bilinear interpolation, outward from (x, y) along a
// bearing, from radius r0 in steps of dr.
func (r ray) between(p *picture, x, y float64, bearing int, r0, dr float64) {
	// Pixels are known in their middles.
	x, y = x+r0*cosines[bearing]-0.5, y+r0*sines[bearing]-0.5
	dx, dy := dr*cosines[bearing], dr*sines[bearing]
	right, down := float64(p.w-1), float64(p.h-1)
	var sum [3]int32
	for k := range len(r) - 1 {
		px, py := min(max(x+float64(k)*dx, 0), right), min(max(y+float64(k)*dy, 0), down)
		x0, y0 := int(px), int(py)
		fx, fy := int32((px-float64(x0))*rayUnit), int32((py-float64(y0))*rayUnit)
		x1, y1 := min(x0+1, p.w-1), min(y0+1, p.h-1)
		nw, ne := p.lab[3*(y0*p.w+x0):][:3], p.lab[3*(y0*p.w+x1):][:3]
		sw, se := p.lab[3*(y1*p.w+x0):][:3], p.lab[3*(y1*p.w+x1):][:3]
		for c := range sum {
			top := int32(nw[c])*(rayUnit-fx) + int32(ne[c])*fx
			low := int32(sw[c])*(rayUnit-fx) + int32(se[c])*fx
			sum[c] += (top*(rayUnit-fy) + low*fy) / rayUnit
		}
		r[k+1] = sum
	}
}

// steps writes the colour step before every point of the ray: the distance
// between the means of span points on either side, in CIELAB units, 0 where
// the ray is too short to tell.
func (r ray) steps(span int, out []float32) {
	clear(out)
	scale := 1 / float32(span*rayUnit)
	for k := span; k+span < len(r); k++ {
		in, at, to := &r[k-span], &r[k], &r[k+span]
		l := float32(to[0]-2*at[0]+in[0]) * toStar[0]
		a := float32(to[1]-2*at[1]+in[1]) * toStar[1]
		b := float32(to[2]-2*at[2]+in[2]) * toStar[2]
		out[k] = float32(math.Sqrt(float64(l*l+a*a+b*b))) * scale
	}
}

// rises writes how much lighter it is outward of every point of the ray than inward, by the means of span points on
// either side: 1 from full CIELAB units of lightness on, 0 where it is no lighter or the ray is too short to tell.
func (r ray) rises(span int, out []float32) {
	const full = 15
	clear(out)
	scale := toStar[0] / float32(full*span*rayUnit)
	for k := span; k+span < len(r); k++ {
		out[k] = min(max(float32(r[k+span][0]-2*r[k][0]+r[k-span][0])*scale, 0), 1)
	}
}
