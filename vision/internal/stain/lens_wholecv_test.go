//go:build wholecv

package stain

import (
	"math"
	"testing"

	"gocv.io/x/gocv"
)

// Only what the program calls of OpenCV is linked; this test asks a part that it
// leaves out, and is run by make whole.

// OpenCV's own undistort brings the picture back, so that the lens is the one it means.
func TestRadialIsOpenCVs(t *testing.T) {
	d := leaning(0)
	f := math.Hypot(float64(d.Cols), float64(d.Rows)) / 2
	for _, k1 := range []float64{-0.08, 0.06} {
		bent := d.warped(radial(d.Cols, d.Rows, k1))
		src, err := gocv.NewMatFromBytes(d.Rows, d.Cols, gocv.MatTypeCV8UC3, bent.Pix)
		if err != nil {
			t.Fatal(err)
		}
		defer src.Close()
		camera, lens, back := gocv.NewMatWithSize(3, 3, gocv.MatTypeCV64F), gocv.NewMatWithSize(1, 4, gocv.MatTypeCV64F), gocv.NewMat()
		defer camera.Close()
		defer lens.Close()
		defer back.Close()
		for i, v := range []float64{f, 0, float64(d.Cols)/2 - 0.5, 0, f, float64(d.Rows)/2 - 0.5, 0, 0, 1} {
			camera.SetDoubleAt(i/3, i%3, v)
		}
		for i, v := range []float64{k1, 0, 0, 0} {
			lens.SetDoubleAt(0, i, v)
		}
		gocv.Undistort(src, &back, camera, lens, camera)
		got := back.ToBytes()
		off, n := 0.0, 0.0
		for y := 20; y < d.Rows-20; y++ {
			for x := 60; x < d.Cols-60; x++ { // the ends may lie beyond the bent picture
				for b := range 3 {
					off += math.Abs(float64(got[3*(y*d.Cols+x)+b]) - float64(d.Pix[3*(y*d.Cols+x)+b]))
					n++
				}
			}
		}
		if off/n > 1.5 { // steps of 8 bits: what two interpolations blur along the edges
			t.Errorf("k1 %.2f: OpenCV brings the picture back to %.2f steps", k1, off/n)
		}
	}
}
