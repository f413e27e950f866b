package stain

import (
	"math"
	"slices"
)

// A patch of sun ends on many a tray. The ground around the faces has two brightnesses then, and tells how much
// darker the shade makes all that lies in it. Faces in it, and parts of faces on which it is seen to end, are read as if they lay in the sun.

const (
	groundShare = 0.1  // of all the ground seen must lie in the sun, and in the shade
	gapShare    = 0.06 // of it at most lies in between, a third of the way from either: a shadow's edge is narrow
	wholly      = 0.8  // of the ground around a face lies in the shade where the face does: halves shade it too
	partly      = 0.25 // of it where the shade may end on the face
	warmest     = 0.03 // log10 by which blue may be darkened more than red, by noise
	evenest     = 0.5  // of the depth in one band is seen in every other: a lamp on the tray or another tray is not so
)

// shadowByGround finds the shadow by the ground around the faces; false where there is none, or what is darker is warmer too, as
// shade is not: light of the sky alone is bluer than that of the sun.
func (m Model) shadowByGround(rings [][]sample) (*shadow, bool) {
	lit, dark, ok := parted(slices.Concat(rings...))
	s := newShadow(len(rings))
	for band := range s.depth {
		s.depth[band] = lit[band] - dark[band]
	}
	if !ok || s.depth[0] < m.DeepestShade*2/3 || s.depth[2] > s.depth[0]+warmest || slices.Min(s.depth[:]) < evenest*slices.Max(s.depth[:]) {
		return s, false
	}
	s.half = brightness(lit)/2 + brightness(dark)/2
	s.sunny, s.onGround = brightest(lit), brightest(lit)-brightest(dark)
	sun := 0
	for i, ring := range rings {
		n := 0
		for _, p := range ring {
			if brightness(p.c) < s.half {
				n++
			}
		}
		share := float64(n) / math.Max(float64(len(ring)), 1)
		s.over[i] = share >= wholly
		s.edge[i] = !s.over[i] && share >= partly
		if !s.over[i] {
			sun++
		}
	}
	return s, sun >= fewestLit && (slices.Contains(s.over, true) || slices.Contains(s.edge, true))
}

func brightness(c [3]float64) float64 { return (c[0] + c[1] + c[2]) / 3 }

// parted parts samples into bright and dark ones and gives the middle of each;
// false where one of them is few or there is no gap: light that fades away has none.
func parted(of []sample) (lit, dark [3]float64, ok bool) {
	sorted := make([]float64, len(of))
	for i, p := range of {
		sorted[i] = brightness(p.c)
	}
	slices.Sort(sorted)
	at, n := split(sorted), float64(len(of))
	if least := groundShare * n; at == 0 || float64(at) < least || n-float64(at) < least {
		return lit, dark, false
	}
	darker, lighter := sorted[(at-1)/2], sorted[(at+len(of)-1)/2]
	third := (lighter - darker) / 3
	from, _ := slices.BinarySearch(sorted, darker+third)
	to, _ := slices.BinarySearch(sorted, lighter-third)
	if float64(to-from) >= gapShare*n {
		return lit, dark, false
	}
	in := [2][]sample{}
	for _, p := range of {
		side := 0
		if brightness(p.c) >= sorted[at] {
			side = 1
		}
		in[side] = append(in[side], p)
	}
	return middleOf(in[1]), middleOf(in[0]), true
}

// split is how many of values, the least first, are low where that leaves high and low ones most alike among themselves (Otsu 1979).
func split(sorted []float64) (at int) {
	sum, below, most := 0.0, 0.0, 0.0
	for _, v := range sorted {
		sum += v
	}
	for k := 1; k < len(sorted); k++ {
		below += sorted[k-1]
		low, high := float64(k), float64(len(sorted)-k)
		if between := low * high * sq((sum-below)/high-below/low); between > most {
			at, most = k, between
		}
	}
	return at
}

// middleOf is the middle of each band.
func middleOf(of []sample) (c [3]float64) {
	for band := range c {
		values := make([]float64, len(of))
		for i, p := range of {
			values[i] = p.c[band]
		}
		c[band] = quantile(values, 0.5)
	}
	return c
}
