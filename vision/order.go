package vision

import (
	"cmp"
	"math"
	"slices"

	"traystage/vision/internal/locate"
)

const (
	mostRoll = 16.0 // degrees the tray may lie turned on the photo and still be read row by row
	rowDepth = 1.0  // a row is this deep, in radii, from its topmost half
)

// inReadingOrder sorts faces into rows, top to bottom, each left to right. A
// tray photographed slightly rotated has slanting rows: of the angles tried,
// the one that gives the fewest and straightest rows is taken.
func inReadingOrder(fs []locate.Face) []locate.Face {
	refs := make([]*locate.Face, len(fs))
	for i := range fs {
		refs[i] = &fs[i]
	}
	best, order := math.Inf(1), refs
	for _, step := range outward(int(mostRoll)) {
		rows, bend := rowsAt(refs, float64(step)*math.Pi/180)
		// A row more costs as much as a half a radius out of line; the angle itself
		// only decides between equals.
		cost := bend + float64(len(rows)) + 0.5*math.Abs(float64(step))/mostRoll
		if cost < best {
			best, order = cost, slices.Concat(rows...)
		}
	}
	out := make([]locate.Face, len(order))
	for i, f := range order {
		out[i] = *f
	}
	return out
}

// outward counts 0, 1, -1, 2, -2 and so on up to n.
func outward(n int) []int {
	out := []int{0}
	for i := 1; i <= n; i++ {
		out = append(out, i, -i)
	}
	return out
}

// rowsAt sorts faces into the rows of a tray turned by roll (radians, clockwise
// as seen). bend is how far halves lie off the middle of their rows: the sum of squares, in radii.
func rowsAt(fs []*locate.Face, roll float64) (rows [][]*locate.Face, bend float64) {
	sin, cos := math.Sincos(roll)
	along := func(f *locate.Face) float64 { return f.Core.X*cos + f.Core.Y*sin }
	down := func(f *locate.Face) float64 { return f.Core.Y*cos - f.Core.X*sin }
	left := slices.SortedFunc(slices.Values(fs), func(a, b *locate.Face) int { return cmp.Compare(down(a), down(b)) })
	for len(left) > 0 {
		n := 1
		for n < len(left) && down(left[n]) < down(left[0])+rowDepth*left[0].Radius {
			n++
		}
		row := slices.SortedFunc(slices.Values(left[:n]), func(a, b *locate.Face) int { return cmp.Compare(along(a), along(b)) })
		mean := 0.0
		for _, f := range row {
			mean += down(f) / float64(n)
		}
		for _, f := range row {
			off := (down(f) - mean) / f.Radius
			bend += off * off
		}
		rows = append(rows, row)
		left = left[n:]
	}
	return rows, bend
}
