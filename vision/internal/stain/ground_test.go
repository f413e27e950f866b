package stain

import (
	"math"
	"testing"

	"github.com/lucasb-eyer/go-colorful"
)

// The ground around the last of some faces is told by that around the others, where it is even.
func TestGroundTellsOfShadows(t *testing.T) {
	const light, cell, radius = 0.5, 200, 50.0
	m, c := Default(), newCurve(0)
	clear, dark := []level{{c: [3]float64{-0.20, -0.22, -0.45}, share: 0.5}}, []level{{c: [3]float64{-0.65, -0.66, -0.85}, share: 0.5}}
	over := tray{level: -0.20, blue: -0.25, scale: 1, seen: true}
	unknown := math.Inf(1)
	for _, tt := range []struct {
		name   string
		around []float64 // how much darker, log10, the ground around each face is
		lit    int       // faces as bright as clear flesh
		want   float64
	}{
		{"ground in the light", []float64{0, 0, 0, 0}, 3, m.Alike},
		{"ground hardly darker", []float64{0, 0, 0, 0.12}, 3, 0.24},
		{"ground in the same shadow", []float64{0, 0, 0, 0.45}, 3, 0.90},
		{"one stray place", []float64{0, 0, -0.25, 0}, 3, m.Alike},
		{"ground that strays a little", []float64{0.085, 0, -0.085, 0}, 3, m.Alike},
		{"ground that strays", []float64{0.115, 0, -0.115, 0}, 3, unknown},
		{"as bright as any where it strays around two of five", []float64{0, 0, 0, 0.25, 0.25, 0}, 5, m.Alike},
		{"darker where it strays around two of five", []float64{0, 0, 0, 0.25, 0.25, 0.25}, 5, unknown},
		{"too few faces in the light", []float64{0, 0, 0, 0}, 2, unknown},
	} {
		p := Picture{Cols: len(tt.around) * cell, Rows: cell}
		var faces []Face
		var of [][]level
		for i := range tt.around {
			faces = append(faces, Face{X: cell * (float64(i) + 0.5), Y: cell / 2, Radius: radius})
			of = append(of, dark)
			if i < tt.lit {
				of[i] = clear
			}
		}
		for range p.Rows {
			for x := range p.Cols {
				p.Pix = append(p.Pix, grey(light*math.Pow(10, -tt.around[x/cell]))...)
			}
		}
		last := len(faces) - 1
		got := m.deepestShades(over, faces, of, middles(groundAround(p, faces, c), red))[last]
		if got != tt.want && math.Abs(got-tt.want) > 0.02 {
			t.Errorf("%s: a shadow of %.3f may lie over the face, want %.2f", tt.name, got, tt.want)
		}
	}
}

// Light that falls off over a tray falls off over its ground, which strays no more for it; and where light runs out at one end, ground
// as bright as any lies in no shadow though the light there would let it be brighter.
func TestGroundUnderFallingLight(t *testing.T) {
	m := Default()
	over := tray{level: -0.20, blue: -0.25, acrossX: -0.3, scale: 100, seen: true}
	var faces []Face
	var of [][]level
	var falling []float64
	for _, x := range []float64{-100, -50, 0, 50, 100} {
		f := Face{X: x, Radius: 40}
		faces = append(faces, f)
		of = append(of, []level{{c: [3]float64{over.at(f), 0, over.at(f) - 0.25}, share: 0.5}})
		falling = append(falling, -0.5-0.3*x/100)
	}
	for i, got := range m.deepestShades(over, faces, of, falling) {
		if math.Abs(got-m.Alike) > 1e-9 {
			t.Errorf("where the light falls off a shadow of %.2f may lie over face %d", got, i)
		}
	}
	uneven := []float64{-0.3, -0.9, -0.3, -0.9, -0.3}
	if got := m.deepestShades(over, faces, of, uneven); got[0] != m.Alike || !math.IsInf(got[1], 1) || got[4] != m.Alike {
		t.Errorf("on uneven ground shadows of %v may lie over the faces; it is brightest around the first and the last", got)
	}
}

