package painter

import (
	"math"

	"traystage/vision/zones"
)

// colour paints one texel inside the outline: skin, core or flesh with its stain.
func (p *facePainter) colour(i int) {
	f := p.face
	x, y := f.place(i)
	th := math.Atan2(y, x)
	q := float64(p.q[i])
	grain := (p.n + 31).layers(x*1.9, y*1.9, 2)
	var col rgb
	var sx, sy float64
	if f.class[i] == zones.NotFlesh {
		col, sx, sy = p.notFlesh(x, y, q, th, grain)
	} else {
		col = p.flesh(x, y, q, th, grain)
		col = col.absorb(p.look.stain, float64(f.od[i]))
		sx, sy = p.cutMarks(x, y)
	}
	f.refl[i] = [3]float32{float32(col[0]), float32(col[1]), float32(col[2])}
	f.slope[i] = [2]int8{int8(clamp(100*sx, -127, 127)), int8(clamp(100*sy, -127, 127))}
}

// notFlesh is the look of the skin ring or of the core. Iodine pools in the
// cavities and tints them.
func (p *facePainter) notFlesh(x, y, q, th, grain float64) (col rgb, sx, sy float64) {
	l := p.core.look(x, y, grain)
	if l.flesh || q > 0.8 {
		return p.skin.at(th, 0.5).scale(0.9 + 0.1*grain), 0.25 * math.Cos(th), 0.25 * math.Sin(th)
	}
	col = l.col.absorb(amberOD, 0.5*p.look.amber)
	if l.gloss {
		return col, l.slopeA, l.slopeB
	}
	return col.scale(1 - 0.12*smooth(0, 3, l.depth)), 0.1 * grain, 0.1 * grain
}

// flesh is the reflectance of unstained flesh with its veins, cut marks, tint
// and browning.
func (p *facePainter) flesh(x, y, q, th, grain float64) rgb {
	cloud := (p.n + 41).layers(x*0.07, y*0.07, 2)
	col := p.look.flesh.scale(1 + 0.035*cloud + 0.025*grain)
	under := smooth(0.9, 1, q) // greener and darker close under the skin
	col = col.mix(col.times(rgb{0.88, 1, 0.72}), 0.6*under)
	vein := p.vein(q, th)
	col = col.times(rgb{1 - 0.13*vein, 1 - 0.08*vein, 1 - 0.2*vein})
	strand := (p.n+44).at(th*26, q*2.5) * smooth(0.15, 0.5, q)
	col = col.scale(1 + 0.022*strand)
	col = col.scale(1 + 0.018*p.cutMark(x, y))
	pool := 0.45 + 0.55*smooth(-0.6, 0.6, (p.n+42).layers(x*0.06+3, y*0.06, 3))
	col = col.absorb(amberOD, p.look.amber*pool)
	if p.look.brown > 0 {
		spot := (p.n + 43).layers(x*0.11, y*0.11, 4)
		inner := 0.35 * smooth(0.6, 0.2, q)
		col = col.absorb(brownOD, p.look.brown*smooth(0.05, 0.9, spot+inner+0.3*p.look.brown)*1.6)
	}
	return col
}

// vein is 1 on a vascular line and 0 away from it: ten bundles on a ring, and
// the scalloped core line that joins them.
func (p *facePainter) vein(q, th float64) float64 {
	if q < 0.4 || q > 0.78 {
		return 0
	}
	t := math.Mod(th-p.bundle+4*math.Pi, math.Pi/5) - math.Pi/10
	line := 0.56 + 0.035*math.Cos(5*(th-p.bundle))
	wobble := 0.012 * p.n.at(th*6, q*3)
	faint := 0.35 * math.Exp(-sq((q-line-wobble)/0.008))
	dot := math.Exp(-sq((q-line-0.02)/0.014) - sq(t*q/0.012))
	ray := 0.0
	if q > line {
		ray = 0.3 * math.Exp(-sq((t+0.3*(q-line))*q/0.012)) * smooth(0.78, 0.62, q)
	}
	return math.Min(faint+dot+ray, 1)
}

func sq(v float64) float64 { return v * v }

// cutMark is the height of the ridges that the blade leaves, about [-1, 1].
func (p *facePainter) cutMark(x, y float64) float64 {
	a := x*p.cutCos + y*p.cutSin
	b := -x*p.cutSin + y*p.cutCos
	b += 0.004 * a * a // the blade swings a little
	return 0.6*(p.n+51).at(a*0.05, b*0.9) + 0.4*(p.n+52).at(a*0.09, b*2.3)
}

// cutMarks is the slope of the cut face from blade marks and flesh cells.
func (p *facePainter) cutMarks(x, y float64) (sx, sy float64) {
	const step, high = 0.15, 0.03
	m := p.cutMark(x, y)
	sx = (p.cutMark(x+step, y) - m) / step * high
	sy = (p.cutMark(x, y+step) - m) / step * high
	wave := p.n + 61
	sx += 0.05 * wave.layers(x*0.12, y*0.12, 2)
	sy += 0.05 * (wave+7).layers(x*0.12, y*0.12, 2)
	return sx, sy
}
