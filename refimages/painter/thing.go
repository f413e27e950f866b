package painter

import "math"

// thing is a solid given by its signed distance: clutter or a whole fruit.
type thing struct {
	middle vec     // of a ball that holds all of it
	radius float64 // of that ball, mm
	dist   func(p vec) float64
	look   func(p, n vec) material
}

// hit is where a ray meets the thing nearer than limit.
func (t *thing) hit(o, dir vec, limit float64) (float64, bool) {
	m := t.middle.sub(o)
	b := m.dot(dir)
	c := m.dot(m) - t.radius*t.radius
	disc := b*b - c
	if disc <= 0 {
		return 0, false
	}
	root := math.Sqrt(disc)
	at, end := math.Max(b-root, 0), math.Min(b+root, limit)
	for range 90 {
		if at > end {
			return 0, false
		}
		d := t.dist(o.along(dir, at))
		if d < 0.03 {
			return at, true
		}
		at += d
	}
	return 0, false
}

func (t *thing) normal(p vec) vec {
	const e = 0.05
	d := t.dist(p)
	return vec{
		t.dist(vec{p.x + e, p.y, p.z}) - d,
		t.dist(vec{p.x, p.y + e, p.z}) - d,
		t.dist(vec{p.x, p.y, p.z + e}) - d,
	}.unit()
}

// shade is how much light from dir passes the thing on its way to p; the nearer
// the path comes to it, the darker.
func (t *thing) shade(p, dir vec, size float64) float64 {
	m := t.middle.sub(p)
	b := m.dot(dir)
	far := math.Sqrt(math.Max(m.dot(m)-b*b, 0))
	if b < -t.radius || far > t.radius+size*math.Max(b, 0)+1 {
		return 1
	}
	at := math.Max(b-t.radius, 0) + 0.6
	end := b + t.radius
	vis := 1.0
	for range 40 {
		if at > end {
			break
		}
		d := t.dist(p.along(dir, at))
		soft := size*at + 0.3
		vis = math.Min(vis, smooth(-soft, soft, d))
		if vis < 0.01 {
			return 0
		}
		at += math.Max(math.Abs(d)*0.8, 0.8)
	}
	return vis
}

// open is how much sky the thing leaves at p, judged by its distance at two
// steps along the normal.
func (t *thing) open(p, n vec) float64 {
	if p.sub(t.middle).norm() > t.radius+30 {
		return 1
	}
	vis := 1.0
	for _, step := range [...]float64{5, 16} {
		d := t.dist(p.along(n, step))
		vis *= 1 - 0.45*(1-clamp(d/step, 0, 1))
	}
	return vis
}

// capsule is the distance to a rod with round ends between a and b.
func capsule(p, a, b vec, ra, rb float64) float64 {
	pa, ba := p.sub(a), b.sub(a)
	t := clamp(pa.dot(ba)/ba.dot(ba), 0, 1)
	return pa.along(ba, -t).norm() - (ra + (rb-ra)*t)
}

// box is the distance to an upright box of half sizes around the origin with
// rounded corners, standing on z = 0.
func box(p vec, x, y, high, corner float64) float64 {
	dx, dy := math.Abs(p.x)-x+corner, math.Abs(p.y)-y+corner
	flat := math.Hypot(math.Max(dx, 0), math.Max(dy, 0)) + math.Min(math.Max(dx, dy), 0) - corner
	up := math.Abs(p.z-high/2) - high/2
	return math.Min(math.Max(flat, up), 0) + math.Hypot(math.Max(flat, 0), math.Max(up, 0))
}

// join is the union of two distances with a soft seam.
func join(a, b, soft float64) float64 {
	h := math.Max(soft-math.Abs(a-b), 0) / soft
	return math.Min(a, b) - h*h*soft/4
}

// frame turns world points into those of a thing at x, y turned by an angle.
type frame struct{ x, y, cos, sin float64 }

func newFrame(x, y, deg float64) frame {
	s, c := math.Sincos(radians(deg))
	return frame{x, y, c, s}
}

func (f frame) local(p vec) vec {
	x, y := p.x-f.x, p.y-f.y
	return vec{x*f.cos + y*f.sin, -x*f.sin + y*f.cos, p.z}
}

// newFruit is a whole fruit lying on the tray.
func newFruit(s FruitSpec) thing {
	sk := newSkin(s.Variety, s.Seed)
	r := random(s.Seed, 23)
	lobe, turn := between(r, 0.008, 0.022), between(r, 0, 6)
	tall := between(r, 0.84, 0.95)
	axis := from(s.Turn, 90-s.Tip)
	side := from(s.Turn, -s.Tip)
	third := vec{axis.y*side.z - axis.z*side.y, axis.z*side.x - axis.x*side.z, axis.x*side.y - axis.y*side.x}
	middle := vec{s.X, s.Y, s.Radius * (0.9 + 0.04*s.Tip/90)}
	stem := vec{between(r, -5, 5), between(r, -5, 5), s.Radius * between(r, 0.95, 1.2)}
	into := func(p vec) vec {
		p = p.sub(middle)
		return vec{p.dot(side), p.dot(third), p.dot(axis)}
	}
	sl, cl := math.Sincos(turn)
	body := func(q vec) float64 {
		d := q.norm() + 1e-9
		c := q.z / d // cosine of the angle from the stem
		rad := s.Radius * (1 - (1-tall)*c*c)
		// the hollows at stem and calyx: Gaussians of the angle, for which 2 - 2 cos stands in
		if c > 0.6 {
			rad *= 1 - 0.32*math.Exp(-(2-2*c)/sq(0.36))
		} else if c < -0.6 {
			rad *= 1 - 0.22*math.Exp(-(2+2*c)/sq(0.33))
		}
		re, im := fifth(q.x, q.y)
		rad *= 1 + lobe*(re*cl+im*sl)*(0.7-0.3*c) + 0.035*c
		return (d - rad) * 0.7
	}
	rod := func(q vec) float64 {
		return capsule(q, vec{z: s.Radius * 0.55}, stem, 1.1, 1.5)
	}
	return thing{
		middle: middle, radius: s.Radius * 1.3,
		dist: func(p vec) float64 { q := into(p); return math.Min(body(q), rod(q)) },
		look: func(p, n vec) material {
			q := into(p)
			if rod(q) < body(q) {
				return material{col: rgb{0.14, 0.085, 0.035}, gloss: plasticGloss, rough: 0.6}
			}
			pole := math.Atan2(math.Hypot(q.x, q.y), q.z)
			col := sk.at(math.Atan2(q.y, q.x), pole/math.Pi)
			col = col.mix(rgb{0.34, 0.25, 0.1}, 0.7*smooth(0.42, 0.12, pole)) // russet in the stem's hollow
			return material{col: col, gloss: plasticGloss, rough: 0.33}
		},
	}
}

// fifth gives the cosine and sine of five times the bearing of x, y.
func fifth(x, y float64) (re, im float64) {
	r := math.Sqrt(x*x+y*y) + 1e-9
	z := complex(x/r, y/r)
	z2 := z * z
	z = z2 * z2 * z
	return real(z), imag(z)
}
