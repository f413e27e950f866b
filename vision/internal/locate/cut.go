package locate

import "math"

// A fruit cut through stem and calyx has the skin, flesh and stain of a half. What tells it from one is its shape: the
// hollows that stem and calyx sit in show as two notches in the edge, opposite each other, where the outline of a fruit cut
// across has none; and its core, which shows two seeds in place of a star. A whole fruit, or a half that lies on its face,
// may have the colours of flesh and stain; it shows no star, nor a skin that ends where a face begins.

// What is seen says for such a fruit and against a half: natural logarithms of how many times likelier it is there,
// between the values given a straight line (see DEVELOPERS.md for what they were set on).
var (
	deepNotch     = []likelihood{{0.01, -6}, {0.02, -2.4}, {0.04, 1.4}, {0.08, 5}} // by depth, in radii
	oppositeNotch = []likelihood{{0.003, -2}, {0.01, 0}, {0.02, 1.5}, {0.04, 3}}   // the same
	notchEdge     = []likelihood{{0.1, -3.8}, {0.25, -1}, {0.5, 1.1}, {1, 3.2}}    // by clearness
	bareSkin      = []likelihood{{-1.6, 6}, {-1.2, 3}, {-0.6, 0}, {-0.2, -3}}      // by cueSkin, natural logarithm of its ratio to that of the tray's halves
)

// What the sums begin with: how rare such fruit are among what else would pass for halves.
const (
	rareLengthwise = -5.0
	rareUncut      = -6.0
)

// Of a whole tray, on the mean: fruit of one tray are cut alike. Means, as a lamp or a lens that hides a little of each core does so
// on all of a tray.
const (
	allLengthwise = -3.5  // of what speaks for single fruit, above which all may have been cut lengthwise
	allUncut      = -0.55 // of what cores say of having been cut across, below which none may have been cut
)

// cutLengthwise is the natural logarithm of how much likelier a face was cut through stem and calyx than across.
func (f *face) cutLengthwise(n notches) float64 {
	return rareLengthwise + says(deepNotch, n.deepest) + says(oppositeNotch, n.opposite) + says(notchEdge, n.edge) - f.across
}

// uncut is the natural logarithm of how much likelier it is no face at all, on a tray whose halves have the usual skin.
func (f *face) uncut(usual float64) float64 {
	return rareUncut + says(bareSkin, math.Log(f.skin/usual)) - f.across
}

// doubtCut takes from the evidence for a half what else would show the same. For that alone nothing is dropped.
func (f *face) doubtCut(others ...float64) {
	sum := math.Exp(-f.sum())
	for _, other := range others {
		sum += math.Exp(other)
	}
	f.evidence[DoubtCut] = min(0, max(-math.Log(sum), likely)-f.sum())
}

// cutAcross says that the fruit of a tray were cut so, as far as can be seen: by the shape of what looks like halves, and by the cores of
// those that teach.
func cutAcross(fs, teach []face) bool {
	var lengthwise, across, n float64
	for i := range fs {
		if fs[i].alone() >= fewAlone {
			lengthwise += fs[i].lengthwise
			n++
		}
	}
	for i := range teach {
		across += teach[i].across
	}
	return lengthwise < allLengthwise*n && across >= allUncut*float64(len(teach))
}

// notchReach is how far, in bearings, a notch may reach, or the opposite one lie off.
const notchReach = bearings / 8

// notches are the dents in the outline of a face.
type notches struct {
	deepest  float64 // how far it lies below the convex hull, in radii
	opposite float64 // how far the deepest one lies on the other side of the face
	edge     float64 // how clear an edge the deepest has, 0 to 1, less half of what lies where the hull is
}

