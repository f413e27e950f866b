package painter

import (
	"math"
	"slices"

	"traystage/vision/zones"
)

// faceLook is what a tray's fruit have in common.
type faceLook struct {
	flesh   rgb     // reflectance of clear flesh
	stain   rgb     // optical density of the complex in each band, relative to red
	amber   float64 // density in the blue of unbound iodine
	brown   float64 // strength of browning, 0 none to 1 strong
	zones   int     // rings to count
	skinMM  float64 // mean width of the skin ring, mm
	variety Variety
}

// amberOD and brownOD are the densities, per band, of unbound iodine and of
// browned flesh at strength 1.
var (
	amberOD = rgb{0.015, 0.2, 1}
	brownOD = rgb{0.07, 0.19, 0.36}
)

// face is the painted cut face of one half: a square map around the core's centre.
type face struct {
	n     int           // texels per side
	span  float64       // half the side, mm
	class []zones.Class // of each texel
	od    []float32     // red-band optical density of the complex
	refl  [][3]float32  // reflectance, stained and tinted
	slope [][2]int8     // slope of the surface, hundredths
	truth faceTruth
}

// faceTruth is what is counted on the map.
type faceTruth struct {
	stained     float64   // stained / flesh
	zones       []float64 // stained / flesh in each ring; that of the nearest ring with flesh where one has none
	weights     []float64 // share of the flesh in each ring
	medianStain float64   // median density of the stained flesh, 0 without any
}

// facePainter is the work on one face.
type facePainter struct {
	look   faceLook
	half   HalfSpec
	shape  *shape
	core   core
	skin   skin
	starch starch
	n      noise
	cutCos float64
	cutSin float64
	bundle float64 // bearing of the first vascular bundle
	dense  float64 // mean density of the stain on this half
	face   *face
	keep   []float32 // starch order of flesh texels
	q      []float32 // normalised radius
}

// newFace paints a half's face with a map of n texels a side.
func newFace(h HalfSpec, sh *shape, look faceLook, n int) *face {
	r := random(h.Seed, 13)
	cut := between(r, 0, 2*math.Pi)
	p := &facePainter{
		look: look, half: h, shape: sh,
		core: newCore(sh.mean, h.Seed), skin: newSkin(look.variety, h.Seed),
		starch: newStarch(h.Family, h.Seed, sh.mean), n: noise(r.Uint64()),
		cutCos: math.Cos(cut), cutSin: math.Sin(cut), bundle: between(r, 0, 2*math.Pi),
	}
	x := clamp((h.Stage-StageStained)/(StageClear-StageStained), 0, 1)
	p.dense = (1.5 - 0.75*x) * between(r, 0.8, 1.2)
	p.face = &face{
		n: n, span: sh.max * 1.02,
		class: make([]zones.Class, n*n), od: make([]float32, n*n),
		refl: make([][3]float32, n*n), slope: make([][2]int8, n*n),
	}
	p.keep, p.q = make([]float32, n*n), make([]float32, n*n)
	p.classify()
	p.stain(h.Family.Share(h.Stage))
	for i := range p.face.class {
		if p.face.class[i] != zones.Outside {
			p.colour(i)
		}
	}
	p.face.truth = p.count()
	return p.face
}

// place gives the coordinates of a texel's centre, mm from the core's centre.
func (f *face) place(i int) (x, y float64) {
	step := 2 * f.span / float64(f.n)
	return (float64(i%f.n)+0.5)*step - f.span, (float64(i/f.n)+0.5)*step - f.span
}

// classify tells flesh, skin and core apart and gives flesh its starch order.
// Texels outside the outline are coloured as skin, so that the edge blends into it.
func (p *facePainter) classify() {
	f := p.face
	for i := range f.class {
		x, y := f.place(i)
		r, th := math.Hypot(x, y), math.Atan2(y, x)
		rho := p.shape.at(th)
		q := r / rho
		p.q[i] = float32(q)
		switch {
		case q >= 1:
			c := p.skin.at(th, 0.5)
			f.refl[i] = [3]float32{float32(c[0]), float32(c[1]), float32(c[2])}
		case rho-r < p.skinWidth(th), !p.core.look(x, y, 0).flesh:
			f.class[i] = zones.NotFlesh
		default:
			f.class[i] = zones.Clear
			p.keep[i] = float32(p.starch.keep(x, y, q, th))
		}
	}
}

