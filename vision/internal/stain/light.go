package stain

import (
	"math"
	"slices"

	"traystage/vision/internal/parallel"
)

// lights finds the light of every face of a tray. under is how far the photo is exposed below the usual, log10.
func (m Model) lights(c scene, under float64) []light {
	ground := middles(c.rings, brightest)
	if s, ok := m.shadowOn(c, ground); ok {
		if ls, ok := m.lifted(s, c.faces, c.samples, ground, under); ok {
			return ls
		}
	}
	ls, _, _ := m.lightsOf(c.faces, c.samples, ground, under)
	return ls
}

// lightsOf finds the lights, that of the tray and the levels of the faces. ground is log10 of the brightest band of what is around each.
func (m Model) lightsOf(faces []Face, all [][]sample, ground []float64, under float64) ([]light, tray, [][]level) {
	of := make([][]level, len(faces))
	parallel.Each(len(faces), func(i int) { of[i] = levels(all[i], m.LeastClear) })
	t := m.over(faces, of, all, under)
	deepest := m.deepestShades(t, faces, of, ground)
	out := make([]light, len(faces))
	parallel.Each(len(faces), func(i int) { out[i] = m.own(t, faces[i], of[i], all[i], deepest[i]) })
	if t.seen {
		m.shareShade(t, faces, of, out)
		m.borrow(t, faces, out)
	} else {
		for i, s := range all {
			out[i] = m.fromHue(s, under)
		}
	}
	parallel.Each(len(faces), func(i int) { out[i].blueing = m.blueingOf(out[i], all[i]) })
	return out, t, of
}

// own is the light of a face from its own clear flesh: the brightest level that can be that, in a shadow shallower than
// deepest, log10. Its share is 0 where there is none.
func (m Model) own(t tray, f Face, ls []level, s []sample, deepest float64) light {
	l := light{slopeU: t.acrossX * f.Radius / t.scale, slopeV: t.acrossY * f.Radius / t.scale}
	if !t.seen {
		return l
	}
	k := m.clearest(t, f, ls)
	if k < 0 || t.at(f)-ls[k].c[0] >= deepest {
		k, l.dim, l.edge = m.inLessLight(t, f, ls, deepest)
	}
	if k >= 0 {
		l.level, l.share, l.known = ls[k].c, ls[k].share, true
		m.fit(&l, s)
		l.shade = m.shadeOn(t, l, ls)
		m.lean(&l, t.at(f))
	}
	return l
}

// lean moves a light that is darker than that of the tray by more than faces usually stray. Flesh of this face may be darker, or
// what looks clearest on it holds some stain: where that runs out slowly no flesh may be clear at all. As it cannot be told which,
// it goes half the way back, along the colour of stain, and the doubt is as large. What is darker than faces stray at all lies in a shadow.
func (m Model) lean(l *light, tray float64) {
	const usual = 1.0 / 3 // of Alike: of faces of both ray-tracing painters, 97 of 100 stray no further down
	over := tray - usual*m.Alike - l.level[0]
	if over <= 0 || over > (1-usual)*m.Alike {
		return
	}
	for band, c := range m.Complex {
		l.level[band] += over / 2 * c
	}
	l.doubt = math.Hypot(l.doubt, over/2)
}

// shadeOn is how much darker, log10, a shadow makes part of a face; 0 where no shadow is seen. It is a second level
// of the same colour, with a fair share of the flesh and with stain well below both: stain thin enough to be as
// light as that has no brightness in common, it runs out. Where stain is no bluer than flesh it takes half as much again,
// as its colour does not tell.
func (m Model) shadeOn(t tray, l light, ls []level) float64 {
	least := m.ShadeShare
	if !m.tells(t) {
		least *= 1.5
	}
	for k, at := range ls {
		depth, bluer := l.level[0]-at.c[0], at.blue()-l.blue()
		if depth < m.Alike || at.share < least || bluer > m.ShadeBlue {
			continue
		}
		if depth > m.DeepestShade {
			break
		}
		if m.stainedBelow(ls, k) {
			return depth
		}
	}
	return 0
}

// stainedBelow says whether the face shows stain that is well darker than level k.
func (m Model) stainedBelow(ls []level, k int) bool { return wellBelow(ls, k) > 2*m.LeastClear }

