package locate

import (
	"math"
	"slices"
)

// A cue is one thing that can be measured of an outline and what lies in it, and
// that halves show otherwise than what is none.
type cue int

const (
	cueEdge    cue = iota // share of the outline that is a clear edge, 0 to 1
	cueJagged             // roughness of the outline, in thousandths of the radius
	cueOblong             // longest over shortest width of the outline
	cueSkin               // how far the colours along the outline leave the line between those on either side, CIELAB units
	cueStar               // share of the core's variance that a star of five explains, 0 to 1
	cueSeeds              // how much warmer the core is than the flesh around it
	cueDetail             // how much more detail the core shows than the flesh around it, natural logarithm
	cueFold               // how much more of the core's pattern comes three to seven times around than twice, natural logarithm
	cueFlesh              // warmth of the lightest fifth of the face
	cueGreen              // its greenness
	cueDark               // warmth of the darkest fifth
	cueBlueing            // how much less warm the face is where it is darker by one standard deviation
	cueLimb               // how much darker the face gets towards its edge without a change of hue
	cueCount
)

// cues are what is seen of one outline. Warmth is the density of blue less that of
// red, greenness that of red less that of green; densities are decadic.
type cues [cueCount]float64

// density is that of every 8-bit value, in linear light (IEC 61966-2-1).
var density [256]float32

func init() {
	for v := range density {
		s := (float64(v) + 0.5) / 255.5
		linear := s / 12.92
		if s > 0.04045 {
			linear = math.Pow((s+0.055)/1.055, 2.4)
		}
		density[v] = float32(-math.Log10(linear))
	}
}

// A face is looked at on so many bearings and, from its centre to its outline, depths.
const (
	lookBearings = 48
	lookDepths   = 20
	coreDepth    = 5  // the core reaches to a quarter of the radius
	fleshDepth   = 6  // from where flesh alone is to be expected
	aroundDepth  = 10 // how far flesh counts as being around the core
	rimDepth0    = 19 // where the colours of the edge begin
)

var lookCos, lookSin [lookBearings]float64

func init() {
	for b := range lookBearings {
		lookSin[b], lookCos[b] = math.Sincos(2 * math.Pi * float64(b) / lookBearings)
	}
}

// shade is the colour of one place: its mean density, warmth and greenness.
type shade struct{ dark, warm, green float32 }

func shadeOf(b, g, r uint8) shade {
	blue, green, red := density[b], density[g], density[r]
	return shade{(blue + green + red) / 3, blue - red, red - green}
}

// unrolled is what a face shows on its bearings and depths.
type unrolled struct {
	at     [lookBearings][lookDepths]shade
	within [lookBearings]int // depths that lie in the picture
}

// unroll looks outward from the middle of the face.
func unroll(p *picture, g *ring) *unrolled {
	u := new(unrolled)
	x0, y0 := g.centroid()
	corners := g.corners(x0, y0)
	var pixels [lookDepths]int32
	for b := range lookBearings {
		step := distance(&corners, b*bearings/lookBearings, lookCos[b], lookSin[b]) / lookDepths
		dx, dy := step*lookCos[b], step*lookSin[b]
		u.within[b] = p.line(x0+dx/2, y0+dy/2, dx, dy, pixels[:])
		for k, i := range pixels {
			c := p.bgr[3*i : 3*i+3 : 3*i+3]
			u.at[b][k] = shadeOf(c[0], c[1], c[2])
		}
	}
	return u
}

// witness measures all cues of a face.
func witness(p *picture, f *face) cues {
	var c cues
	g := &f.ring
	u := unroll(p, g)
	c[cueEdge] = edgeAlong(p, g)
	c[cueJagged] = 1000 * g.jaggedness()
	c[cueOblong] = g.oblong()
	c[cueSkin] = skinAlong(p, g)
	c[cueStar] = f.core.share
	c[cueSeeds] = u.seeds()
	c[cueDetail] = u.detail()
	c[cueFold] = u.fold()
	c[cueFlesh], c[cueGreen], c[cueDark] = u.extremes()
	c[cueBlueing] = u.blueing()
	c[cueLimb] = u.limb()
	return c
}

