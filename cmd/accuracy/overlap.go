package main

import (
	"math"
	"slices"

	"traystage/vision"
)

// iou is the area that two outlines share divided by the area that either
// covers, in [0, 1], counted inside a frame of width by height pixels only. It
// is exact for polygons, whichever way they turn.
func iou(a, b []vision.Point, width, height float64) float64 {
	a, b = clip(a, width, height), clip(b, width, height)
	if !boxesMeet(a, b) {
		return 0
	}
	shared := common(a, b)
	either := area(a) + area(b) - shared
	if either <= 0 {
		return 0
	}
	return shared / either
}

// common is the area inside both polygons. The plane is cut into horizontal
// slabs at every corner and every crossing of two edges: within a slab no edge
// starts, ends or crosses another, so widths change linearly with y and the
// width half way up times the height is the exact area.
func common(a, b []vision.Point) float64 {
	levels := levels(append(edges(a), edges(b)...))
	sum := 0.0
	for i := 1; i < len(levels); i++ {
		y := (levels[i-1] + levels[i]) / 2
		sum += sharedLength(spans(a, y), spans(b, y)) * (levels[i] - levels[i-1])
	}
	return sum
}

// area is the area that a polygon covers, by the even-odd rule, so that an
// outline that crosses itself has no negative parts.
func area(p []vision.Point) float64 { return common(p, p) }

type edge struct{ from, to vision.Point }

func edges(p []vision.Point) []edge {
	out := make([]edge, len(p))
	for i := range p {
		out[i] = edge{p[i], p[(i+1)%len(p)]}
	}
	return out
}

// levels are the y of all corners and crossings, ascending, each once.
func levels(es []edge) []float64 {
	var ys []float64
	for i, e := range es {
		ys = append(ys, e.from.Y)
		for _, f := range es[:i] {
			if y, ok := crossing(e, f); ok {
				ys = append(ys, y)
			}
		}
	}
	slices.Sort(ys)
	return slices.Compact(ys)
}

// crossing is the y at which two edges cross; false when they do not or are
// parallel.
func crossing(e, f edge) (float64, bool) {
	if math.Max(e.from.Y, e.to.Y) < math.Min(f.from.Y, f.to.Y) || math.Max(f.from.Y, f.to.Y) < math.Min(e.from.Y, e.to.Y) ||
		math.Max(e.from.X, e.to.X) < math.Min(f.from.X, f.to.X) || math.Max(f.from.X, f.to.X) < math.Min(e.from.X, e.to.X) {
		return 0, false
	}
	ux, uy := e.to.X-e.from.X, e.to.Y-e.from.Y
	vx, vy := f.to.X-f.from.X, f.to.Y-f.from.Y
	det := ux*vy - uy*vx
	if det == 0 {
		return 0, false
	}
	dx, dy := f.from.X-e.from.X, f.from.Y-e.from.Y
	s, t := (dx*vy-dy*vx)/det, (dx*uy-dy*ux)/det
	if s < 0 || s > 1 || t < 0 || t > 1 {
		return 0, false
	}
	return e.from.Y + s*uy, true
}

// spans are the x at which the line at height y enters and leaves the polygon,
// in turn. No corner lies at y.
func spans(p []vision.Point, y float64) []float64 {
	var xs []float64
	for i := range p {
		a, b := p[i], p[(i+1)%len(p)]
		if (a.Y > y) != (b.Y > y) {
			xs = append(xs, a.X+(y-a.Y)/(b.Y-a.Y)*(b.X-a.X))
		}
	}
	slices.Sort(xs)
	return xs
}

// sharedLength is the length on which two lists of spans overlap.
func sharedLength(a, b []float64) float64 {
	sum := 0.0
	for i, j := 0, 0; i+1 < len(a) && j+1 < len(b); {
		if lo, hi := math.Max(a[i], b[j]), math.Min(a[i+1], b[j+1]); hi > lo {
			sum += hi - lo
		}
		if a[i+1] < b[j+1] {
			i += 2
		} else {
			j += 2
		}
	}
	return sum
}

// clip cuts a polygon to the frame, side by side (Sutherland and Hodgman,
// Reentrant polygon clipping, 1974).
func clip(p []vision.Point, width, height float64) []vision.Point {
	for _, depth := range []func(vision.Point) float64{
		func(q vision.Point) float64 { return q.X },
		func(q vision.Point) float64 { return width - q.X },
		func(q vision.Point) float64 { return q.Y },
		func(q vision.Point) float64 { return height - q.Y },
	} {
		p = clipSide(p, depth)
	}
	return p
}

// clipSide keeps the part of the polygon whose depth inside one side of the
// frame is not negative.
func clipSide(p []vision.Point, depth func(vision.Point) float64) []vision.Point {
	var out []vision.Point
	for i, b := range p {
		a := p[(i+len(p)-1)%len(p)]
		da, db := depth(a), depth(b)
		if (da < 0) != (db < 0) {
			t := da / (da - db)
			out = append(out, vision.Point{X: a.X + t*(b.X-a.X), Y: a.Y + t*(b.Y-a.Y)})
		}
		if db >= 0 {
			out = append(out, b)
		}
	}
	return out
}

func boxesMeet(a, b []vision.Point) bool {
	if len(a) < 3 || len(b) < 3 {
		return false
	}
	a0, a1 := box(a)
	b0, b1 := box(b)
	return a0.X < b1.X && b0.X < a1.X && a0.Y < b1.Y && b0.Y < a1.Y
}

// box is the smallest upright rectangle around the points.
func box(p []vision.Point) (low, high vision.Point) {
	low, high = p[0], p[0]
	for _, q := range p[1:] {
		low.X, low.Y = math.Min(low.X, q.X), math.Min(low.Y, q.Y)
		high.X, high.Y = math.Max(high.X, q.X), math.Max(high.Y, q.Y)
	}
	return low, high
}
