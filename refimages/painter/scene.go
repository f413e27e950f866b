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
	on    surface
	index int     // of the half or thing
	depth float64 // on a half: 0 at the face to 1 at the tray; on the tray: distance from the floor's edge, mm
}

type surface int

const (
	onTray surface = iota
	onFace
	onSide
	onThing
)

// near lists the halves that the rays of one pixel may meet, given the ray
// through its middle; reach is the pixel's own size on the tray, mm.
func (s *scene) near(buf []int, o, dir vec, reach float64) []int {
	run := math.Hypot(dir.x, dir.y) / -dir.z
	for i := range s.halves {
		h := &s.halves[i]
		top := (h.shape.height - o.z) / dir.z
		x, y := o.x+dir.x*top-h.spec.X, o.y+dir.y*top-h.spec.Y
		if far := h.shape.max + h.shape.height*run + reach; x*x+y*y < far*far {
			buf = append(buf, i)
		}
	}
	return buf
}

// trace follows a ray from the camera to the first surface; near are the halves
// that come into question. The material is not looked up yet.
func (s *scene) trace(o, dir vec, near []int) hit {
	var best hit
	at, edge, n := s.tray.hit(o, dir)
	best.on, best.n, best.depth = onTray, n, edge
	for _, i := range near {
		t, u, ok := s.halves[i].hit(o, dir)
		if ok && t < at {
			at = t
			best.on, best.index, best.depth = onFace, i, u
			best.n = vec{z: 1}
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
	case onSide:
		best.n = s.halves[best.index].sideNormal(best.p, best.depth)
	case onThing:
		best.n = s.things[best.index].normal(best.p)
	}
	return best
}

// material is the surface that a ray has hit.
func (s *scene) material(h *hit) material {
	switch h.on {
	case onFace:
		return s.faceMaterial(&s.halves[h.index], h.p)
	case onSide:
		b := &s.halves[h.index]
		th := math.Atan2(h.p.y-b.spec.Y, h.p.x-b.spec.X)
		return material{col: b.skin.at(th, 0.5+0.45*h.depth), gloss: plasticGloss, rough: 0.28}
	case onThing:
		return s.things[h.index].look(h.p, h.n)
	default:
		return s.ground.at(h.p, &s.tray, h.depth)
	}
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
		return math.Sqrt(px*px+py*py) - h.shape.at(math.Atan2(py, px))*girth(u)
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

// sideNormal is the direction of the body's surface at depth u under the face.
func (h *half) sideNormal(p vec, u float64) vec {
	x, y := p.x-h.spec.X, p.y-h.spec.Y
	th := math.Atan2(y, x)
	rho := h.shape.at(th)
	c, s := math.Cos(th), math.Sin(th)
	// the outline's own slope turns the normal sideways
	bend := (h.shape.at(th+0.01) - h.shape.at(th-0.01)) / (0.02 * rho)
	return vec{c + bend*s, s - bend*c, girthSlope(u) * rho / h.shape.height}.unit()
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
	if sq(x+t*dx)+sq(y+t*dy) > sq(h.shape.max+size*k+0.5) {
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
		gap := math.Sqrt(qx*qx+qy*qy) - h.shape.at(math.Atan2(qy, qx))*girth(u)
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
		if rise < 1 || (h.index == i && (h.on == onFace || h.on == onSide)) {
			continue
		}
		x, y := p.x-b.spec.X, p.y-b.spec.Y
		d2 := x*x + y*y
		if d2 > sq(b.shape.max+2.2*rise) {
			continue
		}
		d := math.Sqrt(d2)
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
		vis *= s.tray.occlude(h.depth)
	case onSide:
		vis *= 1 - 0.75*smooth(0, 1, h.depth)
	}
	return vis
}
