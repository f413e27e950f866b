package locate

import (
	"math"
	"slices"

	"traystage/vision/internal/parallel"
)

const (
	// jagged is the roughness from which a sharpened outline is not that of a fruit:
	// on tuning trays 98 in 100 outlines along the skin stay below 0.0083, those along
	// the inner edge of a ring of stain begin at 0.011.
	jagged = 0.010
	// uneven is the roughness from which a part of an outline may be such an edge: 0.0045
	// to 0.006 do.
	uneven = 0.0055
	// skinSupport is how clear the skin must be around a ring of stain, evenSupport where
	// most of the outline lies along the skin already.
	skinSupport, evenSupport = 0.30, 0.50
	// evenLarger is how much larger an outline has to become to be moved, in radii, farLarger how much
	// where it leaves its own edge altogether.
	evenLarger, farLarger = 0.005, 0.03
	// ownSupport is how clear an outline's own edge is that is never left for another: uneven ones of
	// tuning trays have 0.7 to 0.97 along the skin, those along stain 0.5 to 0.7.
	ownSupport = 0.75
)

// beyond gives outlines that are not smooth another try. Where stain and tray are of one
// colour, palettes take a ring of stain for ground, and the outline follows
// the grains of starch at its inner edge, all around or in places. The edge of the fruit is then
// the clearest smooth one outside. It says whether any outline has moved.
func beyond(p *picture, fs []face, owner []uint8) bool {
	moved := make([]bool, len(fs))
	parallel.Each(len(fs), func(i int) {
		g := fs[i].ring
		switch rough := g.roughness(); {
		case rough >= jagged:
			skin, support := smoothOutside(p, g, owner, i, 0.35, false)
			moved[i] = support >= skinSupport
			g = skin
		case rough >= uneven:
			skin, support := smoothOutside(p, g, owner, i, 0.10, true)
			larger := evenLarger
			// All of the outline may be such an edge: then one farther out is the clearer.
			if far, more := smoothOutside(p, g, owner, i, 0.35, false); support < ownSupport && more > support {
				skin, support, larger = far, more, farLarger
			}
			moved[i] = support >= evenSupport && skin.radius() > (1+larger)*g.radius()
			g = skin
		}
		if moved[i] {
			fs[i].ring = g
		}
	})
	return slices.Contains(moved, true)
}

// smoothOutside follows the clearest smooth edge outside the outline g with
// index i, or along it where its own edge counts, up to so many radii outside its
// smooth shape. Support is the share of bearings, in [0, 1], weighted by how clear the edge is.
func smoothOutside(p *picture, g ring, owner []uint8, i int, to float64, own bool) (skin ring, support float64) {
	const (
		stride, depth = 2, 64
		from          = -0.05
		stiff         = 0.3
	)
	m, shape := g.radius(), g.smooth(4)
	dr := (to - from) * m / depth
	span := max(2, int(math.Round(0.025*m/dr)))
	gain := newGrid(bearings/stride, depth)
	along, pixels := newRay(depth), make([]int32, depth)
	for k := range gain.rows {
		b := k * stride
		inner := shape.r[b] + from*m
		within := p.walk(g.x, g.y, b, inner+dr/2, dr, pixels)
		along.over(p, pixels)
		row := gain.row(k)
		along.steps(span, row)
		least := g.r[b] + float64(span)*dr // how far the outline's own edge reaches
		if own {
			least = g.r[b] - float64(span)*dr
		}
		for k := range row {
			row[k] = min(row[k]/clearEdge, 1)
			if inner+float64(k)*dr < least || k >= within || inAnother(owner[pixels[k]], i) {
				row[k] = 0
			}
		}
	}
	skin = ring{x: g.x, y: g.y}
	for k, d := range closedPath(gain, 2, stiff) {
		b := k * stride
		skin.r[b] = shape.r[b] + from*m + float64(d)*dr
		support += float64(gain.row(k)[d]) / float64(gain.rows)
	}
	skin.fill(stride)
	return skin, support
}
