package photo

import (
	"context"
	"encoding/binary"
	"image"
	"image/color"
	"testing"
)

// Whatever the bytes, Load must come back with a whole picture or an error: no
// panic, and no exception in C++, which would end the process.
func FuzzLoad(f *testing.F) {
	img := quadrants(130, 128, uprightCorners)
	exif := exifOf(binary.BigEndian, 6, "2026:09:14 08:31:00", "2026:09:15 10:00:00")
	jpg, pic := jpegOf(f, img), pngOf(f, img)
	palette := image.NewPaletted(img.Rect, color.Palette{paint['R'], color.NRGBA{0, 0, 255, 99}})
	for _, b := range [][]byte{
		jpg, withEXIF(f, jpg, exif), progressiveOf(f, img), jpegOf(f, image.NewGray(img.Rect)), jpg[:len(jpg)/2],
		pic, withEXIF(f, pic, exif), pngOf(f, palette), pngOf(f, image.NewNRGBA64(img.Rect)), pngClaiming(99, 99, 16, 6),
		webpOf(f, img, 90), webpOf(f, img, 101), withEXIF(f, webpOf(f, img, 90), exif),
		sampleHEIC(f),
		[]byte("%PDF-1.7"), []byte("RIFF\x04\x00\x00\x00WEBP"), []byte("\xff\xd8\xff\xd9"), nil,
	} {
		f.Add(b, uint8(40))
		f.Add(b, uint8(0))
	}
	f.Fuzz(func(t *testing.T, b []byte, long uint8) {
		p, err := Load(context.Background(), b, Limits{MaxPixels: 1 << 16, TargetLong: int(long)})
		if err != nil {
			return
		}
		if len(p.Pix) != 3*p.Cols*p.Rows || p.Cols < 1 || p.Rows < 1 || p.Cols > p.Width || p.Rows > p.Height || p.Scale < 1 {
			t.Errorf("%d x %d px of %d x %d, scale %g, %d bytes", p.Cols, p.Rows, p.Width, p.Height, p.Scale, len(p.Pix))
		}
	})
}
