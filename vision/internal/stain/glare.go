package stain

// reflections finds where light reflected at the surface lies over the face: what is bluer than stain
// of any hue would be at its density. A pixel alone may be so by the coarser colour of a JPEG, beside an edge;
// its neighbours must be too.
func (m Model) reflections(q *patch, s separated) []bool {
	excess := make([]float32, len(q.rho))
	limit := float32(m.Reflected)
	some := false
	for i, rho := range q.rho {
		if rho < 1 {
			excess[i] = s.bluer[i] - s.red[i]
			some = some || excess[i] > limit
		}
	}
	out := make([]bool, len(q.rho))
	if !some {
		return out
	}
	mean := append([]float32(nil), excess...)
	window{w: q.w, h: q.h, stride: q.w}.boxMean(mean, 1)
	for i := range out {
		out[i] = mean[i] > limit && excess[i] > limit/2
	}
	return out
}

// isPale tells flesh that is merely less browned or amber than most of the face's: it is bluer, but by no more than those tint,
// and hardly brighter. White light over clear flesh, which has a quarter to a half as much blue as red, brightens the red by a third of
// the blueing or more.
func (m Model) isPale(red, bluer float32) bool {
	const bright, gain = 0.1, 0.3
	return red < bright && -red < gain*bluer && float64(bluer) < m.SkinWarm
}

// throughGlare tells stain where white light lies over the face: it adds the
// same to red and blue, so their difference is that of the flesh beneath.
func (m Model) throughGlare(q *patch, i int, l light, s separated, threshold float64) verdict {
	u, v := q.at(i)
	clear := l.at(u, v) - l.dims(u, v)[0]
	red := clear - float64(s.red[i])
	seen := lit(red) - lit(red+l.blue()+float64(s.bluer[i]))
	blueing := m.usualBlueing()
	threshold -= m.Residue
	limit := lit(clear-threshold) - lit(clear+l.blue()-(1-blueing)*threshold)
	switch {
	case seen > 1.3*limit:
		return isClear
	case seen >= 0.7*limit:
		return hidden
	case q.raw[3*i+2] > blown:
		return hidden // a blown-out red hides how much more it was than the blue
	}
	return isStain
}
