package stain

import (
	"math"
	"slices"
)

// light is what clear flesh would show at every place of one face: a plane in
// log10 of the red band, and the other bands relative to it.
type light struct {
	level, slopeU, slopeV float64 // log10 red at the core, and its change per radius along x and y
	green, blue           float64 // log10 of green and blue less that of red
	share                 float64 // share of the flesh that is clear flesh to judge by; 0 when taken from elsewhere
	known                 bool    // from clear flesh seen on this face or on the tray
}

func (l light) red(u, v float64) float64 { return l.level + l.slopeU*u + l.slopeV*v }

// What stain does to colour, measured as the change of log10 blue less log10
// red for each unit of red density: the middle of the tuning trays is 0.41 where
// they were ray-traced, 0.53 where painted. That it takes most from the red is published (peak of the
// complex near 615 nm, Barrett and others 1998); how much less from the blue depends on
// the camera and has no published figure here.
const blueing = 0.37

// Clear apple flesh is cream: its blue lies well below its red whatever the
// white balance, and stained flesh is blue-grey: its blue is up with its red.
const (
	creamBlue = -0.06 // log10 blue less red above which a tray's palest flesh cannot be clear
	usualBlue = -0.25 // of clear flesh in white light, where the tray shows none
)

// A sample is one flesh pixel away from the core: its place in radii from the
// core's centre, and log10 of its light.
type sample struct{ u, v, r, g, b float64 }

const (
	coreReach    = 0.30 // the core and its cavities end within this normalised radius
	mostSamples  = 1500 // of one face, plenty for a plane
	clearWidth   = 0.06 // clear flesh scatters by about half of this around its level, log10
	leastClear   = 0.025
	histogramBin = 0.02
)

// samples takes evenly spaced flesh pixels of the face, as the curve has them.
func (q *patch) samples(c *curve) []sample {
	out := make([]sample, len(q.picked))
	for k, i := range q.picked {
		u, v := q.at(i)
		out[k] = sample{u, v, float64(c[q.raw[3*i+2]]), float64(c[q.raw[3*i+1]]), float64(c[q.raw[3*i]])}
	}
	return out
}

// sampled takes the samples of every face.
func sampled(patches []*patch, c *curve) [][]sample {
	all := make([][]sample, len(patches))
	for i, q := range patches {
		all[i] = q.samples(c)
	}
	return all
}

// lights finds the light of every face of a tray from its samples.
func lights(patches []*patch, all [][]sample, c *curve) []light {
	warm, known := clearBlue(patches, all, c)
	out := make([]light, len(patches))
	for i, s := range all {
		out[i] = palest(s, warm, known)
		if lining := patches[i].lining(c); out[i].level < lining-0.12 {
			out[i] = light{blue: warm} // no clear flesh: the core is lighter
		}
	}
	spread(out, patches)
	for i, s := range all {
		if out[i].share > 0 {
			out[i].fit(s)
		}
	}
	borrow(out, patches, all, c)
	return out
}

// clearBlue is the log10 of blue less red that clear flesh has on this tray:
// that of the palest flesh. It is false when that is no cream.
func clearBlue(patches []*patch, all [][]sample, c *curve) (blue float64, known bool) {
	var pale []float64
	for i, s := range all {
		top := c.brightest(&patches[i].outer, 0.03) - 0.15
		for _, p := range s {
			if p.r > top {
				pale = append(pale, p.b-p.r)
			}
		}
	}
	if len(pale) == 0 {
		return usualBlue, false
	}
	// Faces without clear flesh and glare only add blue.
	blue = quantile(pale, 0.25)
	return blue, blue < creamBlue
}

// palest finds the brightest level of red at which a fair share of the flesh
// agrees and is no bluer than clear flesh.
func palest(s []sample, blue float64, known bool) light {
	l := light{blue: blue}
	if len(s) == 0 || !known {
		return l
	}
	const lowest, bins = -3.0, 160
	var count, blues, greens [bins]float64
	for _, p := range s {
		if k := int((p.r - lowest) / histogramBin); k >= 0 && k < bins {
			count[k]++
			blues[k] += p.b - p.r
			greens[k] += p.g - p.r
		}
	}
	around := func(k int) (n, b, g float64) {
		for j := max(0, k-2); j <= min(bins-1, k+2); j++ {
			n += count[j]
			b += blues[j]
			g += greens[j]
		}
		return n, b, g
	}
	least := leastClear * float64(len(s))
	for k := bins - 1; k >= 0; k-- {
		n, b, g := around(k)
		if n < least || b/n > blue+0.10 {
			continue
		}
		for k > 0 { // up to the crest
			m, mb, mg := around(k - 1)
			if m < n {
				break
			}
			k, n, b, g = k-1, m, mb, mg
		}
		l.level = lowest + (float64(k)+0.5)*histogramBin
		l.blue, l.green, l.share, l.known = b/n, g/n, n/float64(len(s)), true
		return l
	}
	return l
}

