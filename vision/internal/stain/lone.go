package stain

import (
	"math"

	"traystage/vision/internal/parallel"
)

// Straight edges of a shadow are told by several faces together. How deep the shadow is is known then, and with that an edge that crosses one face
// alone, beside those or askew to them, can be told: it is that without which the face is simplest.

const (
	loneGain     = 0.2  // nats by which a face has to be simpler without another edge
	loneAlike    = 0.45 // of the places along it have to show its drop
	loneAside    = 0.15 // radii before and beyond it, for that: farther off another edge or stain may lie
	stillStained = 0.08 // of a face has to show stain without the shadow: else what is taken for that may be its stain
	wellDarker   = 0.3  // log10 by which that stain is darker than clear flesh
	mostEnds     = 3    // on one face
)

// lone finds edges on faces alone, in the directions and on the faces that may have them.
func (s *shadow) lone(c scene, may func(turn int) bool, on []bool) {
	sunlit, width := c.sunlit(), s.penumbra()
	parallel.Each(len(c.faces), func(i int) {
		if !on[i] {
			return
		}
		t := s.thin(i, c.reliefs[i])
		for len(t.ends) < mostEnds {
			e, ok := t.another(may, width)
			if !ok || !s.showsOn(c.reliefs[i], e.brink) || !c.flanks[i].bears(e.brink, s.depth, sunlit) {
				break
			}
			e, _ = s.moved(e, c.reliefs[i])
			t.know(e)
			s.ends[i], s.over[i], s.edge[i], s.settled[i] = t.ends, false, false, true
		}
	})
}

// penumbra is how wide that of the shadow is, radii, by an edge that is known.
func (s *shadow) penumbra() float64 {
	for _, ends := range s.ends {
		if len(ends) > 0 {
			return ends[0].width
		}
	}
	return aside
}

// showsOn says whether enough places along a brink across a face show the drop of the shadow.
func (s *shadow) showsOn(r *relief, b brink) bool {
	n, as := 0, 0
	r.across(b, -loneAside, loneAside, func(drop [3]float64) {
		n++
		if alike(drop, s.depth) {
			as++
		}
	})
	return float64(as) >= loneAlike*float64(n)
}

// bears says whether a face is as bright before a brink as in the sun and nowhere beyond it, each by half of the depth.
func (f *flanks) bears(b brink, depth [3]float64, sunlit float64) bool {
	half := brightness(depth) / 2
	return f.before(b, aside)+half > sunlit && f.beyond(b, aside)+half <= sunlit
}

// thinned is every other cell of a face in small, with the shadow on it as it is known so far.
type thinned struct {
	ends    []ending
	depth   float64   // of the shadow
	u, v, b []float64 // places, and how bright it is there
	dim     []float64 // how much darker the shadow makes it there
	nearest []float64 // how far off the nearest edge lies
}

// thin is face i with the edges that are known.
func (s *shadow) thin(i int, r *relief) *thinned {
	t := &thinned{depth: brightness(s.depth)}
	n, whole := 0, 0.0
	if s.over[i] {
		whole = t.depth
	}
	r.each(func(u, v float64, c [3]float64) {
		if n++; n%2 == 0 {
			t.u, t.v, t.b = append(t.u, u), append(t.v, v), append(t.b, brightness(c))
			t.dim, t.nearest = append(t.dim, whole), append(t.nearest, math.Inf(1))
		}
	})
	for _, e := range s.ends[i] {
		t.know(e)
	}
	return t
}

// know takes an edge for known.
func (t *thinned) know(e ending) {
	t.ends = append(t.ends[:len(t.ends):len(t.ends)], e)
	for k := range t.b {
		t.dim[k], t.nearest[k] = t.with(e, k)
	}
}

// with is how much darker it is in cell k, and how far off the nearest edge, with another one.
func (t *thinned) with(e ending, k int) (dim, nearest float64) {
	if off := math.Abs(e.beyond(t.u[k], t.v[k])); off < t.nearest[k] {
		return t.depth * e.share(t.u[k], t.v[k]), off
	}
	return t.dim[k], t.nearest[k]
}

// another is the edge with which the face is simplest, of those with which it still shows stain; false where it is not simpler by enough.
func (t *thinned) another(may func(turn int) bool, width float64) (best ending, ok bool) {
	const step = 2.0 / reliefSteps
	lifted := make([]float64, len(t.b))
	for k, b := range t.b {
		lifted[k] = b + t.dim[k]
	}
	least := entropyOf(lifted) - loneGain
	for turn := range turns {
		if !may(turn) {
			continue
		}
		e := ending{brink: facing(turn), width: width}
		for e.p = -nearSkin + step; e.p < nearSkin-step; e.p += step {
			for k, b := range t.b {
				dim, _ := t.with(e, k)
				lifted[k] = b + dim
			}
			if h := entropyOf(lifted); h < least && showStain(lifted) {
				best, least, ok = e, h, true
			}
		}
	}
	return best, ok
}

// showStain says whether some of what a face shows is well darker than its clear flesh.
func showStain(of []float64) bool {
	clear, n := quantile(of, 0.9), 0
	for _, v := range of {
		if clear-v > wellDarker {
			n++
		}
	}
	return float64(n) > stillStained*float64(len(of))
}
