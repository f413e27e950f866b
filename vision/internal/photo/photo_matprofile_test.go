//go:build matprofile

package photo

import (
	"context"
	"image"
	"image/color"
	"testing"

	"gocv.io/x/gocv"
)

// Every Mat that Load and Photo.Mat open must be closed again, whichever way
// they end.
func TestNoMatLeftOpen(t *testing.T) {
	img := quadrants(sampleWidth, sampleHeight, uprightCorners)
	clear := uniform(image.NewNRGBA64(image.Rect(0, 0, 64, 64)), color.NRGBA{200, 100, 0, 128})
	samples := map[string][]byte{
		"JPEG":               jpegOf(t, img),
		"see-through PNG":    pngOf(t, clear),
		"WebP":               webpOf(t, img, 90),
		"HEIC":               sampleHEIC(t),
		"broken PNG":         pngClaiming(64, 64, 8, 2),
		"JPEG cut short":     jpegOf(t, img)[:500],
		"not a photo at all": []byte("text"),
	}
	for name, b := range samples {
		for _, long := range []int{0, 50} {
			before := gocv.MatProfile.Count()
			p, err := Load(context.Background(), b, Limits{MaxPixels: 1_000_000, TargetLong: long})
			if err == nil {
				m, err := p.Mat()
				if err != nil {
					t.Fatal(err)
				}
				m.Close()
			}
			if open := gocv.MatProfile.Count() - before; open != 0 {
				t.Errorf("%s to %d px: %d Mats left open", name, long, open)
			}
		}
	}
}