// A green tray is nearly black in red: how bright it is shows in green.
func TestGroundByItsBrightestBand(t *testing.T) {
	green := []sample{{c: [3]float64{-2.1, -0.8, -1.3}}, {c: [3]float64{-1.4, -0.78, -1.1}}, {c: [3]float64{-1.9, -0.82, -1.3}}}
	if got := middles([][]sample{green, nil}, brightest); got[0] != -0.8 || !math.IsNaN(got[1]) {
		t.Errorf("the ground is %v, want -0.8 and unknown", got)
	}
	if got := middles([][]sample{green}, red)[0]; got != -1.9 {
		t.Errorf("its red is %v, want -1.9", got)
	}
}

func grey(linear float64) []byte {
	r, g, b := colorful.LinearRgb(linear, linear, linear).RGB255()
	return []byte{b, g, r}
}

// The face with its side, and what lies far off, are none of the ground around it; the middle of that is told. The rings
// have areas of 0.42 and 0.51 between 1.15 and 1.5 radii.
func TestGroundAround(t *testing.T) {
	const side, radius = 320, 80.0
	f := Face{X: side / 2, Y: side / 2, Radius: radius}
	p := Picture{Cols: side, Rows: side}
	for y := range side {
		for x := range side {
			lit := 0.9
			for _, ring := range []struct{ within, lit float64 }{{1.5, 0.5}, {1.32, 0.2}, {1.14, 0.01}} {
				if f.holds(float64(x), float64(y), ring.within) {
					lit = ring.lit
				}
			}
			p.Pix = append(p.Pix, grey(lit)...)
		}
	}
	c := newCurve(0)
	if got := middles(groundAround(p, []Face{f}, c), red)[0]; math.Abs(got-math.Log10(0.5)) > 0.01 {
		t.Errorf("the ground is %.3f, want log10 0.5", got)
	}
	if got := middles(groundAround(p, []Face{f, {X: side / 2, Y: side / 2, Radius: 3 * radius}}, c), red)[0]; !math.IsNaN(got) {
		t.Errorf("ground of %v beneath another face", got)
	}
	if got := middles(groundAround(Picture{Cols: 10, Rows: 10, Pix: make([]byte, 300)}, []Face{{X: 500, Y: 500, Radius: 20}}, c), red)[0]; !math.IsNaN(got) {
		t.Errorf("ground of %v around a face beside the picture", got)
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

// Ground is plain where no shadow parts it, halves' own aside.
func TestPlainGround(t *testing.T) {
	for _, tt := range []struct {
		name   string
		around []float64 // log10, of each tenth of the ground
		want   bool
	}{
		{"even", []float64{0, 0, 0, 0, 0, 0, 0, 0, 0, 0}, true},
		{"what halves shade", []float64{0, 0, 0, 0, 0, 0, 0, 0, -0.4, -0.4}, true},
		{"a shadow", []float64{0, 0, 0, 0, 0, 0, 0, -0.4, -0.4, -0.4}, false},
		{"the faintest", []float64{0, 0, 0, 0, 0, 0, -0.17, -0.17, -0.17, -0.17}, false},
		{"darker cloth", []float64{0, 0, 0, 0, 0, 0, -0.13, -0.13, -0.13, -0.13}, true},
		{"light that fades a little", []float64{0, 0.02, 0.04, 0.06, 0.08, 0.1, 0.12, 0.14, 0.16, 0.18}, true},
		{"light that fades", []float64{0, 0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.35, 0.4, 0.45}, false},
	} {
		var ring []sample
		for _, v := range tt.around {
			for range 10 {
				ring = append(ring, sample{c: [3]float64{v, v, v}})
			}
		}
		if got := plain([][]sample{ring[:40], ring[40:]}); got != tt.want {
			t.Errorf("%s: %v", tt.name, got)
		}
	}
}
