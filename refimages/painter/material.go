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
	if p, ok := plastics[kind]; ok {
		return g.plastic(p, x, y, tint)
	}
	switch kind {
	case GreyMetal:
		return g.metal(x, y, tint)
	case Wood:
		return g.wood(x, y, tint)
	case Cardboard:
		return g.cardboard(x, y, tint)
	case Pulp:
		return g.pulp(x, y, tint)
	case Towel:
		return g.towel(x, y)
	case Concrete:
		return g.concrete(x, y)
	case Card:
		return g.card(x, y)
	default:
		return g.laminate(x, y)
	}
}

// cloud is slow unevenness over centimetres, and speck that of a millimetre.
func (g *ground) cloud(x, y float64) float64 { return g.n.layers(x*0.012, y*0.012, 3) }
func (g *ground) speck(x, y float64) float64 { return (g.n + 2).layers(x*0.9, y*0.9, 2) }
