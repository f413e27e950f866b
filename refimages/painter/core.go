package painter

import "math"

// carpel is one of the five seed cavities, cut across.
type carpel struct {
	cos, sin float64 // of its bearing
	from, to float64 // mm from the core's centre
	width    float64 // half width, mm
	blunt    float64 // how far out the cavity is widest
	seed     seedKind
	seedAt   float64 // place of the seed's centre along the cavity, mm
	seedL    float64 // half length of the seed, mm
	seedW    float64 // half width of the seed, mm
	skew     float64 // sideways bend of the cavity
	cleft    bool    // the carpel wall is torn towards the centre
}

type seedKind int

const (
	noSeed seedKind = iota
	wholeSeed
	cutSeed
)

// core holds the carpels of one face.
type core [5]carpel

func newCore(radius float64, seed uint64) core {
	r := random(seed, 7)
	var c core
	turn := between(r, 0, 2*math.Pi)
	size := radius * between(r, 0.30, 0.36)
	plump := between(r, 0.14, 0.2)
	for i := range c {
		th := turn + 2*math.Pi*float64(i)/5 + between(r, -0.09, 0.09)
		k := &c[i]
		k.cos, k.sin = math.Cos(th), math.Sin(th)
		k.from = size * between(r, 0.14, 0.22)
		k.to = size * between(r, 0.88, 1.08)
		k.width = size * plump * between(r, 0.8, 1.25)
		k.blunt = between(r, 0.75, 1.05)
		k.skew = between(r, -0.12, 0.12)
		k.cleft = r.Float64() < 0.3
		switch v := r.Float64(); {
		case v < 0.35:
			k.seed = wholeSeed
		case v < 0.7:
			k.seed = cutSeed
		}
		k.seedL = (k.to - k.from) * between(r, 0.27, 0.34)
		k.seedW = k.width * between(r, 0.62, 0.82)
		k.seedAt = k.from + (k.to-k.from)*between(r, 0.4, 0.5)
	}
	return c
}

// coreLook is what the core shows at one place of the face.
type coreLook struct {
	flesh  bool    // none of the core is here
	col    rgb     // reflectance
	depth  float64 // below the cut, mm; 0 for lining and cut seeds
	gloss  bool    // seed coat
	slopeA float64 // slope of a seed's coat along x
	slopeB float64 // and along y
}

// lining is the width of the tough pale edge around a cavity, mm.
const lining = 0.55

// look gives the core at x, y mm from its centre.
func (c *core) look(x, y float64, grain float64) coreLook {
	for i := range c {
		k := &c[i]
		a := x*k.cos + y*k.sin
		b := -x*k.sin + y*k.cos
		if a < k.from-lining-0.5 || a > k.to+lining+0.3 {
			continue
		}
		t := (a - k.from) / (k.to - k.from)
		b -= k.skew * (a - k.from) * t
		in := k.inside(t, b)
		if in < -lining {
			continue
		}
		if in < 0 {
			pale := rgb{0.50, 0.40, 0.19}
			return coreLook{col: pale.scale(1 + 0.15*grain)}
		}
		return k.cavity(a, b, in, grain)
	}
	return coreLook{flesh: true}
}

// inside is about how deep a place lies within the cavity's edge, mm; negative
// outside. t runs from 0 to 1 along the cavity.
func (k *carpel) inside(t, b float64) float64 {
	if t <= 0 || t >= 1 {
		end := math.Max(-t, t-1) * (k.to - k.from)
		return -math.Hypot(math.Max(end, 0), b)
	}
	w := k.width * math.Pow(math.Sin(math.Pi*math.Pow(t, k.blunt)), 0.8)
	return (w - math.Abs(b)) * 0.9
}

// cavity is the look within the cavity: a seed, or the dark hollow.
func (k *carpel) cavity(a, b, in, grain float64) coreLook {
	if k.seed != noSeed {
		u, v := (a-k.seedAt)/k.seedL, b/(k.seedW*(1+0.25*(k.seedAt-a)/k.seedL))
		if d := math.Hypot(u, v); d < 1 {
			if k.seed == cutSeed && d < 0.8 {
				white := rgb{0.72, 0.68, 0.52}
				if math.Abs(v) < 0.06 && math.Abs(u) < 0.6 {
					white = white.scale(0.82) // the gap between the seed leaves
				}
				return coreLook{col: white.scale(1 - 0.08*grain - 0.15*d*d)}
			}
			coat := rgb{0.155, 0.06, 0.022}.scale(1 + 0.25*grain)
			l := coreLook{col: coat, gloss: true, depth: 0.4}
			sa, sb := u*0.55, v*0.9
			l.slopeA = sa*k.cos - sb*k.sin
			l.slopeB = sa*k.sin + sb*k.cos
			return l
		}
	}
	deep := smooth(0, k.width*0.9, in)
	wall := rgb{0.40, 0.29, 0.12}.mix(rgb{0.17, 0.105, 0.04}, deep)
	return coreLook{col: wall.scale(1 + 0.18*grain), depth: 0.5 + 3*deep}
}