// wellBelow is the share of a face in levels well darker than level k.
func wellBelow(ls []level, k int) (share float64) {
	const apart = 0.3 // log10
	for _, d := range ls[k+1:] {
		if ls[k].c[0]-d.c[0] > apart {
			share += d.share
		}
	}
	return share
}

// clearest is the level that is the face's clear flesh: the brightest of those as bright as that
// of the tray, else the brightest of all that shade allows, which few pixels tell by their colour alone. It is -1 where none is.
func (m Model) clearest(t tray, f Face, ls []level) int {
	expected, best, film := t.at(f), -1, false
	for k, at := range ls {
		off := at.c[0] - expected
		shade := m.DeepestShade * math.Min(at.share/m.ShadeShare, 1)
		if m.tells(t) && at.blue()-t.blue < -off*t.blueing/2 {
			// Its colour is that of flesh: stain so dark would be bluer.
			shade = m.DeepestShade
			if at.share >= m.ShadeShare {
				shade *= 4.0 / 3
			}
		}
		if off < -math.Max(shade, m.Alike) {
			break
		}
		if m.isFilm(t, ls, k, off, film) {
			film = true
			continue
		}
		if math.Abs(off) < m.Alike {
			return k
		}
		if best < 0 {
			best = k
		}
	}
	return best
}

// isFilm tells a lamp seen in a wet film over stain from clear flesh, and stain where the level is darker
// than the light of the tray: off is by how much it is brighter, log10. Both are bluer than the clear flesh
// of other faces, which flesh may be too. But stain then blues flesh more, while under a film all is white
// alike; and what covers most of a face is no lamp. A dark level that is bluer has to show that it is
// flesh in a shadow: by stain below it, by its share, and by standing apart where it is as blue as stain of that density
// would be: skylight blues a shadow too. Where a lamp was seen over the face, what no stain tells of is that lamp's too.
func (m Model) isFilm(t tray, ls []level, k int, off float64, film bool) bool {
	at := ls[k]
	bluer := at.blue() - t.blue
	if bluer < m.FilmBlue {
		return false
	}
	if !m.tells(t) {
		return m.whitened(t, ls, k)
	}
	told := !math.IsNaN(at.blueing)
	if !told && film {
		return true
	}
	if off < -m.Alike {
		asStain := math.Abs(bluer+off*t.blueing) < -off*t.blueing/2 && !m.standsApart(ls[k:])
		if !told || at.share < m.ShadeShare || asStain {
			return true
		}
	}
	return m.whiteOver(t, at)
}

// whiteOver says whether a level that is bluer than the tray's flesh lies under a film, where all that is darker is white alike. What covers most
// of a face is no lamp.
func (m Model) whiteOver(t tray, at level) bool {
	return at.blue()-t.blue >= m.FilmBlue && at.blueing < m.Film*(1-at.share*at.share)*t.blueing // never so where its blueing is NaN
}

// whitened says whether a level is flesh of the same face under white light: there is more of a darker one, within what a reflection
// adds, that has the colour of the tray's flesh and is less blue. Nothing else makes flesh brighter and whiter at
// once; that tells where stain does not.
func (m Model) whitened(t tray, ls []level, k int) bool {
	at := ls[k]
	for _, l := range ls[k+1:] {
		if at.c[0]-l.c[0] > m.DeepestShade {
			break
		}
		if l.share > at.share && at.blue()-l.blue() > m.FilmBlue && math.Abs(l.blue()-t.blue) < m.FilmBlue {
			return true
		}
	}
	return false
}

// standsApart says whether the first of these levels is followed by a gap, as clear flesh is before stain;
// stain that is dense here and thin there goes through all levels.
func (m Model) standsApart(ls []level) bool {
	return len(ls) < 2 || ls[0].c[0]-ls[1].c[0] > m.Alike || ls[1].share < ls[0].share
}

// tells says whether the tray's stain blues flesh enough to be told by it from what darkens or brightens all
// bands alike.
func (m Model) tells(t tray) bool { return t.blueing >= m.usualBlueing()/2 }

