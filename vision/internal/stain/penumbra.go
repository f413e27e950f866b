package stain

import (
	"cmp"
	"math"
	"slices"

	"traystage/vision/internal/parallel"
)

// ending is where a shadow ends on one face, and over how wide a penumbra, radii: the sun is no point.
type ending struct {
	brink
	width float64
}

// share of the sun's light that is gone at a place.
func (e ending) share(u, v float64) float64 {
	return math.Min(math.Max(e.beyond(u, v)/e.width+0.5, 0), 1)
}

// gone is the share of the sun's light that is gone at a place on a face, by the edge that is nearest: shadows end, and others begin.
func gone(ends []ending, u, v float64) (share float64) {
	least := math.Inf(1)
	for _, e := range ends {
		if off := math.Abs(e.beyond(u, v)); off < least {
			least, share = off, e.share(u, v)
		}
	}
	return share
}

// dims is how much darker, log10, all is where a share of the light is gone the whole of which makes depth. Light adds, densities do not.
func dims(share float64, depth [3]float64) (d [3]float64) {
	switch {
	case share >= 1:
		return depth
	case share > 0:
		for band := range d {
			d[band] = -math.Log10(1 - share*(1-lit(-depth[band])))
		}
	}
	return d
}

// clearOf is how far before and beyond a brink most penumbras have ended, radii.
const clearOf = 2 * aside

// findEdges finds the edges of the shadow of which the ground tells; false where it finds none.
func (s *shadow) findEdges(c scene) bool {
	of, strayed := make([]*support, len(c.faces)), make([]*support, len(c.faces))
	parallel.Each(len(of), func(i int) {
		of[i] = c.reliefs[i].supports(s.depth)[0]
		strayed[i] = of[i].strayed()
	})
	brinks := s.brinks(c, strayed)
	s.end(c, of, brinks, [][3]float64{s.depth})
	return len(brinks) > 0
}

// end lets the shadow end at brinks, where most speaks for them on each face. may are the depths that it may have.
func (s *shadow) end(c scene, of []*support, brinks []brink, may [][3]float64) {
	sunlit, half := c.sunlit(), brightness(s.depth)/2
	for i, f := range c.faces {
		s.settle(i, f, brinks, of[i], func(b brink) bool {
			return !s.over[i] || c.flanks[i].before(b, aside)+half > sunlit || s.showsOn(c.reliefs[i], b)
		})
	}
	s.steep(c.reliefs, may)
}

// settle tells of face i whether it lies in the shadow, by the brink that is nearest, where that is not far. It is left to the ground where a brink
// crosses the face that does not show on it, as one beyond the corner of a patch of sun, and where the face lies beside such a corner.
func (s *shadow) settle(i int, f Face, brinks []brink, of *support, shows func(b brink) bool) {
	nearest, over := lostTo, false
	var ends []ending
	var beside []brink
	for _, b := range brinks {
		at := b.on(f)
		off := math.Abs(at.p)
		if off > 1 {
			beside = append(beside, at)
		} else if at = of.ease(at); shows(at) {
			ends = append(ends, ending{brink: at})
		}
		if off < nearest {
			nearest, over = off, at.p < -1
		}
	}
	if len(ends) == 0 && (nearest <= 1 || areCornered(beside)) {
		return
	}
	if nearest < lostTo {
		s.settled[i], s.over[i], s.edge[i], s.ends[i] = true, over, false, ends
	}
}

// areCornered says whether of brinks beside a face one has it in the shade and another, not parallel to that, in the sun: the shadow may have
// a corner there, or the sun.
func areCornered(brinks []brink) bool {
	for _, a := range brinks {
		for _, b := range brinks {
			if a.p < 0 && b.p > 0 && !a.isParallel(b) {
				return true
			}
		}
	}
	return false
}

// ease moves a brink to the line near it on one face for which most speaks.
func (s *support) ease(b brink) brink {
	best, most := b, float32(0)
	near(b, func(turn, k int) {
		if s[turn][k] > most {
			most, best = s[turn][k], facing(turn)
			best.p = float64(k-places/2) / reliefSteps
		}
	})
	return best
}

// steep tells how deep of what it may be the shadow is on faces, which see more of the sky than the ground between them, and finds its penumbra, as wide on
// all of them, and the middle of that on each.
func (s *shadow) steep(reliefs []*relief, may [][3]float64) {
	s.deepen(reliefs, may)
	var best [][]ending
	least := math.Inf(1)
	for _, width := range [...]float64{0.05, 0.1, 0.15, 0.2, 0.3, 0.4} {
		sum := 0.0
		ends := make([][]ending, len(s.ends))
		for i := range s.ends {
			for _, e := range s.ends[i] {
				e, off := s.moved(ending{e.brink, width}, reliefs[i])
				ends[i] = append(ends[i], e)
				sum += off
			}
		}
		if sum < least {
			least, best = sum, ends
		}
	}
	s.ends = best
}

// deepen takes for the depth of the shadow that which most places show where it ends on faces, of those that it may have.
func (s *shadow) deepen(reliefs []*relief, may [][3]float64) {
	var drops []sample
	for i, ends := range s.ends {
		for _, e := range ends {
			reliefs[i].across(e.brink, -clearOf, clearOf, func(drop [3]float64) {
				if slices.ContainsFunc(may, func(d [3]float64) bool { return alike(drop, d) }) {
					drops = append(drops, sample{c: drop})
				}
			})
		}
	}
	if len(drops) > 0 {
		s.depth = middleOf(densest(drops))
	}
}

// densest are those samples that are most alike in brightness, within what noise and flesh stray.
func densest(of []sample) (most []sample) {
	const width = 0.12 // log10
	slices.SortFunc(of, func(a, b sample) int { return cmp.Compare(brightness(a.c), brightness(b.c)) })
	from := 0
	for to := range of {
		for brightness(of[to].c)-brightness(of[from].c) > width {
			from++
		}
		if to+1-from > len(most) {
			most = of[from : to+1]
		}
	}
	return most
}

// moved moves an ending across the face to where the drop from the light before it to places in and beyond the
// penumbra is most like that of the shadow; off is by how much it is not, log10.
func (s *shadow) moved(e ending, r *relief) (best ending, off float64) {
	const step = 1.0 / reliefSteps
	off = math.Inf(1)
	for by := -aside; by <= aside; by += step / 2 {
		at := e
		at.p += by
		var sum, n float64
		for to := -aside; to <= clearOf; to += step {
			want := brightness(dims(at.share(at.u*(e.p+to), at.v*(e.p+to)), s.depth))
			offs := make([]float64, 0, places)
			r.across(e.brink, -clearOf, to, func(drop [3]float64) { offs = append(offs, math.Abs(brightness(drop)-want)) })
			if len(offs) > 0 {
				sum += quantile(offs, 0.5)
				n++
			}
		}
		if mean := sum / math.Max(n, 1); mean < off {
			best, off = at, mean
		}
	}
	return best, off
}
