package painter

import "math"

// material is the surface at one point.
type material struct {
	col    rgb     // diffuse reflectance
	gloss  rgb     // mirror reflectance when looked at straight
	rough  float64 // 0.05 wet to 1 matt
	sx, sy float64 // slope of small bumps in the plane of the tray
}

// add is the mixture of m with a share of another material.
func (m material) add(o material, share float64) material {
	return material{
		col: m.col.add(o.col.scale(share)), gloss: m.gloss.add(o.gloss.scale(share)),
		rough: m.rough + share*o.rough, sx: m.sx + share*o.sx, sy: m.sy + share*o.sy,
	}
}

var plasticGloss = rgb{0.04, 0.04, 0.04}

// drop is a drop of iodine on the floor.
type drop struct{ x, y, r, deep float64 }

// ground paints tray and table.
type ground struct {
	kind, under Ground
	n           noise
	tint        float64 // this tray's own shade
	stains      float64
	drops       []drop
	pooled      float64 // wetness
}

func newGround(s *Spec) ground {
	r := random(uint64(s.Seed), 17)
	g := ground{kind: s.Tray, under: s.Table, n: noise(r.Uint64()), tint: between(r, -1, 1), stains: s.Stains, pooled: s.Wet}
	for range s.Drops {
		x, y := between(r, -1, 1)*s.TrayX, between(r, -1, 1)*s.TrayY
		rad := between(r, 1.2, 5)
		g.drops = append(g.drops, drop{x, y, rad, between(r, 0.5, 1.3)})
		for range r.IntN(3) { // spatter beside it
			g.drops = append(g.drops, drop{x + between(r, -14, 14), y + between(r, -14, 14), between(r, 0.4, 1.5), 0.8})
		}
	}
	return g
}

// smearOD is the density of dried iodine per band, and iodineOD that of a drop of the solution.
var (
	smearOD  = rgb{0.08, 0.36, 1}
	iodineOD = rgb{0.22, 0.75, 1.5}
)

// at is the surface at a point whose distance from the floor's edge is edge.
func (g *ground) at(p vec, t *tray, edge float64) material {
	if edge > t.wall+t.lip+1.2 {
		return g.texture(g.under, p.x+400, p.y+300, 0)
	}
	m := g.texture(g.kind, p.x, p.y, g.tint)
	if g.stains > 0 {
		g.smear(&m, p)
	}
	if edge < 0 {
		for _, d := range g.drops {
			g.wetDrop(&m, p, d)
		}
	}
	return m
}

// smear tints the tray where iodine was wiped, amber or, with starch, blue-black.
func (g *ground) smear(m *material, p vec) {
	a := (g.n + 71).layers(p.x*0.018, p.y*0.018, 4)
	m.col = m.col.absorb(smearOD, 0.45*g.stains*smooth(0.05, 0.8, a+0.12*(g.n+73).at(p.x*0.4, p.y*0.4)+0.25*g.stains))
	b := (g.n + 72).layers(p.x*0.03+9, p.y*0.03, 4)
	m.col = m.col.absorb(rgb{1, 0.85, 0.6}, 0.3*g.stains*smooth(0.35, 0.85, b+0.15*g.stains))
}

func (g *ground) wetDrop(m *material, p vec, d drop) {
	dx, dy := p.x-d.x, p.y-d.y
	if math.Abs(dx) > d.r*1.5 || math.Abs(dy) > d.r*1.5 {
		return
	}
	th := math.Atan2(dy, dx)
	rim := d.r * (1 + 0.16*g.n.at(math.Cos(th)*1.3+d.x, math.Sin(th)*1.3+d.y))
	r := math.Hypot(dx, dy) / rim
	if r >= 1 {
		return
	}
	m.col = m.col.absorb(iodineOD, d.deep*(0.35+0.65*math.Sqrt(1-r*r)))
	m.gloss, m.rough = rgb{0.03, 0.03, 0.03}, 0.06
	m.sx, m.sy = 0.7*r*r*dx/rim, 0.7*r*r*dy/rim
}