// edgeAlong is how clear an edge an outline is, 0 to 1, on the mean of all bearings that lie in the picture.
func edgeAlong(p *picture, g *ring) float64 {
	const (
		stride = 4
		reach  = 0.11 // radii to either side that are looked at
		span   = 0.05 // radii whose means are compared
		astray = 0.03 // how far the edge may lie from the outline
		points = 22
	)
	m := g.radius()
	const step = 2 * reach / points
	ray, pixels, steps := newRay(points), make([]int32, points), make([]float32, points)
	sum, n := 0.0, 0
	for b := 0; b < bearings; b += stride {
		within := p.walk(g.x, g.y, b, g.r[b]+m*(step/2-reach), step*m, pixels)
		if within < points {
			continue
		}
		ray.over(p, pixels)
		ray.steps(span/step, steps)
		clearest := float32(0)
		for k := points/2 - int(astray/step); k <= points/2+int(astray/step); k++ {
			clearest = max(clearest, steps[k])
		}
		sum += math.Min(float64(clearest)/clearEdge, 1)
		n++
	}
	return sum / float64(max(n, 1))
}

// jaggedness is the root mean square distance, in radii, of a ring from its first seven harmonics, on
// the means of four bearings: farther apart than an outline can jump by the grid it was found on.
func (g *ring) jaggedness() float64 {
	const four = 4
	even := g.smooth(7)
	sum := 0.0
	for b := 0; b < bearings; b += four {
		off := 0.0
		for k := b; k < b+four; k++ {
			off += (g.r[k] - even.r[k]) / four
		}
		sum += off * off * four / bearings
	}
	return math.Sqrt(sum) / g.radius()
}

// oblong is the longest over the shortest width of a ring.
func (g *ring) oblong() float64 {
	const stride = 4
	least, most := math.Inf(1), 0.0
	for across := 0; across < bearings/2; across += stride {
		from, to := 0.0, 0.0
		for b := 0; b < bearings; b += stride {
			v := g.r[b] * cosines[(b-across+bearings)%bearings]
			from, to = min(from, v), max(to, v)
		}
		least, most = min(least, to-from), max(most, to-from)
	}
	return most / least
}

// skinAlong is how far, on the middle one of all bearings, the colours close to an
// outline leave the straight line between the colours on its either side. An edge without a skin,
// blurred or sharpened, keeps to that line.
func skinAlong(p *picture, g *ring) float64 {
	const (
		stride = 4
		across = 0.05 // half the width that is looked at, in radii, and beyond it the colours of either side
		least  = 2.5  // but no less, px
		steps  = 4    // to either side
	)
	half := math.Max(least, across*g.radius())
	var off []float64
	for b := 0; b < bearings; b += stride {
		at := func(by float64) (v [3]float64) {
			i := p.index(g.x+(g.r[b]+by)*cosines[b], g.y+(g.r[b]+by)*sines[b])
			c := p.lab[3*i : 3*i+3 : 3*i+3]
			return [3]float64{float64(c[0]) * float64(toStar[0]), float64(c[1]), float64(c[2])}
		}
		far := g.r[b] + 1.5*half
		if !p.inside(g.x+far*cosines[b], g.y+far*sines[b]) {
			continue
		}
		in, out := at(-1.5*half), at(1.5*half)
		most := 0.0
		for s := -steps; s <= steps; s++ {
			most = max(most, awayFrom(in, out, at(float64(s)/steps*half)))
		}
		off = append(off, math.Sqrt(most))
	}
	if len(off) == 0 {
		return 0
	}
	slices.Sort(off)
	return off[len(off)/2]
}

// awayFrom is the square of the distance of c from the line through a and b.
func awayFrom(a, b, c [3]float64) float64 {
	var along, length, off float64
	for k := range c {
		d, e := b[k]-a[k], c[k]-a[k]
		along += d * e
		length += d * d
		off += e * e
	}
	if length < 1 {
		return off
	}
	return max(0, off-along*along/length)
}

// seeds is how much warmer the warmest seventh of the core is than the flesh around it:
// seeds and lining are brown in clear flesh as in stained.
func (u *unrolled) seeds() float64 {
	const warmest = 0.85
	var core, around counts
	for b := range u.at {
		for k := 1; k < coreDepth; k++ {
			core.add(u.at[b][k].warm)
		}
		for k := fleshDepth; k < aroundDepth; k++ {
			around.add(u.at[b][k].warm)
		}
	}
	return core.quantile(warmest) - around.quantile(0.5)
}

