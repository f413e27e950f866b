package painter

import "math"

// shade is the light that a surface of material m sends to the camera.
func (s *scene) shade(h *hit, m *material, dir vec) rgb {
	n := h.n
	if m.sx != 0 || m.sy != 0 {
		n = vec{n.x - m.sx, n.y - m.sy, n.z}.unit()
	}
	view := dir.mul(-1)
	facing := math.Max(n.dot(view), 0.05)
	open := s.open(h)
	lean := 0.55 + 0.45*n.z
	out := m.col.times(s.light.ambient.scale(open * lean))
	own := -1
	if h.on == onFace || h.on == onSide {
		own = h.index
	}
	for i := range s.light.lamps {
		l := &s.light.lamps[i]
		to, dist, col := l.toward(h.p)
		cos := n.dot(to)
		if cos <= 0 {
			continue
		}
		vis := s.shadow(h.p, to, dist, l.size, own)
		if vis < 0.004 {
			continue
		}
		e := col.scale(cos * vis)
		out = out.add(m.col.times(e)).add(m.gloss.times(e).scale(gleam(n, view, to, facing, m.rough, l.size)))
	}
	// what the surface mirrors of the room, more at a glancing view
	mirror := view.mul(-1).along(n, 2*n.dot(view))
	rim := math.Pow(1-facing, 5) * (1 - 0.7*m.rough)
	room := s.light.sky(mirror).scale(open * (1 - 0.6*m.rough))
	return out.add(room.times(m.gloss)).add(room.scale(0.5 * rim))
}

// gleam is the mirror light of a lamp for a mirror reflectance of 1: a Beckmann
// lobe widened by the lamp's own size.
// Source: Cook and Torrance, A reflectance model for computer graphics, 1982.
func gleam(n, view, to vec, facing, rough, size float64) float64 {
	half := view.add(to).unit()
	c := n.dot(half)
	if c <= 0.1 {
		return 0
	}
	a2 := sq(rough*rough*0.9+0.03) + sq(size*0.5)
	c2 := c * c
	tan2 := (1 - c2) / c2
	if tan2 > 12*a2 {
		return 0
	}
	return math.Exp(-tan2/a2) / (4 * a2 * c2 * c2 * facing)
}
