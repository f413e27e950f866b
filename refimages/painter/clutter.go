package painter

import (
	"image"
	"image/color"
	"math"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gomedium"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// newClutter is the solid of one thing on the tray.
func newClutter(c ClutterSpec) thing {
	f := newFrame(c.X, c.Y, c.Turn)
	n := noise(random(c.Seed, 29).Uint64())
	switch c.Kind {
	case Knife:
		return knife(f, n)
	case Fingers:
		return fingers(f, n)
	case Pen:
		return pen(f, n)
	case Cloth:
		return cloth(f, n)
	default:
		return label(f, n, c.Text)
	}
}

// knife is a paring knife, blade along the frame's x axis.
func knife(f frame, n noise) thing {
	blade := func(q vec) float64 {
		x := clamp(q.x, -8, 96)
		wide := 10.5 * math.Sqrt(math.Max(1-sq(math.Max(x, 0)/97), 0.004))
		if x < 0 { // the neck that runs into the handle
			wide = 10.5 - 5*smooth(0, -8, x)
		}
		y := q.y + 10.5 - wide // straight back, curved edge
		return 0.6 * box(vec{q.x - 44, y, q.z - 3}, 52, wide, 1.6, 0.3)
	}
	handle := func(q vec) float64 {
		return capsule(vec{q.x, q.y * 0.72, (q.z - 7.5) * 1.1}, vec{x: -6}, vec{x: -98}, 6.5, 7.5) * 0.7
	}
	dist := func(p vec) float64 { q := f.local(p); return math.Min(blade(q), handle(q)) }
	return thing{
		middle: vec{f.x, f.y, 6}, radius: 118, dist: dist,
		look: func(p, _ vec) material {
			q := f.local(p)
			if handle(q) < blade(q) {
				grain := n.layers(q.x*0.03, q.y*0.8, 2)
				return material{col: rgb{0.05, 0.035, 0.028}.scale(1 + 0.3*grain), gloss: plasticGloss, rough: 0.35}
			}
			brush := n.at(q.x*3, q.y*0.06)
			return material{
				col: rgb{0.16, 0.16, 0.165}.scale(1 + 0.08*brush), gloss: rgb{0.5, 0.5, 0.5},
				rough: 0.33, sx: 0.05 * brush, sy: 0.1 * smooth(3, 9, q.y),
			}
		},
	}
}

// fingers are two gloved fingers that reach in along the frame's x axis.
func fingers(f frame, n noise) thing {
	nitrile := n.cell(1, 1) < 0.6
	bone := func(q vec, y, lean float64) float64 {
		a, b := vec{8, y, 46}, vec{34, y + lean, 54}
		c, d := vec{68, y + 2*lean, 60}, vec{190, y + 5*lean, 78}
		k := join(capsule(q, a, b, 7.6, 8.6), capsule(q, b, c, 8.6, 9.6), 5)
		return join(k, capsule(q, c, d, 9.6, 13), 6)
	}
	dist := func(p vec) float64 {
		q := f.local(p)
		k := join(bone(q, -11, -1), bone(q, 11, 2), 4)
		wrinkle := 0.35 * n.layers(q.x*0.12, q.y*0.05+q.z*0.05, 2)
		return (k + wrinkle) * 0.85
	}
	return thing{
		middle: vec{f.x + 95*f.cos, f.y + 95*f.sin, 60}, radius: 130, dist: dist,
		look: func(p, _ vec) material {
			q := f.local(p)
			cloud := n.layers(q.x*0.05, q.y*0.05, 2)
			if nitrile {
				return material{col: rgb{0.07, 0.19, 0.47}.scale(1 + 0.12*cloud), gloss: plasticGloss, rough: 0.5}
			}
			return material{col: rgb{0.70, 0.68, 0.62}.scale(1 + 0.05*cloud), gloss: plasticGloss, rough: 0.6}
		},
	}
}

// pen lies along the frame's x axis.
func pen(f frame, n noise) thing {
	rod := func(q vec) float64 { return capsule(q, vec{-62, 0, 5}, vec{58, 0, 5}, 5, 4.8) }
	tip := func(q vec) float64 { return capsule(q, vec{58, 0, 5}, vec{70, 0, 4.5}, 4, 0.9) }
	clip := func(q vec) float64 { return capsule(q, vec{-60, 0, 11}, vec{-24, 0, 10.4}, 1.1, 1.1) }
	col := rgb{0.04, 0.07, 0.3}
	if n.cell(0, 3) < 0.5 {
		col = rgb{0.02, 0.02, 0.022}
	}
	return thing{
		middle: vec{f.x, f.y, 5}, radius: 76,
		dist: func(p vec) float64 { q := f.local(p); return math.Min(rod(q), math.Min(tip(q), clip(q))) },
		look: func(p, _ vec) material {
			q := f.local(p)
			switch {
			case clip(q) < 0.1:
				return material{col: rgb{0.2, 0.2, 0.2}, gloss: rgb{0.5, 0.5, 0.5}, rough: 0.3}
			case q.x > -20 && q.x < 52:
				return material{col: rgb{0.72, 0.72, 0.7}, gloss: plasticGloss, rough: 0.25}
			}
			return material{col: col, gloss: plasticGloss, rough: 0.25}
		},
	}
}

// cloth is the crumpled corner of a dish cloth.
func cloth(f frame, n noise) thing {
	high := func(q vec) float64 {
		a := n.layers(q.x*0.016, q.y*0.016, 2)
		b := (n + 3).at(q.x*0.045, q.y*0.02)
		return 5 + 5*a*a + 3.5*math.Abs(b)
	}
	dist := func(p vec) float64 {
		q := f.local(p)
		wave := 4 * (n+5).at(q.x*0.03, q.y*0.03)
		q.x += wave
		q.y += wave
		return 0.6 * box(vec{q.x, q.y, q.z}, 68, 52, high(q), 6)
	}
	return thing{
		middle: vec{f.x, f.y, 6}, radius: 100, dist: dist,
		look: func(p, _ vec) material {
			q := f.local(p)
			weave := math.Sin(q.x*2.4)*math.Sin(q.y*2.4) + 0.5*(n+7).at(q.x, q.y)
			col := rgb{0.62, 0.61, 0.57}
			if s := math.Mod(math.Abs(q.y)+3, 24); s < 3.2 {
				col = rgb{0.17, 0.26, 0.36}
			}
			return material{col: col.scale(1 + 0.07*weave), gloss: rgb{0.01, 0.01, 0.01}, rough: 1, sx: 0.08 * weave}
		},
	}
}

// label is a card with the block written on it.
func label(f frame, n noise, text string) thing {
	const x, y, px = 46.0, 25.0, 8.0
	ink := lettering(text, int(2*x*px), int(2*y*px))
	return thing{
		middle: vec{f.x, f.y, 0.4}, radius: 54,
		dist: func(p vec) float64 {
			q := f.local(p)
			q.z -= 1.4 * sq(q.x/x) // the card bends up a little
			return 0.8 * box(q, x, y, 0.6, 1)
		},
		look: func(p, _ vec) material {
			q := f.local(p)
			col := rgb{0.79, 0.78, 0.74}.scale(1 + 0.02*n.layers(q.x*0.5, q.y*0.5, 2))
			dark := ink.AlphaAt(int((q.x+x)*px), int((q.y+y)*px)).A
			return material{col: col.mix(rgb{0.03, 0.03, 0.045}, float64(dark)/255), gloss: rgb{0.02, 0.02, 0.02}, rough: 0.8}
		},
	}
}

// lettering writes text into the middle of a picture.
func lettering(text string, width, height int) *image.Alpha {
	img := image.NewAlpha(image.Rect(0, 0, width, height))
	parsed, err := opentype.Parse(gomedium.TTF)
	if err != nil {
		return img // the embedded font always parses; a blank card is no harm
	}
	face, err := opentype.NewFace(parsed, &opentype.FaceOptions{Size: float64(height) * 0.3, DPI: 72, Hinting: font.HintingNone})
	if err != nil {
		return img
	}
	d := font.Drawer{Dst: img, Src: image.NewUniform(color.Alpha{A: 235}), Face: face}
	wide := d.MeasureString(text)
	d.Dot = fixed.Point26_6{X: (fixed.I(width) - wide) / 2, Y: fixed.I(height * 6 / 10)}
	d.DrawString(text)
	return img
}
