package stain

import (
	"cmp"
	"math"
	"slices"

	"traystage/vision/internal/parallel"
)

// Under slats, branches or the posts of a shed a tray lies in bands of shade, and the ground of a crate tells nothing of them. But the edges of
// such bands run in one direction, and in it more on the faces speaks for edges than in any other: the tray itself tells how much speaks for
// none. And without them the faces are simpler, see gain.

const (
	bandsEdge  = 0.1  // radii that speak for one edge
	bandsTell  = 0.55 // of those radii, times how many times as many as in any other direction they are, times nats: bands from there on
	otherwise  = 5    // turns from which on a direction is another
	narrowest  = 0.5  // radii that a band is wide, or the light between two
	leastRival = 0.1  // radii that speak for another direction where none does
)

// bandDepths are how much darker, log10, shade may be; the sky is bluer than the sun.
func bandDepths() (out [][3]float64) {
	for _, d := range [...]float64{0.3, 0.4, 0.5, 0.6, 0.75, 0.95} {
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
	all := slices.Concat(each...)
	for _, b := range leading(all) {
		others := rival(all, b)
		if !told(b.much, others, math.Ln2) { // two parts of a face that are made one take no more entropy
			continue
		}
		s := newShadow(len(c.faces))
		s.depth = b.depth
		s.end(c, of[slices.Index(depths, b.depth)], b.edges, depths)
		if told(b.much, others, s.gain(c.reliefs)) {
			s.lone(c, b.along, slices.Repeat([]bool{true}, len(c.faces)))
			return s, true
		}
	}
	return nil, false
}

// told says whether bands are there for which so much speaks, and for others, and without which faces have so much less entropy.
func told(much, rival, gain float64) bool { return much*much/rival*gain > bandsTell }

// bands are edges in nearly one direction, or the opposite one.
type bands struct {
	turn  int
	depth [3]float64
	edges []brink
	much  float64 // that speaks for them, radii
}

// along says whether a direction is about that of the bands: slats lean, and seem to converge.
func (b bands) along(turn int) bool {
	const lean = 2 // turns
	return askew(b.turn, turn) <= lean
}

// isOther says whether bands run in another direction.
func (b bands) isOther(o bands) bool { return askew(b.turn, o.turn) >= otherwise }

// leading are the bands for which most speaks, each of them in another direction or of quite another depth.
func leading(all []bands) (out []bands) {
	const (
		few   = 5
		other = 1.4 // times as deep
	)
	same := func(a, b bands) bool {
		return !a.isOther(b) && a.depth[0] < other*b.depth[0] && b.depth[0] < other*a.depth[0]
	}
	all = slices.Clone(all)
	slices.SortStableFunc(all, func(a, b bands) int { return cmp.Compare(b.much, a.much) })
	for _, b := range all {
		if len(out) < few && !slices.ContainsFunc(out, func(o bands) bool { return same(b, o) }) {
			out = append(out, b)
		}
	}
	return out
}

// rival is how much speaks for bands in other directions, at most.
func rival(all []bands, b bands) float64 {
	most := leastRival
	for _, o := range all {
		if b.isOther(o) {
			most = max(most, o.much)
		}
	}
	return most
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
