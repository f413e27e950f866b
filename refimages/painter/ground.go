package painter

import "math"

// plasticLook is one colour of plastic tray.
type plasticLook struct {
	col                rgb
	tint, cloud, speck float64 // how much trays, and places of one tray, differ
	scratch            float64 // how much darker (+) or lighter (-) scratches are
	rough, bump        float64
}

var plastics = map[Ground]plasticLook{
	WhitePlastic: {rgb{0.78, 0.79, 0.78}, 0.05, 0.015, 0.012, 0.05, 0.3, 0},
	BlackPlastic: {rgb{0.022, 0.022, 0.024}, 0.2, 0.15, 0.2, -0.02, 0.33, 0.03},
	BluePlastic:  {rgb{0.03, 0.17, 0.42}, 0.15, 0.05, 0.04, -0.04, 0.3, 0},
	GreenPlastic: {rgb{0.05, 0.24, 0.10}, 0.2, 0.05, 0.04, -0.04, 0.3, 0},
}

func (g *ground) plastic(p plasticLook, x, y, tint float64) material {
	speck := g.speck(x, y)
	m := material{
		col:   p.col.scale(1 + p.tint*tint + p.cloud*g.cloud(x, y) + p.speck*speck),
		gloss: plasticGloss, rough: p.rough,
		sx: p.bump * speck, sy: p.bump * (g.n+3).at(x*0.9, y*0.9),
	}
	g.scuff(&m, x, y, p.scratch)
	return m
}

// metal is brushed along x.
func (g *ground) metal(x, y, tint float64) material {
	brush := (g.n+4).at(x*0.02, y*3) + 0.5*(g.n+5).at(x*0.05, y*8)
	return material{
		col:   rgb{0.23, 0.235, 0.24}.scale(1 + 0.1*tint + 0.06*g.cloud(x, y) + 0.06*brush),
		gloss: rgb{0.42, 0.42, 0.42}, rough: 0.38,
		sx: 0.02 * g.speck(x, y), sy: 0.06 * brush,
	}
}

// cardboard has fibres and shows the flutes inside it.
func (g *ground) cardboard(x, y, tint float64) material {
	flute := math.Sin(x * 2 * math.Pi / 7.2)
	fibre := (g.n + 6).at(x*0.25, y*1.6)
	speck := g.speck(x, y)
	col := rgb{0.47, 0.315, 0.175}.scale(1 + 0.1*tint + 0.06*g.cloud(x, y) + 0.05*speck + 0.05*fibre + 0.015*flute)
	if d, id := (g.n + 7).spots(x*0.25, y*0.25); d < 0.1 && id > 0.6 {
		col = col.scale(0.72)
	}
	return material{col: col, gloss: rgb{0.02, 0.02, 0.02}, rough: 0.9, sx: 0.015*flute + 0.02*speck}
}

// pulp is moulded waste paper: rough, with flecks of print.
func (g *ground) pulp(x, y, tint float64) material {
	a, b := (g.n+8).layers(x*0.5, y*0.5, 3), (g.n+9).layers(x*0.5, y*0.5, 3)
	col := rgb{0.40, 0.375, 0.335}.scale(1 + 0.12*tint + 0.06*g.cloud(x, y) + 0.07*a)
	if d, id := (g.n + 7).spots(x*0.6, y*0.6); d < 0.16 && id > 0.55 {
		col = col.mix(rgb{0.15, 0.14, 0.16}, 0.4*id)
	}
	return material{col: col, gloss: rgb{0.015, 0.015, 0.015}, rough: 1, sx: 0.22 * a, sy: 0.22 * b}
}

func (g *ground) concrete(x, y float64) material {
	speck := g.speck(x, y)
	blotch := (g.n + 10).layers(x*0.05, y*0.05, 5)
	return material{
		col:   rgb{0.36, 0.35, 0.33}.scale(1 + 0.14*blotch + 0.1*speck),
		gloss: rgb{0.02, 0.02, 0.02}, rough: 0.9, sx: 0.05 * speck,
	}
}

