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

// sixHalves is a painted tray of six halves of the given stage in soft light.
func sixHalves(stage float64, change func(*painter.Spec)) image.Image {
	s := painter.Spec{
		Seed: 31, Width: 1000, Height: 750, Difficulty: painter.Plain,
		Tray: painter.BluePlastic, Table: painter.Wood, TrayX: 170, TrayY: 125,
		Light: painter.Overcast, LightFrom: 220, LightHeight: 60,
		Camera:  painter.Camera{Tilt: 3, Toward: 90, Distance: 420, Focal: 1},
		Variety: painter.Red, Amber: 0.1, Noise: 0.005, Blur: 0.6,
	}
	families := painter.Families()
	for i := range 6 {
		s.Halves = append(s.Halves, painter.HalfSpec{
			X: -105 + 105*float64(i%3), Y: -52 + 104*float64(i/3), Radius: 36 + float64(i%2), Height: 35,
			Stage: stage, Family: families[i%len(families)], Seed: uint64(70 + i),
		})
	}
	if change != nil {
		change(&s)
	}
	img, _ := painter.Tray(s)
	return img
}

// blend lays the share of one picture over another, in linear light.
func blend(over, under image.Image, share float64) image.Image {
	linear := func(v uint8) float64 { return math.Pow(float64(v)/255, 2.2) }
	mix := func(a, b uint8) uint8 {
		return uint8(255*math.Pow(share*linear(a)+(1-share)*linear(b), 1/2.2) + 0.5)
	}
	top := rgba(over)
	out := imaging.Clone(under)
	for y := range out.Rect.Dy() {
		for x := range out.Rect.Dx() {
			o, c := top.RGBAAt(x, y), out.NRGBAAt(x, y)
			out.SetNRGBA(x, y, color.NRGBA{mix(o.R, c.R), mix(o.G, c.G), mix(o.B, c.B), 255})
		}
	}
	return out
}

// Each remark that stain gives is raised where its cause was painted, and on none of a tray without any.
func TestRemarksOnHalves(t *testing.T) {
	plain := sixHalves(4, nil)
	causes := []note.Code{RemarkNoClear, RemarkBrowned, RemarkFaint, RemarkGlare, RemarkSmall}
	for _, tt := range []struct {
		name string
		img  image.Image
		want note.Code
		on   int // halves at least
	}{
		{"nothing the matter", plain, "", 0},
		{"all stained", sixHalves(1, nil), RemarkNoClear, 6},
		{"browned", sixHalves(5, func(s *painter.Spec) { s.Browning = 0.9 }), RemarkBrowned, 5},
		// Where stain takes nine tenths of the light, 0.4 of it leaves a density of 0.2.
		{"faint", blend(sixHalves(1.6, nil), sixHalves(8, nil), 0.42), RemarkFaint, 5},
		{"far away", imaging.PasteCenter(imaging.New(1000, 750, color.Gray{120}), imaging.Resize(plain, 420, 0, imaging.Box)), RemarkSmall, 6},
		{"wet in a flash", sixHalves(4, func(s *painter.Spec) { s.Light, s.Wet, s.LightHeight = painter.Flash, 1, 85 }), RemarkGlare, 1}, // the flash is seen in one place
	} {
		tray := measured(t, painter.EncodeJPEG(rgba(tt.img), painter.Meta{Quality: 93}))
		raised := map[note.Code]int{}
		for _, h := range tray.Halves {
			for _, c := range causes {
				if note.Has(h.Remarks, c) {
					raised[c]++
				}
			}
		}
		for _, c := range causes {
			switch {
			case c == tt.want && raised[c] < tt.on:
				t.Errorf("%s: %d of %d halves are told %s, should be %d", tt.name, raised[c], len(tray.Halves), c, tt.on)
			case tt.want == "" && raised[c] > 0:
				t.Errorf("%s: %d halves are told %s", tt.name, raised[c], c)
			}
		}
	}
}
