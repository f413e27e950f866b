package vision

import (
	"bytes"
	"errors"
	"image"
	"image/draw"
	"image/jpeg"
	"image/png"
	"os"
	"testing"
)

// Read as if in colour, a black and white tray would be all stained.
func TestBlackAndWhiteIsRefused(t *testing.T) {
	b, err := os.ReadFile("../testdata/trays/larkfield_demo.jpg")
	if err != nil {
		t.Fatal(err)
	}
	img, err := jpeg.Decode(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	grey := image.NewGray(img.Bounds())
	draw.Draw(grey, grey.Bounds(), img, img.Bounds().Min, draw.Src)
	var out bytes.Buffer
	if err := png.Encode(&out, grey); err != nil {
		t.Fatal(err)
	}
	if _, err := Measure(out.Bytes(), Options{}); !errors.Is(err, ErrNoColour) {
		t.Errorf("error %v, want %v", err, ErrNoColour)
	}
}

func TestColourless(t *testing.T) {
	for name, c := range map[string]struct {
		coloured int // of 10000 pixels; a photo in colour has 10 or more
		step     byte
		want     bool
	}{
		"none":                {0, 0, true},
		"just too few":        {9, 60, true},
		"just enough":         {10, 60, false},
		"all, but only noise": {10000, 16, true},
		"all, beyond noise":   {10000, 17, false},
	} {
		pix := make([]byte, 3*10000)
		for i := range c.coloured {
			pix[3*i+1] = c.step
		}
		if got := colourless(pix); got != c.want {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
}
