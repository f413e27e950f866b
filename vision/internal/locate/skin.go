package locate

import (
	"math"

	"traystage/vision/internal/parallel"
)

// The cut face ends with a thin ring of skin. The outline runs along the outer
// edge of that ring; where the side of the half shows behind it there is no
// outer edge to see, and the width that the rest of the tray shows is used.

// A rim is the neighbourhood of an outline unrolled along it, from rimInner to
// rimOuter, in shares of the radius outward from the outline. Where the side of a half shows the outline
// may run along its far edge, up to a tenth of the radius outside the cut face.
const (
	rimInner  = -0.10
	rimOuter  = 0.10
	rimDepths = 80
	rimStep   = (rimOuter - rimInner) / rimDepths

	clearRim = 6 // CIELAB units from which an edge of the skin ring is as clear as any
)

// rimPrior is what a ring of skin that begins at each depth has against it:
// about where the outline runs it is to be expected.
var rimPrior [rimDepths]float32

func init() {
	for k := range rimPrior {
		off := (rimDepth(k) - 0.005) / 0.06
		rimPrior[k] = float32(0.25 * off * off)
	}
}

func rimDepth(k int) float64 { return rimInner + float64(k)*rimStep }

// rim is what can be seen along an outline.
type rim struct {
	crests grid // how clear an edge is where it is clearest along its bearing, 0 to 1
	tray   grid // how much of the bearing up to here shows the tray
	rises  grid // how much lighter it is outward of each point, 0 to 1
}

// lookAlong unrolls the rim of g. trayWeight turns the share of a radius that
// shows the tray into the units of a clear edge.
func lookAlong(p *picture, g ring, tray odds) rim {
	const trayWeight = 6
	m := g.radius()
	span := int(math.Round(math.Max(0.010, 1/m) / rimStep))
	out := rim{newGrid(bearings, rimDepths), newGrid(bearings, rimDepths), newGrid(bearings, rimDepths)}
	along, pixels := newRay(rimDepths), make([]int32, rimDepths)
	row := make([]float32, rimDepths)
	for b := range bearings {
		r0 := g.r[b] + m*(rimInner+rimStep/2)
		along.between(p, g.x, g.y, b, r0, m*rimStep)
		along.steps(span, row)
		crests(row, out.crests.row(b))
		along.rises(span, out.rises.row(b))
		within := p.walk(g.x, g.y, b, r0, m*rimStep, pixels)
		var sum float32
		seen := out.tray.row(b)
		for k := range seen {
			seen[k] = sum
			if k < within {
				sum += tray[p.code[pixels[k]]] * rimStep * trayWeight
			}
		}
	}
	return out
}

// crests keeps of every step only how clear its crest is, a point wide to either
// side, so that one edge cannot pass for two.
func crests(row, out []float32) {
	const reach = 3
	clear(out)
	for k, v := range row {
		top := true
		for j := max(0, k-reach); j <= min(len(row)-1, k+reach); j++ {
			if row[j] > v || row[j] == v && j < k {
				top = false
				break
			}
		}
		if !top {
			continue
		}
		for j := max(0, k-1); j <= min(len(row)-1, k+1); j++ {
			out[j] = max(out[j], min(row[j]/clearRim, 1))
		}
	}
}

// ringGain is, for every point of the rim, how well a ring of skin of the given
// width (shares of the radius) would begin there: an edge at its inner side and
// one at its outer side, and no tray within.
func (s rim) ringGain(width float64, stride int) grid {
	n := min(int(math.Round(width/rimStep)), rimDepths)
	gain := newGrid(bearings/stride, rimDepths)
	for b := range gain.rows {
		row, seen, out := s.crests.row(b*stride), s.tray.row(b*stride), gain.row(b)
		for k := range out {
			out[k] = row[k] - rimPrior[k]
		}
		for k := range out[:rimDepths-n] {
			out[k] += row[k+n] - seen[k+n]
		}
		// Of a ring that reaches beyond what was looked at, the tray counts up to there.
		for k := rimDepths - n; k < rimDepths; k++ {
			out[k] -= seen[rimDepths-1]
		}
	}
	return gain
}

// seenWidth is how far apart the edges of a ring of skin appear, in shares of
// the radius: blur pushes the edges of a thin ring apart, and those of a ring
// of no width would still be two standard deviations of the blur apart. width is the
// true width in the same unit, radius that of the face in pixels.
func seenWidth(width, radius float64) float64 {
	const blur = 2.0 // two standard deviations of lens, resampling and edge filter together, px
	return math.Hypot(width, blur/radius)
}

// skinWidth is the width of the skin ring that suits all halves of the tray
// best, in shares of the radius. radii are those of the halves in pixels.
func skinWidth(rims []rim, radii []float64) float64 {
	const (
		stride = 4
		// About 0.7 mm of skin on a fruit of 70 to 80 mm, seldom under half or over
		// twice of it (common practice, no source).
		usual, spread = 0.020, 0.20
	)
	widths := [...]float64{0.010, 0.0125, 0.016, 0.020, 0.025, 0.032, 0.040}
	totals := make([][len(widths)]float64, len(rims))
	parallel.Each(len(rims), func(i int) {
		for t, w := range widths {
			_, totals[i][t] = openPath(rims[i].ringGain(seenWidth(w, radii[i]), stride), 3, 0.02)
		}
	})
	best, width := math.Inf(-1), usual
	for t, w := range widths {
		d := math.Log(w/usual) / spread
		total := -0.02 * d * d * float64(bearings/stride*len(rims))
		for i := range totals {
			total += totals[i][t]
		}
		if total > best {
			best, width = total, w
		}
	}
	return width
}

// edges gives the flesh edge and the outline, as offsets from the ring that the
// rim was unrolled along, in shares of the radius. seen is the width at which
// the two edges of the skin ring appear, width what it is.
func (s rim) edges(seen, width float64) (flesh, outline [bearings]float64) {
	inner := closedPath(s.ringGain(seen, 1), 3, 0.02)
	gain := newGrid(bearings, rimDepths)
	for b := range bearings {
		row, out := s.crests.row(b), gain.row(b)
		for k := range out {
			off := (float32(k-inner[b])*rimStep - float32(seen)) / 0.006
			out[k] = row[k] - 0.5*off*off
		}
	}
	outer := closedPath(gain, 3, 0.05)
	for b := range bearings {
		in, out := rimDepth(inner[b]), rimDepth(outer[b])
		// Where both edges are seen the middle between them is sure, as blur pushes them apart
		// alike. Where the side of the half hides the outer one, or skin has the look of
		// flesh, the one edge that is seen is where it appears.
		i, o := sight(s.crests.row(b)[inner[b]]), sight(s.crests.row(b)[outer[b]])
		both, one, other := i*o, i*(1-o), (1-i)*o
		if both+one+other == 0 {
			both = 1
		}
		outline[b] = (both*((in+out)/2+width/2) + one*(in+width) + other*out) / (both + one + other)
		// Stain that ends in one edge against something light may end at skin that looks like the tray or
		// like itself: the flesh is taken to end half way.
		unsure := other / (both + one + other) * float64(s.rises.row(b)[outer[b]])
		flesh[b] = outline[b] - width*(1-unsure/2)
	}
	return flesh, outline
}

// sight is how surely an edge of the skin is seen where it is so clear, 0 to 1.
func sight(crest float32) float64 {
	const clear = 0.4
	return math.Min(1, float64(crest)/clear)
}

// moved is the outline offset by shares of the radius.
func (g ring) moved(by [bearings]float64) ring {
	m := g.radius()
	out := g
	for b := range by {
		out.r[b] += m * by[b]
	}
	return out
}
