package photo

import (
	"context"
	"fmt"
	"image"
	"math"
	"testing"
)

// phonePhoto is a JPEG of 12 megapixels with something to code in every block.
func phonePhoto(b *testing.B) []byte {
	img := image.NewNRGBA(image.Rect(0, 0, 4000, 3000))
	for y := range 3000 {
		for x := range 4000 {
			at := img.PixOffset(x, y)
			grain := x*7919 ^ y*104729
			wave := 100 + 60*math.Sin(float64(x)/40)*math.Cos(float64(y)/55)
			img.Pix[at], img.Pix[at+1], img.Pix[at+2] = byte(wave)+byte(grain>>3&15), byte(wave)+byte(grain>>5&15), byte(x>>4)
			img.Pix[at+3] = 255
		}
	}
	return jpegOf(b, img)
}

// BenchmarkLoad12Mpx reads a phone's photo at full size, through 1/2 and 1/4
// exactly, and on to the size in between that a tray is measured at.
func BenchmarkLoad12Mpx(b *testing.B) {
	photo := phonePhoto(b)
	for _, long := range []int{4000, 2000, 1600, 1000} {
		b.Run(fmt.Sprintf("to%d", long), func(b *testing.B) {
			b.SetBytes(int64(len(photo)))
			for b.Loop() {
				if _, err := Load(context.Background(), photo, Limits{MaxPixels: 120_000_000, TargetLong: long}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	b.Run("Info", func(b *testing.B) {
		for b.Loop() {
			if _, err := Info(photo); err != nil {
				b.Fatal(err)
			}
		}
	})
}
