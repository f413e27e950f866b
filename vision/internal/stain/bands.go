package stain

import (
	"cmp"
	"slices"

	"traystage/vision/internal/parallel"
)

// Under slats, branches or the posts of a shed a tray lies in bands of shade, and the ground of a crate tells nothing of them. But the edges of
// such bands run in one direction, and in it more on the faces speaks for edges than in any other: the tray itself tells how much speaks for
// none. And without them the faces are simpler, see gain.

const (
	bandsEdge   = 0.1  // radii that speak for one edge
	bandsEnough = 1    // radii that speak for edges in the direction of bands: less is not looked into
	bandsTell   = 0.55 // of those radii, times how many times as many as in any other direction they are, times nats: bands from there on
	otherwise   = 5    // turns from which on a direction is another
	narrowest   = 0.5  // radii that a band is wide, or the light between two
	leastRival  = 0.1  // radii that speak for another direction where none does
)

// bandDepths are how much darker, log10, shade may be; the sky is bluer than the sun.
func bandDepths() (out [][3]float64) {
	for _, d := range [...]float64{0.3, 0.4, 0.5, 0.6} {
		out = append(out, [3]float64{d, 0.9 * d, 0.75 * d})
	}
	return out
}

// bandsOn finds the bands of shade on a tray; false where there are none.
func bandsOn(c scene) (*shadow, bool) {
	depths := bandDepths()
	of, strayed := make([][]*support, len(depths)), make([][]*support, len(depths))
	for d := range depths {
		of[d], strayed[d] = make([]*support, len(c.faces)), make([]*support, len(c.faces))
	}
	parallel.Each(len(c.faces), func(i int) {
		for d, s := range c.reliefs[i].supports(depths...) {
			of[d][i], strayed[d][i] = s, s.strayed()
		}
	})
	each := make([][]bands, len(depths))
	parallel.Each(len(depths), func(d int) { each[d] = c.bandsOf(depths[d], strayed[d]) })
	best, times := standing(slices.Concat(each...))
	if !told(best.much, times, 1) { // less entropy than by a nat is unheard of
		return nil, false
	}
	s := newShadow(len(c.faces))
	s.depth = best.depth
	s.end(c, of[slices.Index(depths, best.depth)], best.edges, depths)
	return s, told(best.much, times, s.gain(c.reliefs))
}

// told says whether bands are there for which so much speaks, so many times as much as for others, and without which faces have so much less entropy.
func told(much, times, gain float64) bool {
	return much > bandsEnough && much*times*gain > bandsTell
}

// bands are edges in nearly one direction, or the opposite one.
type bands struct {
	turn  int
	depth [3]float64
	edges []brink
	much  float64 // that speaks for them, radii
}

// standing are the bands for which most speaks, and how many times as much as for any in another direction.
func standing(all []bands) (best bands, times float64) {
	for _, b := range all {
		if b.much > best.much {
			best = b
		}
	}
	rival := leastRival
	for _, b := range all {
		off := (b.turn - best.turn + turns) % (turns / 2)
		if off >= otherwise && off <= turns/2-otherwise {
			rival = max(rival, b.much)
		}
	}
	return best, best.much / rival
}

// bandsOf gives the bands in every direction.
func (c scene) bandsOf(depth [3]float64, of []*support) (out []bands) {
	sunlit := c.sunlit()
	var could []spoken
	c.lines(func(b brink) {
		if much := c.speaks(b, of, nil); much > bandsEdge && c.bears(b, depth, sunlit, false) {
			could = append(could, spoken{b, much})
		}
	})
	sides := make([]bandSide, 0, len(could))
	for turn := range turns / 2 {
		b := c.inTurn(turn, could, sides)
		b.depth = depth
		out = append(out, b)
	}
	return out
}

// bandSide is a side of a band among those in one direction.
type bandSide struct {
	spoken
	at     float64 // place in that direction, px
	begins bool    // the shade does
	sum    float64 // that speaks for it and those before it
	before int     // of them the nearest, -1 for none
}

// inTurn are the edges in nearly one direction for which most speaks together: shade begins and ends in turn, and not at once. sides is
// room for them.
func (c scene) inTurn(turn int, could []spoken, sides []bandSide) bands {
	sides = sides[:0]
	middle := middle(c.faces)
	for _, s := range could {
		switch off := (s.turn - turn + turns) % turns; {
		case off <= strayTurn || off >= turns-strayTurn:
			sides = append(sides, bandSide{spoken: s, at: -s.beyond(middle.x, middle.y), begins: true})
		case off >= turns/2-strayTurn && off <= turns/2+strayTurn:
			sides = append(sides, bandSide{spoken: s, at: s.beyond(middle.x, middle.y)})
		}
	}
	slices.SortFunc(sides, func(a, b bandSide) int { return cmp.Compare(a.at, b.at) })
	out, last := bands{turn: turn}, -1
	for i := range sides {
		e := &sides[i]
		e.sum, e.before = e.much, -1
		for k, o := range sides[:i] {
			if o.begins != e.begins && e.at-o.at > narrowest*c.radius && o.sum+e.much > e.sum {
				e.sum, e.before = o.sum+e.much, k
			}
		}
		if e.sum > out.much {
			out.much, last = e.sum, i
		}
	}
	for ; last >= 0; last = sides[last].before {
		out.edges = append(out.edges, sides[last].brink)
	}
	return out
}
