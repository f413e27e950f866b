package vision

import (
	"image"
	"image/color"
	"math"
	"testing"

	"github.com/disintegration/imaging"

	"traystage/refimages/painter"
	"traystage/vision/internal/locate"
	"traystage/vision/internal/stain"
	"traystage/vision/note"
	"traystage/vision/zones"
)

// A good photo is left in peace; one spoilt on purpose is told so, as a whole
// and on every half.
func TestRemarksOnPhoto(t *testing.T) {
	img := decoded(t, "larkfield_demo.jpg")
	for name, tt := range map[string]struct {
		img  image.Image
		want []note.Note
	}{
		"as it is":     {img, nil},
		"out of focus": {imaging.Blur(img, 5), []note.Note{note.New(RemarkBlurred)}},
		// a third of the stored value is about a twelfth of the light
		"in the dark": {imaging.AdjustFunc(img, func(c color.NRGBA) color.NRGBA { return color.NRGBA{c.R / 3, c.G / 3, c.B / 3, c.A} }), []note.Note{note.New(RemarkDark)}},
	} {
		tray := measured(t, painter.EncodeJPEG(rgba(tt.img), painter.Meta{Quality: 94}))
		if !note.Same(tray.Remarks, tt.want) {
			t.Errorf("%s: remarks %q, want %q", name, tray.Remarks, tt.want)
		}
		for _, h := range tray.Halves {
			for _, r := range tt.want {
				if !note.Has(h.Remarks, r.Code) {
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
		if note.Has(h.Remarks, RemarkSmall) {
			t.Errorf("half %d is called small after the closer look", i+1)
		}
	}
}

// By hand: an edge rough by 0.02 of the radius leaves open a ring of 0.04 of the
// area. Too wide, it counts skin as stain (1 - stained) or the face's rim not at all. One that lies
// 0.013 off all around adds or takes 0.026 of the area, of which the rim is stained more than the whole
// by as much as wantEdge says.
func TestLeftOpen(t *testing.T) {
	for _, tt := range []struct {
		name               string
		glare, rough       float64
		stained, flesh     int // of the outermost zone; the inner one is clear and as large
		wantLess, wantMore float64
		wantEdge           float64
	}{
		{"a clear view", 0, 0, 60, 100, 0, 0, 0.3},
		{"a rough edge, stained rim", 0, 0.02, 90, 100, 0.04 * 0.55, 0.04 * 0.45, 0.45},
		{"a rough edge, clear face", 0, 0.02, 0, 100, 0.04, 0, 0},
		{"glare", 0.3, 0, 60, 100, 0.075, 0.075, 0.3},
		{"both", 0.16, 0.015, 0, 100, 0.05, 0.04, 0},
	} {
		tt.wantLess, tt.wantMore = math.Hypot(tt.wantLess, 0.026*tt.wantEdge), math.Hypot(tt.wantMore, 0.026*tt.wantEdge)
		r := stain.Reading{Glare: tt.glare, Profile: zones.Profile{Zones: []zones.Zone{{Flesh: 100}, {Stained: tt.stained, Flesh: tt.flesh}}}}
		stained, _ := r.Profile.Stained()
		less, more := leftOpen(locate.Face{Roughness: tt.rough}, r, stained)
		if math.Abs(less-tt.wantLess) > 1e-12 || math.Abs(more-tt.wantMore) > 1e-12 {
			t.Errorf("%s: %.4f less and %.4f more, want %.4f and %.4f", tt.name, less, more, tt.wantLess, tt.wantMore)
		}
	}
}
