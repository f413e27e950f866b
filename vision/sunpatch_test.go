package vision

import (
	"image"
	"image/color"
	"math"
	"testing"

	"github.com/disintegration/imaging"

	"traystage/refimages/painter"
	"traystage/vision/note"
)

// shadedFrom lays a shadow over what lies right of a column, bluer than the light as that of the sky is.
func shadedFrom(img image.Image, column int) image.Image {
	out := imaging.Clone(img)
	dim := func(v uint8, log float64) uint8 {
		return uint8(255*math.Pow(math.Pow(float64(v)/255, 2.2)*math.Pow(10, -log), 1/2.2) + 0.5)
	}
	for y := range out.Rect.Dy() {
		for x := column; x < out.Rect.Dx(); x++ {
			c := out.NRGBAAt(x, y)
			out.SetNRGBA(x, y, color.NRGBA{dim(c.R, 0.65), dim(c.G, 0.60), dim(c.B, 0.50), 255})
		}
	}
	return out
}

// Halves in the shade beside a patch of sun are measured as they are in the sun, and so are those on which it ends, which are told.
func TestPatchOfSun(t *testing.T) {
	img := sixHalves(4.5, nil)
	whole := measured(t, painter.EncodeJPEG(rgba(img), painter.Meta{Quality: 93}))
	between := int(whole.Halves[1].Centre.X+whole.Halves[2].Centre.X) / 2
	across := int(whole.Halves[2].Centre.X)
	for _, tt := range []struct {
		name   string
		column int
		onEdge bool
	}{
		{"ends between halves", between, false},
		{"ends on halves", across, true},
	} {
		tray := measured(t, painter.EncodeJPEG(rgba(shadedFrom(img, tt.column)), painter.Meta{Quality: 93}))
		for i, h := range tray.Halves {
			want, _ := whole.Halves[i].Profile.Stained()
			got, _ := h.Profile.Stained()
			edge := tt.onEdge && i%3 == 2
			if note.Has(h.Remarks, RemarkEdge) != edge {
				t.Errorf("%s, half %d: told the edge of a shadow: %v", tt.name, h.Number, !edge)
			}
			if math.Abs(got-want) > 0.03 {
				t.Errorf("%s, half %d: %.3f stained, all in the sun %.3f", tt.name, h.Number, got, want)
			}
			if edge && (want < h.FractionLow-0.01 || want > h.FractionHigh+0.01) {
				t.Errorf("%s, half %d: %.3f to %.3f stained, all in the sun %.3f", tt.name, h.Number, h.FractionLow, h.FractionHigh, want)
			}
		}
	}
}
