package painter

import (
	"bytes"
	"image"
	"image/color"
	"testing"
	"time"

	"github.com/bep/imagemeta"
	"github.com/disintegration/imaging"
)

// quarters is a picture whose four quarters differ, wider than high.
func quarters() *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, 96, 64))
	for y := range 64 {
		for x := range 96 {
			c := color.RGBA{40, 40, 40, 255}
			if x >= 48 {
				c.R = 220
			}
			if y >= 32 {
				c.B = 220
			}
			img.SetRGBA(x, y, c)
		}
	}
	return img
}

func TestEncodedPictureComesBackUpright(t *testing.T) {
	want := quarters()
	for o := 0; o <= 9; o++ {
		data := EncodeJPEG(want, Meta{Orientation: o, Quality: 95})
		got, err := imaging.Decode(bytes.NewReader(data), imaging.AutoOrientation(true))
		if err != nil {
			t.Fatalf("orientation %d: %v", o, err)
		}
		if got.Bounds().Dx() != 96 || got.Bounds().Dy() != 64 {
			t.Fatalf("orientation %d: upright picture is %v", o, got.Bounds())
		}
		for _, p := range []image.Point{{10, 10}, {80, 10}, {10, 50}, {80, 50}} {
			r, _, b, _ := got.At(p.X, p.Y).RGBA()
			w := want.RGBAAt(p.X, p.Y)
			if absDiff(uint8(r>>8), w.R) > 12 || absDiff(uint8(b>>8), w.B) > 12 {
				t.Errorf("orientation %d at %v: red %d blue %d, want %d %d", o, p, r>>8, b>>8, w.R, w.B)
			}
		}
	}
}

func absDiff(a, b uint8) int { return max(int(a), int(b)) - min(int(a), int(b)) }

func TestEncodedTagsComeBack(t *testing.T) {
	taken := time.Date(2026, 9, 14, 8, 31, 7, 0, time.UTC)
	for _, c := range []struct {
		meta        Meta
		orientation uint16
		original    string
	}{
		{Meta{Orientation: 6, Taken: taken, Quality: 80}, 6, "2026:09:14 08:31:07"},
		{Meta{Orientation: 1, Taken: taken}, 1, "2026:09:14 08:31:07"},
		{Meta{}, 1, ""},
	} {
		tags := map[string]any{}
		_, err := imagemeta.Decode(imagemeta.Options{
			R: bytes.NewReader(EncodeJPEG(quarters(), c.meta)), ImageFormat: imagemeta.JPEG, Sources: imagemeta.EXIF,
			HandleTag: func(i imagemeta.TagInfo) error { tags[i.Tag] = i.Value; return nil },
		})
		if err != nil {
			t.Fatalf("%+v: %v", c.meta, err)
		}
		if tags["Orientation"] != c.orientation {
			t.Errorf("%+v: orientation %v", c.meta, tags["Orientation"])
		}
		if got, _ := tags["DateTimeOriginal"].(string); got != c.original {
			t.Errorf("%+v: captured %q, want %q", c.meta, got, c.original)
		}
	}
}
