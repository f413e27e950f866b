package stain

import (
	"math"
	"slices"
)

// shadow is a shadow that lies over part of the tray.
type shadow struct {
	depth    [3]float64 // how much darker it makes red, green and blue, log10
	over     []bool     // the faces that lie in it wholly
	edge     []bool     // the faces on which it may end
	ends     [][]ending // where it ends on each face
	half     float64    // brightness of the ground between sun and shade, log10
	settled  []bool     // the faces of which its edges tell whether they lie in it
	sunny    float64    // brightest band of the ground in the sun, log10
	onGround float64    // how much darker it makes that
}

// newShadow is a shadow over none of n faces.
func newShadow(n int) *shadow {
	return &shadow{over: make([]bool, n), edge: make([]bool, n), ends: make([][]ending, n), settled: make([]bool, n)}
}

// fewestLit faces in the sun tell of flesh in the shade.
const fewestLit = 2

// shadowOn finds the shadow on a tray: that of which the ground tells, with its edges, or bands of shade where it tells of no edges.
func (m Model) shadowOn(c scene, ground []float64) (*shadow, bool) {
	s, ok := m.shadowByGround(c.rings)
	if !ok && plain(c.rings) {
		return nil, false
	}
	c = c.inSmall()
	mayEnd := s.touched()
	if ok && s.findEdges(c) {
		s.lone(c, func(turn int) bool { return turn%2 == 0 }, mayEnd)
		return s, true
	}
	if b, ok := bandsOn(c); ok {
		b.sunny = quantile(ground, 1)
		return b, true
	}
	return s, ok
}

// touched are the faces that lie in the shadow or on which it may end.
func (s *shadow) touched() []bool {
	out := slices.Clone(s.over)
	for i, edge := range s.edge {
		out[i] = out[i] || edge
	}
	return out
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

// inSun is what samples of face i would be in the sun.
func (s *shadow) inSun(i int, of []sample) []sample {
	if !s.over[i] && len(s.ends[i]) == 0 {
		return of
	}
	out := slices.Clone(of)
	for k := range out {
		share := 1.0
		if !s.over[i] {
			share = gone(s.ends[i], out[k].u, out[k].v)
		}
		for band, d := range dims(share, s.depth) {
			out[k].c[band] += d
		}
	}
	return out
}

// inPenumbra is the share of samples of face i that lie in the penumbra.
func (s *shadow) inPenumbra(i int, of []sample) float64 {
	n := 0.0
	for _, p := range of {
		if share := gone(s.ends[i], p.u, p.v); share > 0 && share < 1 {
			n++
		}
	}
	return n / math.Max(float64(len(of)), 1)
}
