package locate

import (
	"math"
	"slices"

	"traystage/vision/internal/parallel"
)

// face is a face as far as it is known.
type face struct {
	ring
	core    core
	clipped bool    // cut off by the frame
	across  float64 // what its core says of having been cut across
	skin    float64 // cueSkin
	// lengthwise is the natural logarithm of how much likelier it was cut through stem and calyx than across.
	lengthwise float64
	counted    bool // a half as so many were counted
	evidence        // that it is a half
}

const (
	leastSupport = 0.50 // of an outline worth looking into
	clearEdge    = 16   // CIELAB units from which an edge is as clear as any
)

// follow draws a rough outline around every candidate and weighs what is seen of it.
func follow(p *picture, cands []candidate) []face {
	all, seen := make([]face, len(cands)), make([]bool, len(cands))
	parallel.Each(len(cands), func(i int) {
		if g, support := roughRing(p, cands[i]); support >= leastSupport {
			all[i] = weigh(p, g)
			seen[i] = all[i].sum() >= possible
		}
	})
	var out []face
	for i, f := range all {
		if seen[i] {
			out = append(out, f)
		}
	}
	return out
}

// weigh looks for the core within an outline and at everything else that tells a half.
func weigh(p *picture, g ring) face {
	x, y := g.centroid()
	f := face{ring: g, core: findCore(p, x, y, g.radius())}
	f.clipped = f.cutOff(p)
	seen := witness(p, &f)
	f.evidence, f.across, f.skin = seen.evidence(), seen.across(), seen[cueSkin]
	return f
}

// roughRing follows the clearest closed edge near a candidate circle. Support
// is the share of bearings, in [0, 1], weighted by how clear the edge is.
func roughRing(p *picture, c candidate) (g ring, support float64) {
	const stride, depth = 4, 44
	inner, outer := 0.7*c.r, 1.35*c.r
	dr := (outer - inner) / depth
	span := max(2, int(math.Round(0.05*c.r/dr)))
	gain := newGrid(bearings/stride, depth)
	along, pixels := newRay(depth), make([]int32, depth)
	for b := range gain.rows {
		p.walk(c.x, c.y, b*stride, inner+dr/2, dr, pixels)
		along.over(p, pixels)
		row := gain.row(b)
		along.steps(span, row)
		for k := range row {
			row[k] = min(row[k], clearEdge) / clearEdge
		}
	}
	path := closedPath(gain, 3, 0.05)
	g = ring{x: c.x, y: c.y}
	for b, k := range path {
		g.r[b*stride] = inner + float64(k)*dr
		support += float64(gain.row(b)[k]) / float64(gain.rows)
	}
	g.fill(stride)
	return g, support
}

// distinct adds to the faces taken those of the outlines that lie clear of them and of each other,
// the best first.
func distinct(taken, rough []face) []face {
	best := slices.Clone(rough)
	slices.SortStableFunc(best, func(a, b face) int { return cmpDown(a.sum(), b.sum()) })
	out := slices.Clone(taken)
	for _, f := range best {
		if apart(f, out) {
			out = append(out, f)
		}
	}
	return out
}

// overlap is how near, in sums of radii, the centres of two halves may come: they touch at 1.
const overlap = 0.75

// apart says whether a face lies clear of those already taken.
func apart(f face, taken []face) bool {
	for i := range taken {
		o := &taken[i]
		if math.Hypot(f.x-o.x, f.y-o.y) < overlap*(f.radius()+o.radius()) || o.contains(f.core.x, f.core.y, 0.9) {
			return false
		}
	}
	return true
}

func ringsOf(fs []face) []ring {
	out := make([]ring, len(fs))
	for i, f := range fs {
		out[i] = f.ring
	}
	return out
}

// faceShare is the share of the colours inside and just outside the outline
// that are likelier face than ground.
func faceShare(p *picture, o odds, g *ring) (in, out float64) {
	share := func(from, to float64) float64 {
		var yes, all float64
		for b := 0; b < bearings; b += 2 {
			for rho := from; rho < to; rho += 0.025 {
				x, y := g.x+rho*g.r[b]*cosines[b], g.y+rho*g.r[b]*sines[b]
				if !p.inside(x, y) {
					continue
				}
				all += rho
				if o[p.code[p.index(x, y)]] > 0 {
					yes += rho
				}
			}
		}
		return yes / math.Max(all, 1)
	}
	return share(0.35, 0.95), share(1.05, 1.2)
}

// sharpen follows every outline again with what the tray has taught: the path
// that leaves the most face inside and the most ground outside, along a clear
// edge, close to the smooth shape of the last outline.
func sharpen(p *picture, fs []face, l lessons) []face {
	out := slices.Clone(fs)
	parallel.Each(len(out), func(i int) { out[i].ring = resharpen(p, l, fs[i].ring, i, 1) })
	return out
}

// redraw draws the outline with index i again with what the tray has taught, at every stride-th bearing.
type redraw func(p *picture, l lessons, g ring, i, stride int) ring

// warily redraws an outline unless it becomes another one that is less likely a half's: on a dark tray dark stain has the colours of the ground, and
// only the skin tells where the face ends.
func warily(p *picture, l lessons, g ring, i, stride int) ring {
	out := resharpen(p, l, g, i, stride)
	if math.Abs(math.Log(out.radius()/g.radius())) < math.Log(sizeRatio) {
		return out
	}
	if before, after := weigh(p, g), weigh(p, out); before.alone() > after.alone() {
		return g
	}
	return out
}

// resharpen redraws an outline wherever edge and colours lead.
func resharpen(p *picture, l lessons, g ring, i, stride int) ring {
	const (
		depth       = 80
		perRadius   = 24   // weight of the colours along one radius against one clear edge
		shapeGiven  = 0.04 // how far an outline may leave its smooth shape, in radii
		shapeWeight = 0.3
	)
	m, o := g.radius(), l.own(i)
	inner, dr := 0.6*m, 0.9*m/depth
	span := max(2, int(math.Round(0.025*m/dr)))
	weight := float32(dr / m * perRadius)
	shape := g.smooth(4)
	gain := newGrid(bearings/stride, depth)
	along, pixels := newRay(depth), make([]int32, depth)
	for k := range gain.rows {
		b := k * stride
		within := p.walk(g.x, g.y, b, inner+dr/2, dr, pixels)
		along.over(p, pixels)
		row := gain.row(k)
		along.steps(span, row)
		var sum float32
		for k := range row {
			off := float32((inner + float64(k)*dr - shape.r[b]) / (m * shapeGiven)) // from where point k begins
			row[k] = min(row[k]/clearEdge, 1) + sum - shapeWeight*min(off*off, 9)
			if k >= within {
				continue
			}
			at := pixels[k]
			colour := o[p.code[at]]
			if inAnother(l.owner[at], i) {
				colour = -surest // another half's face
			}
			sum += colour * weight
		}
	}
	out := ring{x: g.x, y: g.y}
	for k, d := range closedPath(gain, 1+stride, 0.6) {
		out.r[k*stride] = inner + float64(d)*dr
	}
	out.fill(stride)
	return out
}