// detail compares the changes along circles in the core with those in the flesh around it.
func (u *unrolled) detail() float64 {
	const noise = 0.05
	var core, around float64
	for b := range u.at {
		here, next := &u.at[b], &u.at[(b+1)%lookBearings]
		for k := 1; k < aroundDepth; k++ {
			change := math.Abs(float64(next[k].dark-here[k].dark)) + math.Abs(float64(next[k].warm-here[k].warm))
			// Bearings are the farther apart the farther out.
			change /= float64(k) + 0.5
			switch {
			case k < coreDepth:
				core += change
			case k >= fleshDepth:
				around += change
			}
		}
	}
	return math.Log((core + noise) / (around + noise))
}

// fold compares how much of the pattern of the core comes round three to seven times, as carpels
// cut across do, with how much comes twice, as the seeds of a fruit cut lengthwise.
func (u *unrolled) fold() float64 {
	const noise = 0.002
	var twice, more float64
	for k := 1; k < coreDepth; k++ {
		for n := 2; n <= 7; n++ {
			var dark, warm [2]float64
			for b := range u.at {
				c, s := lookCos[n*b%lookBearings]/lookBearings, lookSin[n*b%lookBearings]/lookBearings
				dark[0] += float64(u.at[b][k].dark) * c
				dark[1] += float64(u.at[b][k].dark) * s
				warm[0] += float64(u.at[b][k].warm) * c
				warm[1] += float64(u.at[b][k].warm) * s
			}
			power := dark[0]*dark[0] + dark[1]*dark[1] + warm[0]*warm[0] + warm[1]*warm[1]
			if n == 2 {
				twice += power
			} else {
				more += power
			}
		}
	}
	return math.Log((more + noise) / (twice + noise))
}

// each calls f with every place of the flesh in the picture.
func (u *unrolled) each(f func(s shade)) {
	for b := range u.at {
		for k := coreDepth; k < min(rimDepth0, u.within[b]); k++ {
			f(u.at[b][k])
		}
	}
}

// extremes gives warmth and greenness of the lightest fifth of the face, and the
// warmth of the darkest.
func (u *unrolled) extremes() (flesh, green, dark float64) {
	const fifth = 0.2
	var by counts
	u.each(func(s shade) { by.add(s.dark) })
	// To the ends of the bins that the fifths reach into.
	light, deep := float32(by.quantile(fifth)+countStep/2), float32(by.quantile(1-fifth)-countStep/2)
	var lights, deeps float64
	u.each(func(s shade) {
		if s.dark <= light {
			flesh += float64(s.warm)
			green += float64(s.green)
			lights++
		}
		if s.dark >= deep {
			dark += float64(s.warm)
			deeps++
		}
	})
	return flesh / max(lights, 1), green / max(lights, 1), dark / max(deeps, 1)
}

// blueing is how much less warm the face is where it is darker by one standard
// deviation: stain takes red away first, crust, skin and bruises blue, shadow all alike.
func (u *unrolled) blueing() float64 {
	const noise = 0.05
	var n, dark, warm, square, both float64
	u.each(func(s shade) {
		d, w := float64(s.dark), float64(s.warm)
		n++
		dark += d
		warm += w
		square += d * d
		both += d * w
	})
	if n == 0 {
		return 0
	}
	dark, warm = dark/n, warm/n
	return -(both/n - dark*warm) / math.Sqrt(max(0, square/n-dark*dark)+noise*noise)
}

// limb is how much darker the face is at its edge than farther in, less any change
// of hue: the middle one of all bearings. A round thing turns away from the light.
func (u *unrolled) limb() float64 {
	const in, edge = 14, 18
	var by counts
	for b := range u.at {
		if u.within[b] > edge {
			a, e := u.at[b][in], u.at[b][edge]
			by.add(e.dark - a.dark - float32(math.Abs(float64(e.warm-a.warm))))
		}
	}
	return by.quantile(0.5)
}

// counts is a histogram of densities.
type counts struct {
	n   int
	bin [256]int
}

const (
	countFrom = -1.5
	countStep = 1.0 / 64
)

func (c *counts) add(v float32) {
	c.n++
	c.bin[min(max(int((v-countFrom)/countStep), 0), len(c.bin)-1)]++
}

// quantile is the value below which a share q of all lies; 0 when there are none.
func (c *counts) quantile(q float64) float64 {
	if c.n == 0 {
		return 0
	}
	left := int(q * float64(c.n))
	for i, n := range c.bin {
		if left -= n; left < 0 {
			return countFrom + (float64(i)+0.5)*countStep
		}
	}
	return countFrom + countStep*float64(len(c.bin))
}
