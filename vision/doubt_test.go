package vision

import (
	"image"
	"image/color"
	"math"
	"slices"
	"testing"

	"github.com/disintegration/imaging"

	"traystage/refimages/painter"
)

// A good photo is left in peace; one spoilt on purpose is told so, as a whole
// and on every half.
func TestRemarksOnPhoto(t *testing.T) {
	img := decoded(t, "larkfield_demo.jpg")
	for name, tt := range map[string]struct {
		img  image.Image
		want []Remark
	}{
		"as it is":     {img, nil},
		"out of focus": {imaging.Blur(img, 5), []Remark{RemarkBlurred}},
		// a third of the stored value is about a twelfth of the light
		"in the dark": {imaging.AdjustFunc(img, func(c color.NRGBA) color.NRGBA { return color.NRGBA{c.R / 3, c.G / 3, c.B / 3, c.A} }), []Remark{RemarkDark}},
	} {
		tray := measured(t, painter.EncodeJPEG(rgba(tt.img), painter.Meta{Quality: 94}))
		if !slices.Equal(tray.Remarks, tt.want) {
			t.Errorf("%s: remarks %q, want %q", name, tray.Remarks, tt.want)
		}
		for _, h := range tray.Halves {
			for _, r := range tt.want {
				if !slices.Contains(h.Remarks, r) {
					t.Errorf("%s: half %d lacks the remark %q", name, h.Number, r)
				}
			}
		}
	}
}

// A tray far away is looked at closer: the demo in the middle of a photo of
// 2.25 times its sides measures as it does alone.
func TestSmallHalves(t *testing.T) {
	img := decoded(t, "larkfield_demo.jpg")
	alone := measured(t, bytesOf(t, "larkfield_demo.jpg"))
	canvas := imaging.PasteCenter(imaging.New(3600, 2700, color.Gray{150}), img)
	far := measured(t, painter.EncodeJPEG(rgba(canvas), painter.Meta{Quality: 95}))
	if len(far.Halves) != len(alone.Halves) {
		t.Fatalf("%d halves found from afar, %d from near", len(far.Halves), len(alone.Halves))
	}
	for i, h := range far.Halves {
		near := alone.Halves[i]
		if d := math.Hypot(h.Centre.X-1000-near.Centre.X, h.Centre.Y-750-near.Centre.Y); d > 0.1*near.Radius {
			t.Errorf("half %d: %.0f px from where it lies", i+1, d)
		}
		a, _ := h.Stained()
		b, _ := near.Stained()
		if math.Abs(a-b) > 0.03 {
			t.Errorf("half %d: %.3f stained from afar, %.3f from near", i+1, a, b)
		}
		if slices.Contains(h.Remarks, RemarkSmall) {
			t.Errorf("half %d is called small after the closer look", i+1)
		}
	}
}
