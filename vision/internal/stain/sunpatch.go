package stain

import (
	"math"
	"slices"
)

// A patch of sun ends on many a tray. The ground around the faces has two brightnesses then, and tells how much
// darker the shade makes all that lies in it. Faces in it, and parts of faces on which it is seen to end, are read as if they lay in the sun.

// shadow is a shadow that lies over part of the tray.
type shadow struct {
	depth    [3]float64 // how much darker it makes red, green and blue, log10
	over     []bool     // the faces that lie in it wholly
	edge     []bool     // the faces on which it may end
	ends     [][]ending // where it ends on each face
	half     float64    // brightness of the ground between sun and shade, log10
	settled  []bool     // the faces of which its edges tell whether they lie in it
	sunny    float64    // red of the ground in the sun, log10
	onGround float64    // how much darker it makes that
}

// newShadow is a shadow over none of n faces.
func newShadow(n int) *shadow {
	return &shadow{over: make([]bool, n), edge: make([]bool, n), ends: make([][]ending, n), settled: make([]bool, n)}
}

const (
	groundShare = 0.1  // of all the ground seen must lie in the sun, and in the shade
	gapShare    = 0.06 // of it at most lies in between, a third of the way from either: a shadow's edge is narrow
	wholly      = 0.8  // of the ground around a face lies in the shade where the face does: halves shade it too
	partly      = 0.25 // of it where the shade may end on the face
	warmest     = 0.03 // log10 by which blue may be darkened more than red, by noise
	evenest     = 0.5  // of the depth in one band is seen in every other: a lamp on the tray or another tray is not so
	fewestLit   = 2    // faces in the sun, by which flesh in the shade is known
)

// shadowOn finds the shadow by the ground around the faces; false where there is none, or what is darker is warmer too, as
// shade is not: light of the sky alone is bluer than that of the sun.
func (m Model) shadowOn(rings [][]sample) (*shadow, bool) {
	lit, dark, ok := parted(slices.Concat(rings...))
	s := newShadow(len(rings))
	for band := range s.depth {
		s.depth[band] = lit[band] - dark[band]
	}
	if !ok || s.depth[0] < m.DeepestShade*2/3 || s.depth[2] > s.depth[0]+warmest || slices.Min(s.depth[:]) < evenest*slices.Max(s.depth[:]) {
		return s, false
	}
	s.half = brightness(lit)/2 + brightness(dark)/2
	s.sunny, s.onGround = lit[0], s.depth[0]
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

// lifted is the lights of faces of which those in the shadow are seen as if they were not; false where that is not so, as where they
// lie on another ground: where few of those are as bright as clear flesh then, or few of those in the sun. Where it is seen to end it is so.
func (m Model) lifted(s *shadow, faces []Face, all [][]sample, ground []float64, under float64) ([]light, bool) {
	m.leave(s, faces, all, under)
	all, ground = slices.Clone(all), slices.Clone(ground)
	for i := range all {
		switch {
		case s.settled[i]:
			ground[i] = s.sunny
		case s.over[i]:
			ground[i] += s.onGround
		}
		all[i] = s.inSun(i, all[i])
	}
	ls, t, of := m.lightsOf(faces, all, ground, under)
	if !t.seen {
		return nil, false
	}
	var n, clear [2]int // faces in the sun and, by the ground, in the shade, and those as bright as clear flesh
	for i, in := range s.over {
		where := 0
		if in {
			for band := range ls[i].level {
				ls[i].level[band] -= s.depth[band]
			}
			if !s.settled[i] {
				where = 1
			}
		}
		ls[i].ends, ls[i].depth, ls[i].penumbra = s.ends[i], s.depth, s.inPenumbra(i, all[i])
		if s.edge[i] {
			ls[i].edge = m.maybeShaded(s, t, faces[i], of[i])
		}
		n[where]++
		if m.expected(t, faces[i], of[i]) >= 0 {
			clear[where]++
		}
	}
	ends := slices.ContainsFunc(s.ends, func(e []ending) bool { return len(e) > 0 })
	return ls, clear[0] >= fewestLit && (ends || 2*clear[1] >= n[1] && 3*clear[0] >= n[0])
}

// maybeShaded is the share of a face on which the shadow may end that is as dark and as blue as clear flesh in it. It may be
// stained as well.
func (m Model) maybeShaded(s *shadow, t tray, f Face, ls []level) float64 {
	const hue = 0.1 // log10 blue less red within which it is as blue
	sum := 0.0
	for _, l := range ls {
		if math.Abs(t.at(f)-s.depth[0]-l.c[0]) < m.Alike && math.Abs(l.blue()-t.blue-(s.depth[0]-s.depth[2])) < hue {
			sum += l.share
		}
	}
	return sum
}

// leave takes out of the shadow the faces that show something as bright as flesh in the sun: it ends on them, though all
// the ground to be seen around them may lie in it.
func (m Model) leave(s *shadow, faces []Face, all [][]sample, under float64) {
	var sunny []Face
	var of [][]level
	var samples [][]sample
	for i, in := range s.over {
		if !in {
			sunny, of, samples = append(sunny, faces[i]), append(of, levels(all[i], m.LeastClear)), append(samples, all[i])
		}
	}
	t := m.over(sunny, of, samples, under)
	for i, in := range s.over {
		if !in {
			continue
		}
		if own := levels(all[i], m.LeastClear); !t.seen || len(own) == 0 || t.at(faces[i])-own[0].c[0] < s.depth[0]/2 {
			s.over[i], s.edge[i] = false, true
		}
	}
}
