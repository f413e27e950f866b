package stain

import "math"

// shareShade looks for flesh in a shadow on faces on which alone too little of it shows: one shadow lies over several
// faces of a tray, and those that lie in it wholly tell how much darker and bluer it makes flesh.
func (m Model) shareShade(t tray, faces []Face, of [][]level, ls []light) {
	depth, bluer, ok := m.shadeOver(t, faces, ls)
	if !ok || !m.tells(t) {
		return
	}
	for i := range ls {
		l := &ls[i]
		if l.share == 0 || l.shade > 0 || t.at(faces[i])-l.level[0] > m.Alike {
			continue
		}
		for k, at := range of[i] {
			off, hue := l.level[0]-at.c[0], at.blue()-l.blue()
			stain := off * t.blueing // how much bluer stain so dark would be
			if math.Abs(off-depth) < shadeWidth && hue < (bluer+stain)/2 && m.stainedBelow(of[i], k) {
				l.shade = off
				break
			}
		}
	}
}

// shadeOver is how much darker and bluer, log10, the shadow makes flesh in which faces lie wholly; false where no two
// of them agree.
func (m Model) shadeOver(t tray, faces []Face, ls []light) (depth, bluer float64, ok bool) {
	var depths, blues []float64
	for i, l := range ls {
		if d := t.at(faces[i]) - l.level[0]; l.share > 0 && d > m.Alike {
			depths, blues = append(depths, d), append(blues, l.blue()-t.blue)
		}
	}
	depth = quantile(depths, 0.5)
	agree := 0
	for _, d := range depths {
		if math.Abs(d-depth) < shadeWidth {
			agree++
		}
	}
	return depth, quantile(blues, 0.5), agree >= 2
}

// shadeWidth is within which flesh in one shade scatters, log10.
const shadeWidth = 0.1

// shaded finds clear flesh in the shadow that makes part of a face darker by depth: places most of whose
// neighbours are darker by that. Stain on its way from clear to dense is so on a line, not over
// a place.
func (q *patch) shaded(red []float32, depth float64) []bool {
	if depth == 0 {
		return nil
	}
	const (
		most  = 0.6  // share of the neighbours
		reach = 0.05 // of the radius, how far neighbours lie
	)
	near := func(d float32) bool { return float64(d) > depth-shadeWidth && float64(d) < depth+shadeWidth }
	mean := make([]float32, len(red))
	for i, d := range red {
		if q.flesh[i] && near(d) {
			mean[i] = 1
		}
	}
	window{w: q.w, h: q.h, stride: q.w}.boxMean(mean, max(2, int(reach*q.face.Radius)))
	out := make([]bool, len(red))
	for i, d := range red {
		out[i] = mean[i] > most && near(d)
	}
	return out
}