// fit moves the plane onto the face's clear flesh. The slopes are held to those of the tray
// where little is seen.
func (m Model) fit(l *light, s []sample) {
	const rounds, hold = 6, 0.05
	n := float64(max(len(s), 1))
	l.share = l.settle(s, m.ScatterBelow, m.Scatter, hold*n, m.LeastClear/4*n, rounds) / n
	l.doubt = m.Scatter / 4 * math.Sqrt(m.LeastClear/math.Max(l.share, m.LeastClear/4))
}

// settle moves the plane by Tukey's biweight (Beaton and Tukey 1974): what lies as far as below or above
// off counts nothing. The slopes are held to what they are with a weight of so many points at
// one radius. It gives the weight of the points that count, and leaves the
// plane where fewer than least do.
func (l *light) settle(s []sample, below, above, hold, least float64, rounds int) (weight float64) {
	fromU, fromV := l.slopeU, l.slopeV
	for range rounds {
		var a normal
		var green, blue, colour float64
		for _, p := range s {
			off := p.c[0] - l.at(p.u, p.v)
			halfWidth := above
			if off < 0 {
				halfWidth = below
			}
			w := biweight(off / halfWidth)
			if w == 0 {
				continue
			}
			a.add(p.u, p.v, p.c[0], w)
			if off >= 0 { // what is darker may be browned, and has another colour
				colour += w
				green += w * (p.c[1] - p.c[0])
				blue += w * (p.c[2] - p.c[0])
			}
		}
		if weight = a.n; weight < least {
			break
		}
		if colour == 0 {
			break
		}
		green, blue = green/colour, blue/colour
		a.hold(hold, fromU, fromV)
		l.level[0], l.slopeU, l.slopeV = a.solve()
		l.level[1], l.level[2] = l.level[0]+green, l.level[0]+blue
	}
	return weight
}

// biweight is Tukey's weight of a residual in units of where it ends.
func biweight(z float64) float64 {
	if z <= -1 || z >= 1 {
		return 0
	}
	return (1 - z*z) * (1 - z*z)
}

// borrow gives faces without clear flesh of their own the light of the tray.
func (m Model) borrow(t tray, faces []Face, ls []light) {
	var green, blue, off []float64
	for i, l := range ls {
		if l.share > 0 {
			green = append(green, l.level[1]-l.level[0])
			blue = append(blue, l.blue())
			off = append(off, math.Abs(l.level[0]-t.at(faces[i])))
		}
	}
	for i := range ls {
		if ls[i].share > 0 {
			continue
		}
		level := t.at(faces[i])
		ls[i].level = [3]float64{level, level + quantile(green, 0.5), level + quantile(blue, 0.5)}
		ls[i].known = true
		ls[i].doubt = math.Max(m.Scatter/4, quantile(off, 0.7))
	}
}

// fromHue tells the light from stained flesh alone: how far it is bluer than clear flesh
// usually is says how dense it is. Brown and black stain blue little; but a tray is not exposed so that
// clear flesh is stored very dark.
func (m Model) fromHue(s []sample, under float64) light {
	const usualGreen, usualBlue = -0.06, -0.25 // of clear flesh in white light, log10 less red
	const darkest = -0.35                      // log10 red of clear flesh on trays in little light
	reds := make([]float64, len(s))
	for i, p := range s {
		reds[i] = p.c[0] + math.Max(0, (p.c[2]-p.c[0]-usualBlue)/m.usualBlueing())
	}
	red := math.Max(quantile(reds, 0.5), darkest-under)
	return light{level: [3]float64{red, red + usualGreen, red + usualBlue}, doubt: m.DeepestShade}
}

// blueingOf is the blueing of a face's stain, leaning on the usual one where there is little stain.
func (m Model) blueingOf(l light, s []sample) float64 {
	const thin, thick, lean = 0.4, 1.2, 5
	db, dd := lean*m.usualBlueing(), float64(lean)
	for _, p := range s {
		if d := l.at(p.u, p.v) - p.c[0]; d > thin && d < thick && !p.core {
			db += d * (p.c[2] - p.c[0] - l.blue())
			dd += d * d
		}
	}
	return db / dd
}

// quantile is 0 of nothing.
func quantile(v []float64, q float64) float64 {
	if len(v) == 0 {
		return 0
	}
	v = slices.Clone(v)
	slices.Sort(v)
	return v[int(q*float64(len(v)-1))]
}