// texture is the bare surface of a kind of ground at x, y mm.
func (g *ground) texture(kind Ground, x, y, tint float64) material {
	m := material{gloss: plasticGloss, rough: 0.3}
	cloud := g.n.layers(x*0.012, y*0.012, 3)
	fine := (g.n + 2).layers(x*0.9, y*0.9, 2)
	switch kind {
	case WhitePlastic:
		m.col = rgb{0.78, 0.79, 0.78}.scale(1 + 0.05*tint + 0.015*cloud + 0.012*fine)
		g.scuff(&m, x, y, 0.05)
	case BlackPlastic:
		m.col = rgb{0.022, 0.022, 0.024}.scale(1 + 0.2*tint + 0.15*cloud + 0.2*fine)
		m.rough = 0.33
		m.sx, m.sy = 0.03*fine, 0.03*(g.n+3).at(x*0.9, y*0.9)
		g.scuff(&m, x, y, -0.02)
	case BluePlastic:
		m.col = rgb{0.03, 0.17, 0.42}.scale(1 + 0.15*tint + 0.05*cloud + 0.04*fine)
		g.scuff(&m, x, y, -0.04)
	case GreenPlastic:
		m.col = rgb{0.05, 0.24, 0.10}.scale(1 + 0.2*tint + 0.05*cloud + 0.04*fine)
		g.scuff(&m, x, y, -0.04)
	case GreyMetal:
		brush := (g.n+4).at(x*0.02, y*3) + 0.5*(g.n+5).at(x*0.05, y*8)
		m.col = rgb{0.23, 0.235, 0.24}.scale(1 + 0.1*tint + 0.06*cloud + 0.06*brush)
		m.gloss, m.rough = rgb{0.42, 0.42, 0.42}, 0.38
		m.sy = 0.06 * brush
		m.sx = 0.02 * fine
	case Wood:
		m = g.wood(x, y, tint)
	case Cardboard:
		flute := math.Sin(x * 2 * math.Pi / 7.2)
		fibre := (g.n + 6).at(x*0.25, y*1.6)
		m.col = rgb{0.47, 0.315, 0.175}.scale(1 + 0.1*tint + 0.06*cloud + 0.05*fine + 0.05*fibre + 0.015*flute)
		if d, id := (g.n + 7).spots(x*0.25, y*0.25); d < 0.1 && id > 0.6 {
			m.col = m.col.scale(0.72)
		}
		m.sx, m.rough, m.gloss = 0.015*flute+0.02*fine, 0.9, rgb{0.02, 0.02, 0.02}
	case Pulp:
		a, b := (g.n+8).layers(x*0.5, y*0.5, 3), (g.n+9).layers(x*0.5, y*0.5, 3)
		m.col = rgb{0.40, 0.375, 0.335}.scale(1 + 0.12*tint + 0.06*cloud + 0.07*a)
		if d, id := (g.n + 7).spots(x*0.6, y*0.6); d < 0.16 && id > 0.55 {
			m.col = m.col.mix(rgb{0.15, 0.14, 0.16}, 0.4*id)
		}
		m.sx, m.sy, m.rough, m.gloss = 0.22*a, 0.22*b, 1, rgb{0.015, 0.015, 0.015}
	case Card:
		m.col = rgb{0.42, 0.42, 0.415}.scale(1 + 0.012*cloud + 0.02*fine)
		m.rough, m.gloss = 1, rgb{0.01, 0.01, 0.01}
	case Towel:
		m = g.towel(x, y, fine)
	case Concrete:
		a := (g.n + 10).layers(x*0.05, y*0.05, 5)
		m.col = rgb{0.36, 0.35, 0.33}.scale(1 + 0.14*a + 0.1*fine)
		m.rough, m.gloss, m.sx = 0.9, rgb{0.02, 0.02, 0.02}, 0.05*fine
	default: // laminate
		m.col = rgb{0.50, 0.485, 0.45}.scale(1 + 0.02*cloud + 0.02*fine)
		if d, id := (g.n + 11).spots(x*0.35, y*0.35); d < 0.22 {
			m.col = m.col.scale(0.72 + 0.4*id)
		}
	}
	return m
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
func (g *ground) towel(x, y, fine float64) material {
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