// skinWidth is the width of the cut skin at a bearing, mm.
func (p *facePainter) skinWidth(th float64) float64 {
	return p.look.skinMM * (1 + 0.3*p.n.at(math.Cos(th)*6+9, math.Sin(th)*6))
}

// edge is the width of the border between stained and clear flesh, in units of
// the starch order.
const edge = 0.055

// justClear is the highest density that float32 texels hold below StainedDensity.
var justClear = float64(math.Nextafter32(StainedDensity, 0))

// stain gives the share of the flesh that keeps its starch longest a density
// of at least StainedDensity, and all other flesh less.
func (p *facePainter) stain(share float64) {
	f := p.face
	var order []float32
	for i, c := range f.class {
		if c == zones.Clear {
			order = append(order, p.keep[i])
		}
	}
	if len(order) == 0 {
		return
	}
	slices.Sort(order)
	n := int(math.Round(share * float64(len(order))))
	var limit float64
	switch n {
	case 0:
		limit = float64(order[len(order)-1]) + 5*edge
	case len(order):
		limit = float64(order[0]) - 4*edge
	default:
		// between two texels, so that rounding cannot move either across
		limit = (float64(order[len(order)-n-1]) + float64(order[len(order)-n])) / 2
	}
	for i, c := range f.class {
		if c != zones.Clear {
			continue
		}
		x, y := f.place(i)
		e := (float64(p.keep[i]) - limit) / edge
		f.od[i] = float32(p.density(x, y, e))
		if e >= 0 {
			f.class[i] = zones.Stained
		}
	}
}

// density is the red-band density of the complex e edge widths inside the
// stained part (negative outside).
func (p *facePainter) density(x, y, e float64) float64 {
	if e < 0 {
		return math.Min(StainedDensity*math.Exp(3.5*e), justClear)
	}
	cloud := (p.n + 21).layers(x*0.14, y*0.14, 3)
	cells := (p.n + 22).layers(x*1.3, y*1.3, 2)
	full := clamp(p.dense*(1+0.38*cloud+0.22*cells), 0.3, 2)
	return StainedDensity + (full-StainedDensity)*(1-math.Exp(-e))
}

// count takes the truth off the map.
func (p *facePainter) count() faceTruth {
	rings := make([]zones.Zone, p.look.zones)
	var all zones.Zone
	var ods []float32
	for i, c := range p.face.class {
		if c != zones.Clear && c != zones.Stained {
			continue
		}
		k := min(int(float64(p.q[i])*float64(len(rings))), len(rings)-1)
		rings[k].Flesh++
		all.Flesh++
		if c == zones.Stained {
			rings[k].Stained++
			all.Stained++
			ods = append(ods, p.face.od[i])
		}
	}
	t := faceTruth{
		zones:   zones.Profile{Zones: rings}.Fractions(),
		weights: make([]float64, len(rings)),
	}
	t.stained, _ = all.Fraction()
	for k, z := range rings {
		t.weights[k] = float64(z.Flesh) / float64(max(all.Flesh, 1))
	}
	if len(ods) > 0 {
		slices.Sort(ods)
		t.medianStain = float64(ods[len(ods)/2])
	}
	return t
}

// at is the reflectance and slope of the face at x, y mm from the core's centre.
func (f *face) at(x, y float64) (col rgb, sx, sy float64) {
	k := float64(f.n) / (2 * f.span)
	u := clamp((x+f.span)*k-0.5, 0, float64(f.n)-1.001)
	v := clamp((y+f.span)*k-0.5, 0, float64(f.n)-1.001)
	ix, iy := int(u), int(v)
	du, dv := u-float64(ix), v-float64(iy)
	i := iy*f.n + ix
	a, b, c, d := &f.refl[i], &f.refl[i+1], &f.refl[i+f.n], &f.refl[i+f.n+1]
	wa, wb, wc, wd := (1-du)*(1-dv), du*(1-dv), (1-du)*dv, du*dv
	for k := range col {
		col[k] = wa*float64(a[k]) + wb*float64(b[k]) + wc*float64(c[k]) + wd*float64(d[k])
	}
	s := f.slope[i]
	return col, float64(s[0]) / 100, float64(s[1]) / 100
}
