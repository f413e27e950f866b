// Package cielab turns pixels into CIELAB by tables. OpenCV builds its own tables for that in
// software floats when a process first asks, which takes longer than measuring a tray; these are built in a millisecond.
//
// The numbers are OpenCV's 8-bit form: L* x 255/100, a* + 128, b* + 128, each rounded and
// held to 0 to 255. The light is sRGB's, D65 seen by the 2 degree observer.
package cielab

import (
	"math"
	"sync"

	"traystage/vision/internal/parallel"
)

const (
	// linearBits is how finely linear light is told apart: in the dark, where
	// the root is steepest, a step of it moves a* by a quarter.
	linearBits = 14
	linearFull = 1<<linearBits - 1
	sumBits    = 8 // more of them while the three channels are added up
	rootFull   = 1<<16 - 1
)

// Rows of X, Y, Z and columns of red, green, blue (IEC 61966-2-1, 1999).
var toXYZ = [3][3]float64{
	{0.4124, 0.3576, 0.1805},
	{0.2126, 0.7152, 0.0722},
	{0.0193, 0.1192, 0.9505},
}

// tables hold what each 8-bit value of a channel adds to X, Y and Z relative to
// white, and the root of each sum.
type tables struct {
	share [3][256][3]int32 // of blue, green, red
	root  [linearFull + 1]uint16
}

var built = sync.OnceValue(func() *tables {
	t := &tables{}
	for row, m := range toXYZ {
		white := m[0] + m[1] + m[2] // so that greys are exactly neutral
		for v := range 256 {
			light := linear(float64(v)/255) * linearFull * (1 << sumBits) / white
			for c := range 3 {
				t.share[c][v][row] = int32(math.Round(light * m[2-c]))
			}
		}
	}
	for i := range t.root {
		t.root[i] = uint16(math.Round(root(float64(i)/linearFull) * rootFull))
	}
	return t
})

// linear undoes the transfer curve of sRGB (IEC 61966-2-1, 1999).
func linear(v float64) float64 {
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

// root is the f of CIELAB (CIE 15, 2004).
func root(t float64) float64 {
	const epsilon, kappa = 216.0 / 24389, 24389.0 / 27
	if t > epsilon {
		return math.Cbrt(t)
	}
	return (kappa*t + 16) / 116
}

// pieces is how many parts a picture is converted in.
const pieces = 16

// FromBGR converts pixels of three bytes, blue first, and gives as many bytes:
// lightness, a and b of each.
func FromBGR(bgr []byte) []byte {
	out := make([]byte, len(bgr)/3*3)
	t := built()
	size := 3 * ((len(out)/3 + pieces - 1) / pieces)
	parallel.Each(pieces, func(i int) {
		from, to := min(i*size, len(out)), min((i+1)*size, len(out))
		t.convert(out[from:to], bgr[from:to])
	})
	return out
}

func (t *tables) convert(out, bgr []byte) {
	const half = 1 << (sumBits - 1)
	for i := 0; i+2 < len(out) && i+2 < len(bgr); i += 3 {
		b, g, r := &t.share[0][bgr[i]], &t.share[1][bgr[i+1]], &t.share[2][bgr[i+2]]
		x := int64(t.root[uint32(b[0]+g[0]+r[0]+half)>>sumBits&linearFull])
		y := int64(t.root[uint32(b[1]+g[1]+r[1]+half)>>sumBits&linearFull])
		z := int64(t.root[uint32(b[2]+g[2]+r[2]+half)>>sumBits&linearFull])
		out[i] = held(y*lightUnit - lightZero)
		out[i+1] = held((x-y)*redUnit + neutral)
		out[i+2] = held((y-z)*blueUnit + neutral)
	}
}

// The formulas of L*, a* and b* in whole numbers: one in 2^fractionBits is one of the 8-bit result.
const (
	fractionBits = 24
	one          = 1 << fractionBits
	lightUnit    = 116 * 255 * one / (100 * rootFull)
	lightZero    = 16 * 255 * one / 100
	redUnit      = 500 * one / rootFull
	blueUnit     = 200 * one / rootFull
	neutral      = 128 * one
)

// held rounds to a byte.
func held(v int64) byte {
	return byte(min(max((v+one/2)>>fractionBits, 0), 255))
}
