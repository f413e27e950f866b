package painter

import "math"

// half is a cut half in place.
type half struct {
	spec  HalfSpec
	shape *shape
	face  *face
	skin  skin
}

// scene is everything the camera can see.
type scene struct {
	spec   *Spec
	cam    camera
	light  lighting
	tray   tray
	ground ground
	halves []half
	things []thing
}

// hit is where a ray meets the scene first.
type hit struct {
	p     vec
	n     vec
	m     material
	on    surface
	index int     // of the half or thing
	depth float64 // on a half's side: 0 at the face to 1 at the tray
}

type surface int

const (
	onTray surface = iota
	onFace
	onSide
	onThing
)

// trace follows a ray from the camera to the first surface.
func (s *scene) trace(o, dir vec) hit {
	at, edge, n := s.tray.hit(o, dir)
	best := hit{on: onTray, n: n}
	side := -1.0 // depth on the side of the half hit
	for i := range s.halves {
		h := &s.halves[i]
		t, u, ok := h.hit(o, dir)
		if ok && t < at {
			at, side = t, u
			best.on, best.index = onFace, i
			if u > 0 {
				best.on = onSide
			}
		}
	}
	for i := range s.things {
		if t, ok := s.things[i].hit(o, dir, at); ok {
			at = t
			best.on, best.index = onThing, i
		}
	}
	best.p = o.along(dir, at)
	switch best.on {
	case onTray:
		best.m = s.ground.at(best.p, &s.tray, edge)
	case onFace:
		h := &s.halves[best.index]
		best.n = vec{z: 1}
		best.m = s.faceMaterial(h, best.p)
	case onSide:
		h := &s.halves[best.index]
		best.depth = side
		best.n, best.m = h.sideMaterial(best.p, side)
	case onThing:
		t := &s.things[best.index]
		best.n = t.normal(best.p)
		best.m = t.look(best.p, best.n)
	}
	return best
}

// occluded says whether something lies between a point and the camera other
// than the face of half i.
func (s *scene) occluded(p vec, i int) bool {
	dir := p.sub(s.cam.eye)
	dist := dir.norm()
	dir = dir.mul(1 / dist)
	for j := range s.halves {
		if j == i {
			continue
		}
		if t, _, ok := s.halves[j].hit(s.cam.eye, dir); ok && t < dist-0.5 {
			return true
		}
	}
	for j := range s.things {
		if _, ok := s.things[j].hit(s.cam.eye, dir, dist-0.3); ok {
			return true
		}
	}
	return false
}

// hit is where a downward ray meets the half: the distance along the ray and the
// depth below the face, 0 on the face and 1 at the tray.
func (h *half) hit(o, dir vec) (at, depth float64, ok bool) {
	top := (h.shape.height - o.z) / dir.z
	x, y := o.x+dir.x*top-h.spec.X, o.y+dir.y*top-h.spec.Y
	run := h.shape.height * math.Hypot(dir.x, dir.y) / -dir.z
	d2 := x*x + y*y
	if far := h.shape.max + run; d2 > far*far {
		return 0, 0, false
	}
	if d2 < sq(h.shape.at(math.Atan2(y, x))) {
		return top, 0, true
	}
	// outwards of the face: walk down beside the body
	kx, ky := -dir.x/dir.z*h.shape.height, -dir.y/dir.z*h.shape.height
	outside := func(u float64) float64 {
		px, py := x+kx*u, y+ky*u
		return math.Hypot(px, py) - h.shape.at(math.Atan2(py, px))*girth(u)
	}
	const steps = 10
	lo := 0.0
	for i := 1; i <= steps; i++ {
		hi := float64(i) / steps
		if outside(hi) >= 0 {
			lo = hi
			continue
		}
		for range 6 {
			mid := (lo + hi) / 2
			if outside(mid) < 0 {
				hi = mid
			} else {
				lo = mid
			}
		}
		return top + hi*h.shape.height/-dir.z, math.Max(hi, 1e-6), true
	}
	return 0, 0, false
}

