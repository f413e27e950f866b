package stain

import "math"

// cavities finds the seed cavities, seeds and lining: in the core what is
// darker than clear flesh without being half as blue as this face's stain of that density,
// and what such places enclose.
func (q *patch) cavities(density, bluer []float32, dark, blueing float32) []bool {
	reach := max(1, int(0.025*q.face.Radius+0.5))
	core := q.around(coreReach*q.far + float64(reach) + 1)
	warmth, near := make([]float32, core.w*core.h), make([]float32, core.w*core.h)
	core.each(func(k, i int) {
		if d := density[i]; q.rho[i] < coreReach && d > dark {
			warmth[k] = blueing/2*d - bluer[i]
		}
	})
	core.boxMean(warmth, reach)
	hollow := make([]bool, len(q.rho))
	core.each(func(k, i int) {
		if q.rho[i] < coreReach && density[i] > dark && warmth[k] > 0 {
			hollow[i] = true
			near[k] = 1
		}
	})
	core.boxMean(near, reach)
	core.each(func(k, i int) {
		if near[k] > 0.55 {
			hollow[i] = true
		}
	})
	return hollow
}

// amidStain adds to the hollows the lining of the core of a face that has no clear flesh to judge by: what is light there
// and warmer than the clear flesh of the other faces, or all that is light where none shows any.
func (m Model) amidStain(q *patch, l light, s separated, threshold float64, hollow []bool) {
	for i, d := range s.complex {
		if q.rho[i] >= coreReach || float64(d) >= 2*threshold {
			continue
		}
		warmth := l.blueing*math.Max(float64(s.red[i]), 0) - float64(s.bluer[i]) // of what is under some stain
		if !l.known || warmth > m.LiningWarm {
			hollow[i] = true
		}
	}
}

// window is a rectangle of a patch.
type window struct {
	x0, y0, w, h int // in pixels of the patch
	stride       int // of the patch
}

// around is the square of the given half side about the core's centre, as far as the patch goes.
func (q *patch) around(reach float64) window {
	x, y := q.face.X-float64(q.x0), q.face.Y-float64(q.y0)
	r := window{x0: max(0, int(x-reach)), y0: max(0, int(y-reach)), stride: q.w}
	r.w = max(0, min(q.w, int(x+reach)+2)-r.x0)
	r.h = max(0, min(q.h, int(y+reach)+2)-r.y0)
	return r
}

// each calls f for every pixel: k counts in the window, i is the pixel's index in the patch.
func (r window) each(f func(k, i int)) {
	for y := range r.h {
		for x := range r.w {
			f(y*r.w+x, (r.y0+y)*r.stride+r.x0+x)
		}
	}
}

// boxMean puts in each pixel's place the mean over the square of 2*reach+1 pixels around
// it; beyond the window all is zero.
func (r window) boxMean(v []float32, reach int) {
	rows := make([]float32, len(v))
	pass := func(src, dst []float32, length, lines, step, next int) {
		for line := range lines {
			at := line * next
			var sum float32
			for k := -reach; k < length; k++ {
				if in := k + reach; in < length {
					sum += src[at+in*step]
				}
				if out := k - reach - 1; out >= 0 {
					sum -= src[at+out*step]
				}
				if k >= 0 {
					dst[at+k*step] = sum / float32(2*reach+1)
				}
			}
		}
	}
	pass(v, rows, r.w, r.h, 1, r.w)
	pass(rows, v, r.h, r.w, r.w, 1)
}