// fit moves the plane onto the face's clear flesh. The slopes start from those
// of the tray and are held to them where little clear flesh is seen.
func (l *light) fit(s []sample) {
	const rounds, hold = 4, 0.03
	fromU, fromV := l.slopeU, l.slopeV
	for range rounds {
		var a normal
		var blue, green, n float64
		for _, p := range s {
			e := p.r - l.red(p.u, p.v)
			if e < -0.6*clearWidth || e > 1.3*clearWidth || math.Abs(p.b-p.r-l.blue) > 0.15 {
				continue
			}
			a.add(p.u, p.v, p.r)
			blue += p.b - p.r
			green += p.g - p.r
			n++
		}
		l.share = n / float64(max(len(s), 1))
		if l.share < leastClear/2 {
			return
		}
		a.hold(hold*float64(len(s)), fromU, fromV)
		l.level, l.slopeU, l.slopeV = a.solve()
		l.blue, l.green = blue/n, green/n
	}
}

// spread gives every face the slopes of the light over the whole tray.
func spread(ls []light, patches []*patch) {
	var a normal
	n := 0
	mx, my, scale := middle(patches)
	for i, l := range ls {
		if l.share > 0 {
			f := patches[i].face
			a.add((f.X-mx)/scale, (f.Y-my)/scale, l.level)
			n++
		}
	}
	if n < 4 {
		return
	}
	a.hold(0.3, 0, 0)
	_, u, v := a.solve()
	for i := range ls {
		ls[i].slopeU = u * patches[i].face.Radius / scale
		ls[i].slopeV = v * patches[i].face.Radius / scale
	}
}

// borrow gives faces without clear flesh of their own the light of the others,
// the nearest counting most; where no face has any, it is told from the hue of
// the stain: how far it is bluer than clear flesh says how dense it is.
func borrow(ls []light, patches []*patch, all [][]sample, c *curve) {
	_, _, scale := middle(patches)
	for i := range ls {
		if ls[i].share > 0 {
			continue
		}
		var level, blue, green, weight float64
		for j := range ls {
			if ls[j].share == 0 {
				continue
			}
			dx := (patches[i].face.X - patches[j].face.X) / scale
			dy := (patches[i].face.Y - patches[j].face.Y) / scale
			w := math.Min(ls[j].share, 0.2) / (0.1 + dx*dx + dy*dy)
			r := patches[i].face.Radius / scale
			level += w * (ls[j].level + (ls[j].slopeU*dx+ls[j].slopeV*dy)/r)
			blue += w * ls[j].blue
			green += w * ls[j].green
			weight += w
		}
		if weight > 0 {
			ls[i].level, ls[i].blue, ls[i].green, ls[i].known = level/weight, blue/weight, green/weight, true
			if level, seen := patches[i].clearCore(ls[i], c); seen {
				ls[i].level = level
				continue
			}
		} else {
			ls[i] = fromHue(all[i])
		}
		ls[i].level = math.Max(ls[i].level, patches[i].lining(c)+liningDarker)
	}
}

// clearCore is the level of the clear flesh of a core, on a face that shows none
// outside of it. It is told from the lining by its colour, that of the clear
// flesh of the other faces, whose light is l. seen is false where there is too little of it.
func (q *patch) clearCore(l light, c *curve) (level float64, seen bool) {
	const (
		hue    = 0.06 // log10 within which colours are alike: lining is 0.2 and more less blue
		bright = 0.10 // log10 within which the light of neighbours is right
		least  = 0.15 // share of the core
	)
	var levels []float64
	n := 0
	q.around(coreReach * q.far).each(func(_, i int) {
		if q.rho[i] >= coreReach {
			return
		}
		n++
		blue, green, red := float64(c[q.raw[3*i]]), float64(c[q.raw[3*i+1]]), float64(c[q.raw[3*i+2]])
		if math.Abs(red-l.level) < bright && math.Abs(blue-red-l.blue) < hue && math.Abs(green-red-l.green) < hue/2 {
			levels = append(levels, red)
		}
	})
	if float64(len(levels)) < least*float64(n) || n == 0 {
		return 0, false
	}
	return quantile(levels, 0.6), true
}

// liningDarker is how much darker than clear flesh the lining of the core is at
// least, log10 of red: it is tan where flesh is cream.
const liningDarker = 0.10

// lining is the log10 red of the lightest parts of the core. Flesh between the cavities,
// where clear, is lighter than the lining; stained flesh is darker.
func (q *patch) lining(c *curve) float64 { return c.brightest(&q.core, 0.2) }

// fromHue tells the light from stained flesh alone.
func fromHue(s []sample) light {
	l := light{blue: usualBlue}
	if len(s) == 0 {
		return l
	}
	levels := make([]float64, len(s))
	for i, p := range s {
		levels[i] = p.r + math.Max(0, (p.b-p.r-usualBlue)/blueing)
	}
	l.level = quantile(levels, 0.5)
	return l
}

func middle(patches []*patch) (x, y, scale float64) {
	for _, q := range patches {
		x += q.face.X / float64(len(patches))
		y += q.face.Y / float64(len(patches))
	}
	for _, q := range patches {
		scale = math.Max(scale, math.Hypot(q.face.X-x, q.face.Y-y))
	}
	return x, y, math.Max(scale, 1)
}

func quantile(v []float64, q float64) float64 {
	v = slices.Clone(v)
	slices.Sort(v)
	return v[int(q*float64(len(v)-1))]
}
