package painter

import (
	"image"
	"math"
	"runtime"
	"sync"
)

// film holds the light that fell on the sensor: rows of linear red, green, blue.
type film struct {
	w, h int
	px   []float32
}

func newFilm(w, h int) *film { return &film{w: w, h: h, px: make([]float32, 3*w*h)} }

// eachRow calls do for every row, on all processors.
func eachRow(h int, do func(y int)) {
	var wg sync.WaitGroup
	workers := min(runtime.GOMAXPROCS(0), h)
	for k := range workers {
		wg.Go(func() {
			for y := k; y < h; y += workers {
				do(y)
			}
		})
	}
	wg.Wait()
}

// blur softens the picture with a Gaussian of standard deviation sigma, pixels.
func (f *film) blur(sigma float64) {
	if sigma < 0.2 {
		return
	}
	reach := int(math.Ceil(3 * sigma))
	kernel := make([]float32, reach+1)
	var sum float64
	for i := range kernel {
		v := math.Exp(-sq(float64(i)/sigma) / 2)
		kernel[i] = float32(v)
		sum += v
		if i > 0 {
			sum += v
		}
	}
	for i := range kernel {
		kernel[i] /= float32(sum)
	}
	tmp := make([]float32, len(f.px))
	f.pass(f.px, tmp, kernel, 3, f.w, func(i int) int { return i % f.w })
	f.pass(tmp, f.px, kernel, 3*f.w, f.h, func(i int) int { return i / f.w })
}

// sharpen adds back amount of what a small blur takes away, as phones do.
func (f *film) sharpen(amount float32) {
	soft := &film{f.w, f.h, append([]float32(nil), f.px...)}
	soft.blur(1)
	for i, v := range f.px {
		f.px[i] = max(v+amount*(v-soft.px[i]), 0.3*v)
	}
}

// pass convolves along one axis: stride apart in the slice, size long, with pos
// giving a pixel's place on it. The ends repeat the border.
func (f *film) pass(src, dst, kernel []float32, stride, size int, pos func(int) int) {
	eachRow(f.h, func(y int) {
		for i := y * f.w; i < (y+1)*f.w; i++ {
			p := pos(i)
			for c := range 3 {
				at := 3*i + c
				v := kernel[0] * src[at]
				for k := 1; k < len(kernel); k++ {
					v += kernel[k] * (src[at-min(k, p)*stride] + src[at+min(k, size-1-p)*stride])
				}
				dst[at] = v
			}
		}
	})
}

// vignette darkens the corners by up to depth, after the cosine's fourth power.
func (f *film) vignette(depth float64) {
	cx, cy := float64(f.w)/2, float64(f.h)/2
	far := cx*cx + cy*cy
	eachRow(f.h, func(y int) {
		for x := range f.w {
			r2 := (sq(float64(x)+0.5-cx) + sq(float64(y)+0.5-cy)) / far
			k := float32(1 - depth*r2)
			i := 3 * (y*f.w + x)
			f.px[i], f.px[i+1], f.px[i+2] = f.px[i]*k, f.px[i+1]*k, f.px[i+2]*k
		}
	})
}

// grain adds sensor noise: shot noise that grows with the root of the light, and
// read noise. level is its standard deviation at mid grey.
func (f *film) grain(level float64, seed uint64) {
	if level <= 0 {
		return
	}
	n := noise(seed)
	eachRow(f.h, func(y int) {
		for x := range f.w {
			for c := range 3 {
				i := 3*(y*f.w+x) + c
				m := n + noise(c*1009)
				// three uniform numbers add up to nearly a normal one of variance 1/4
				u := m.cell(int64(x), int64(y)) + (m+1).cell(int64(x), int64(y)) + (m+2).cell(int64(x), int64(y)) - 1.5
				v := float64(f.px[i])
				dev := level * math.Sqrt(0.12+math.Max(v, 0)/0.21)
				if c != 1 {
					dev *= 1.4 // red and blue are amplified more
				}
				f.px[i] = float32(v + 2*u*dev)
			}
		}
	})
}

// expose multiplies each band.
func (f *film) expose(gain rgb) {
	for i := range f.px {
		f.px[i] *= float32(gain[i%3])
	}
}

// develop turns light into 8-bit sRGB; the brightest parts roll off softly.
func (f *film) develop() *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, f.w, f.h))
	eachRow(f.h, func(y int) {
		for x := range f.w {
			i := 3 * (y*f.w + x)
			o := img.PixOffset(x, y)
			for c := range 3 {
				img.Pix[o+c] = srgb(shoulder(float64(f.px[i+c])))
			}
			img.Pix[o+3] = 255
		}
	})
	return img
}

// shoulder leaves light up to 0.8 as it is and bends the rest towards 1.
func shoulder(v float64) float64 {
	const knee = 0.8
	if v <= knee {
		return v
	}
	return knee + (1-knee)*(1-math.Exp(-(v-knee)/(1-knee)))
}

// srgb is the transfer curve of IEC 61966-2-1.
func srgb(v float64) uint8 {
	v = clamp(v, 0, 1)
	if v <= 0.0031308 {
		v *= 12.92
	} else {
		v = 1.055*math.Pow(v, 1/2.4) - 0.055
	}
	return uint8(v*255 + 0.5)
}
