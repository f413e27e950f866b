package stain

import (
	"math"
	"testing"

	"github.com/lucasb-eyer/go-colorful"
)

// Four faces lie on a tray; what is around the last is told, and on two trays that of the others strays.
func TestGroundTellsOfShadows(t *testing.T) {
	const light, cell, radius = 0.5, 200, 50.0
	m, c := Default(), newCurve(0)
	clear, dark := []level{{c: [3]float64{-0.20, -0.22, -0.45}, share: 0.5}}, []level{{c: [3]float64{-0.65, -0.66, -0.85}, share: 0.5}}
	over := tray{level: -0.20, blue: -0.25, scale: 1, seen: true}
	for _, tt := range []struct {
		name   string
		around [4]float64 // how much darker, log10, the ground is
		lit    int        // faces as bright as clear flesh
		want   float64
	}{
		{"ground in the light", [4]float64{0, 0, 0, 0}, 3, m.Alike},
		{"ground hardly darker", [4]float64{0, 0, 0, 0.12}, 3, 0.24},
		{"ground in the same shadow", [4]float64{0, 0, 0, 0.45}, 3, 0.90},
		{"ground that strays", [4]float64{0.3, 0, -0.25, 0}, 3, math.Inf(1)},
		{"one stray place", [4]float64{0, 0, -0.25, 0}, 3, m.Alike},
		{"too few faces in the light", [4]float64{0, 0, 0, 0}, 2, math.Inf(1)},
	} {
		p := Picture{Cols: 4 * cell, Rows: cell}
		var faces []Face
		var of [][]level
		for i := range tt.around {
			faces = append(faces, Face{X: cell * (float64(i) + 0.5), Y: cell / 2, Radius: radius})
		}
		for y := range p.Rows {
			for x := range p.Cols {
				i := x / cell
				lit := light * math.Pow(10, -tt.around[i])
				v, _, _ := colorful.LinearRgb(lit, lit, lit).RGB255()
				if faces[i].holds(float64(x), float64(y), 1.1) {
					v = 20 // the face and its side, which must not count
				}
				p.Pix = append(p.Pix, v, v, v)
			}
		}
		for i := range faces {
			of = append(of, dark)
			if i < tt.lit {
				of[i] = clear
			}
		}
		got := m.shades(over, faces, of, groundAround(p, faces, c))[3]
		if got != tt.want && math.Abs(got-tt.want) > 0.02 {
			t.Errorf("%s: a shadow of %.3f may lie over the face, want %.2f", tt.name, got, tt.want)
		}
	}
	if g := groundAround(Picture{Cols: 10, Rows: 10, Pix: make([]byte, 300)}, []Face{{X: 500, Y: 500, Radius: 20}}, c)[0]; !math.IsNaN(g) {
		t.Errorf("ground of %v around a face beside the picture", g)
	}
}

// A face stained all over as grey and as light as flesh in open shade is stained where the ground around it lies in the light.
func TestGreyStainIsNoShadow(t *testing.T) {
	m := Default()
	at := func(red, blue, share float64) level {
		return level{c: [3]float64{red, red, red + blue}, share: share, blueing: math.NaN()}
	}
	over := tray{level: -0.30, blue: -0.25, blueing: 0.36, scale: 1, seen: true}
	ls := []level{at(-0.83, -0.17, 0.34)}
	if l := m.own(over, Face{Radius: 50}, ls, nil, math.Inf(1)); l.share == 0 && !l.known {
		t.Error("flesh in a deep shadow is not taken for clear flesh where the ground does not tell")
	}
	if l := m.own(over, Face{Radius: 50}, ls, nil, 0.2); l.known {
		t.Errorf("stain is taken for clear flesh in a shadow that the ground does not show: %+v", l)
	}
}