// faceMaterial is the wet cut face.
func (s *scene) faceMaterial(h *half, p vec) material {
	x, y := p.x-h.spec.X, p.y-h.spec.Y
	col, sx, sy := h.face.at(x, y)
	n := noise(h.spec.Seed)
	wet := smooth(0.25, 0.95, 0.5*n.layers(x*0.07, y*0.07, 3)+0.5*s.spec.Wet+0.35)
	return material{
		col: col, gloss: rgb{0.028, 0.028, 0.028},
		rough: 0.42 - 0.27*wet*s.spec.Wet - 0.06*wet,
		sx:    sx, sy: sy,
	}
}

// sideMaterial is the skin of the body under the face.
func (h *half) sideMaterial(p vec, u float64) (vec, material) {
	x, y := p.x-h.spec.X, p.y-h.spec.Y
	th := math.Atan2(y, x)
	rho := h.shape.at(th)
	tilt := girthSlope(u) * rho / h.shape.height
	c, s := math.Cos(th), math.Sin(th)
	// the outline's own slope turns the normal sideways
	bend := (h.shape.at(th+0.01) - h.shape.at(th-0.01)) / (0.02 * rho)
	n := vec{c + bend*s, s - bend*c, tilt}.unit()
	col := h.skin.at(th, 0.5+0.45*u)
	return n, material{col: col, gloss: plasticGloss, rough: 0.28}
}

// girthLow is the body's width near the tray, for contact shadows.
var girthLow = girth(0.85)

// shadow is how much of a lamp's light reaches p, in [0, 1]; own is the half that
// p lies on, or -1. The border of a shadow is as soft as the lamp is wide.
func (s *scene) shadow(p, dir vec, dist, size float64, own int) float64 {
	vis := s.tray.light(p, dir, size)
	for i := range s.halves {
		if i == own || vis < 0.004 {
			continue
		}
		vis *= s.halves[i].shade(p, dir, dist, size)
	}
	for i := range s.things {
		if vis < 0.004 {
			break
		}
		vis *= s.things[i].shade(p, dir, size)
	}
	return vis
}

// shade is how much light from dir passes the half on its way to p.
func (h *half) shade(p, dir vec, dist, size float64) float64 {
	rise := h.shape.height - p.z
	if rise < 0.3 || dir.z < 0.02 {
		return 1
	}
	x, y := p.x-h.spec.X, p.y-h.spec.Y
	k := rise / dir.z
	dx, dy := dir.x*k, dir.y*k
	// nearest approach of the light's path to the core's axis
	t := 0.0
	if l := dx*dx + dy*dy; l > 0 {
		t = clamp(-(x*dx+y*dy)/l, 0, 1)
	}
	if math.Hypot(x+t*dx, y+t*dy) > h.shape.max+size*k+0.5 {
		return 1
	}
	const slices = 4
	vis := 1.0
	for i := range slices {
		u := float64(i) / slices
		z := h.shape.height * (1 - u)
		if z <= p.z {
			break
		}
		f := (z - p.z) / rise
		qx, qy := x+dx*f, y+dy*f
		gap := math.Hypot(qx, qy) - h.shape.at(math.Atan2(qy, qx))*girth(u)
		soft := size*k*f + 0.35
		vis = math.Min(vis, smooth(-soft, soft, gap))
	}
	return vis
}

// open is how much of the sky is seen from p with normal n, in [0, 1].
func (s *scene) open(h *hit) float64 {
	p := h.p
	vis := 1.0
	for i := range s.halves {
		b := &s.halves[i]
		rise := b.shape.height - p.z
		if rise < 1 || (h.on != onTray && h.index == i && h.on != onThing) {
			continue
		}
		x, y := p.x-b.spec.X, p.y-b.spec.Y
		d := math.Hypot(x, y)
		if d > b.shape.max+2.2*rise {
			continue
		}
		gap := d - b.shape.at(math.Atan2(y, x))*girthLow
		vis *= 1 - 0.72*math.Exp(-math.Max(gap, 0)/(0.38*rise))*smooth(-14, 2, gap)
		if gap < 0 {
			vis *= 1 - 0.6*smooth(0, -10, gap)
		}
	}
	for i := range s.things {
		if h.on != onThing || h.index != i {
			vis *= s.things[i].open(p, h.n)
		}
	}
	switch h.on {
	case onTray:
		d, _, _ := s.tray.edge(p.x, p.y)
		vis *= s.tray.occlude(d)
	case onSide:
		vis *= 1 - 0.75*smooth(0, 1, h.depth)
	}
	return vis
}
