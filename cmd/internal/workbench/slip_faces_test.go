package workbench

import (
	"bytes"
	"context"
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/disintegration/imaging"

	"traystage/refimages/larkfield"
	"traystage/scoring"
)

// reportOf scores a photo on the built-in set.
func reportOf(t *testing.T, name string, photo []byte) scoring.Report {
	t.Helper()
	b, err := Open(context.Background(), Config{Program: "traystage test"})
	if err != nil {
		t.Fatal(err)
	}
	s, err := b.Scorer("", Labels{})
	if err != nil {
		t.Fatal(err)
	}
	done := s.Score(context.Background(), PhotoBytes(name, photo))
	if done.Err != nil {
		t.Fatal(done.Err)
	}
	return done.Report
}

func encoded(t *testing.T, img image.Image, quality int) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: quality}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// The fruit of a photo are known again however it was treated on its way: sent by a
// messenger, made smaller, turned, cut.
func TestSameFruit(t *testing.T) {
	photo, err := os.ReadFile("../../../testdata/trays/larkfield_demo.jpg")
	if err != nil {
		t.Fatal(err)
	}
	img, err := imaging.Decode(bytes.NewReader(photo))
	if err != nil {
		t.Fatal(err)
	}
	was := reportOf(t, "was", photo)
	w, h := img.Bounds().Dx(), img.Bounds().Dy()
	for name, c := range map[string]struct {
		img     image.Image
		quality int
		least   int // halves that are seen to be the same
	}{
		"recompressed":      {img, 60, 10},
		"half the size":     {imaging.Resize(img, w/2, 0, imaging.Lanczos), 85, 12},
		"a third":           {imaging.Resize(img, w/3, 0, imaging.Lanczos), 80, 11},
		"upside down":       {imaging.Rotate180(img), 90, 12},
		"turned":            {imaging.Rotate90(img), 90, 12},
		"cut on the right":  {imaging.Crop(img, image.Rect(0, 0, w*3/4, h)), 90, 6},
		"cut at the bottom": {imaging.Crop(img, image.Rect(0, 0, w, h*3/4)), 90, 6},
	} {
		t.Run(name, func(t *testing.T) {
			now := reportOf(t, name, encoded(t, c.img, c.quality))
			if n := shared(now, was); n < c.least {
				t.Errorf("%d of %d halves are seen to be the same, want %d", n, len(now.Fruit), c.least)
			}
		})
	}
}

// Other trays are other fruit, also where they lie in the same pattern and at the
// same stage.
func TestOtherFruit(t *testing.T) {
	var reports []scoring.Report
	for _, s := range larkfield.Samples() {
		photo, err := larkfield.Photo(s.Photo)
		if err != nil {
			t.Fatal(err)
		}
		reports = append(reports, reportOf(t, s.Photo, photo))
	}
	traced, err := filepath.Glob("../../../testdata/trays/traced/*.jpg")
	if err != nil || len(traced) == 0 {
		t.Fatal(traced, err)
	}
	for _, file := range traced {
		if strings.HasPrefix(filepath.Base(file), "none") {
			continue // shows no halves
		}
		photo, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		reports = append(reports, reportOf(t, filepath.Base(file), photo))
	}
	for i, a := range reports {
		for _, b := range reports[:i] {
			if n := shared(a, b); n > 0 {
				t.Errorf("%d halves of %s are taken for those of %s", n, a.Photo, b.Photo)
			}
		}
	}
}