// notched follows the outline with index i once more, wherever edge and colours lead: the shape that outlines
// are else held to has no notches.
func notched(p *picture, l lessons, g *ring, i int) notches {
	const (
		depth     = 64
		from, to  = -0.3, 0.15 // radii from the smooth shape
		step      = (to - from) / depth
		span      = 0.025 // radii whose means are compared
		perRadius = 16    // weight of the colours along one radius against one clear edge
		stiff     = 0.08
	)
	m, shape, o := g.radius(), g.smooth(3), l.own(i)
	dr := step * m
	gain := newGrid(bearings, depth)
	along, pixels := newRay(depth), make([]int32, depth)
	for b := range gain.rows {
		within := p.walk(g.x, g.y, b, shape.r[b]+from*m+dr/2, dr, pixels)
		along.over(p, pixels)
		row := gain.row(b)
		along.steps(int(math.Round(span/step)), row)
		var sum float32
		for k := range row {
			row[k] = min(row[k]/clearEdge, 1) + sum
			if k >= within {
				continue
			}
			colour := o[p.code[pixels[k]]]
			if inAnother(l.owner[pixels[k]], i) {
				colour = -surest
			}
			sum += colour * float32(step*perRadius)
		}
	}
	free := ring{x: g.x, y: g.y}
	for b, d := range closedPath(gain, mostReach, stiff) {
		free.r[b] = shape.r[b] + (from+float64(d)*step)*m
	}
	return free.notches(p)
}

// notches looks for them all around a ring.
func (g *ring) notches(p *picture) (n notches) {
	dents := g.dents()
	deepest := 0
	for b, d := range dents {
		if d > dents[deepest] {
			deepest = b
		}
	}
	for k := -notchReach; k <= notchReach; k++ {
		n.opposite = max(n.opposite, dents[(deepest+k+3*bearings/2)%bearings])
	}
	n.deepest = dents[deepest]
	n.edge = g.notchEdge(p, &dents, deepest)
	return n
}

// dents is how far every point of a ring lies below its convex hull, in radii (Graham 1972: the points are in the order of
// their bearings already).
func (g *ring) dents() (out [bearings]float64) {
	at := g.corners(g.x, g.y)
	turn := func(a, b, c int) float64 {
		return (at[b][0]-at[a][0])*(at[c][1]-at[a][1]) - (at[b][1]-at[a][1])*(at[c][0]-at[a][0])
	}
	farthest := 0
	for b, r := range g.r {
		if r > g.r[farthest] {
			farthest = b
		}
	}
	hull := []int{farthest}
	for k := 1; k <= bearings; k++ {
		b := (farthest + k) % bearings
		for n := len(hull); n > 1 && turn(hull[n-2], hull[n-1], b) <= 0; n-- {
			hull = hull[:n-1]
		}
		hull = append(hull, b)
	}
	m := g.radius()
	for i, from := range hull[:len(hull)-1] {
		to := hull[i+1]
		chord := math.Hypot(at[to][0]-at[from][0], at[to][1]-at[from][1])
		for b := (from + 1) % bearings; b != to; b = (b + 1) % bearings {
			out[b] = max(0, turn(from, to, b)) / (chord * m)
		}
	}
	return out
}

// notchEdge looks outward across the dent that is deepest at a bearing.
func (g *ring) notchEdge(p *picture, dents *[bearings]float64, deepest int) float64 {
	const (
		depth  = 48
		deep   = 0.6  // of the deepest, that bearings count from
		in     = 0.06 // where to begin and
		beyond = 0.05 // where to end, in radii from the dent and from the hull
		span   = 0.025
		astray = 0.015 // how far the edge may lie from the outline
	)
	m := g.radius()
	along, pixels, steps := newRay(depth), make([]int32, depth), make([]float32, depth)
	sum, n := 0.0, 0
	for k := -notchReach; k <= notchReach; k++ {
		b := (deepest + k + bearings) % bearings
		step := (in + dents[b] + beyond) / depth
		if dents[b] < deep*dents[deepest] || p.walk(g.x, g.y, b, g.r[b]+(step/2-in)*m, step*m, pixels) < depth {
			continue
		}
		along.over(p, pixels)
		along.steps(max(1, int(math.Round(span/step))), steps)
		var here, hull float32
		for j, v := range steps {
			switch at := step*float64(j) - in; {
			case math.Abs(at) < astray:
				here = max(here, v)
			case at > astray+span: // no more of its own edge
				hull = max(hull, v)
			}
		}
		sum += float64(min(here/clearEdge, 1) - min(hull/clearEdge, 1)/2)
		n++
	}
	return sum / float64(max(n, 1))
}