func (g *ground) card(x, y float64) material {
	col := rgb{0.42, 0.42, 0.415}.scale(1 + 0.012*g.cloud(x, y) + 0.02*g.speck(x, y))
	return material{col: col, gloss: rgb{0.01, 0.01, 0.01}, rough: 1}
}

// laminate is a speckled worktop.
func (g *ground) laminate(x, y float64) material {
	col := rgb{0.50, 0.485, 0.45}.scale(1 + 0.02*g.cloud(x, y) + 0.02*g.speck(x, y))
	if d, id := (g.n + 11).spots(x*0.35, y*0.35); d < 0.22 {
		col = col.scale(0.72 + 0.4*id)
	}
	return material{col: col, gloss: plasticGloss, rough: 0.3}
}

// scuff adds fine scratches in a few directions.
func (g *ground) scuff(m *material, x, y, bright float64) {
	a := (g.n + 12).at(x*0.015+y*0.011, (y-0.7*x)*1.4)
	b := (g.n + 13).at(x*0.012-y*0.02, (y+1.9*x)*0.9)
	worn := smooth(0.1, 0.7, (g.n+14).layers(x*0.01, y*0.01, 2))
	s := smooth(0.72, 0.95, a) + smooth(0.75, 0.95, b)
	m.col = m.col.scale(1 - bright*s*worn*2)
	if bright < 0 {
		m.col = m.col.add(rgb{0.02, 0.02, 0.02}.scale(s * worn))
	}
	m.rough += 0.1 * s * worn
}

// wood is a board of planks with grain along x.
func (g *ground) wood(x, y, tint float64) material {
	plank := math.Floor(y / 86)
	in := y/86 - plank
	own := (g.n + 15).cell(int64(plank), 5)
	px := x + 700*own
	warp := 5 * (g.n+16).layers(px*0.006, y*0.012+3*own, 2)
	ring := math.Sin((y*0.32 + warp*1.8) + 6*own)
	grain := (g.n+17).at(px*0.02, y*1.1) + 0.6*(g.n+18).at(px*0.05, y*3.1)
	pore := smooth(0.55, 0.9, (g.n+19).at(px*0.07, y*4.5))
	t := clamp(0.5+0.22*ring+0.25*grain+0.3*(own-0.5), 0, 1)
	col := rgb{0.23, 0.115, 0.05}.mix(rgb{0.43, 0.255, 0.125}, t).scale(1 + 0.15*tint - 0.3*pore)
	joint := smooth(0.012, 0.004, math.Min(in, 1-in))
	return material{
		col: col.scale(1 - 0.6*joint), gloss: rgb{0.03, 0.03, 0.03}, rough: 0.45,
		sy: 0.04*grain - 0.1*pore, sx: 0.01 * ring,
	}
}

// towel is embossed paper with a few creases and wet spots.
func (g *ground) towel(x, y float64) material {
	fine := g.speck(x, y)
	u, v := x/6.5, y/6.5
	if int64(math.Floor(v))&1 == 1 {
		u += 0.5
	}
	du, dv := u-math.Floor(u)-0.5, v-math.Floor(v)-0.5
	d := math.Hypot(du, dv)
	dent := smooth(0.36, 0.18, d)
	crease := (g.n + 20).layers(x*0.011, y*0.011, 2)
	wet := smooth(0.3, 0.5, (g.n+23).layers(x*0.015, y*0.015, 3))
	col := rgb{0.74, 0.735, 0.715}.scale(1 - 0.04*dent + 0.02*fine - 0.16*wet*g.pooled)
	return material{
		col: col, gloss: rgb{0.01, 0.01, 0.01}, rough: 1,
		sx: 0.28*du*dent + 0.04*fine + 0.08*crease, sy: 0.28*dv*dent + 0.06*crease,
	}
}
