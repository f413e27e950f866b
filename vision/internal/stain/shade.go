package stain

// shaded finds clear flesh in the shadow that makes part of a face darker by depth: places most of whose
// neighbours are darker by that. Stain on its way from clear to dense is so on a line, not over
// a place.
func (q *patch) shaded(red []float32, depth float64) []bool {
	if depth == 0 {
		return nil
	}
	const (
		most  = 0.6  // share of the neighbours
		width = 0.1  // log10 within which flesh in one shade scatters
		reach = 0.05 // of the radius, how far neighbours lie
	)
	near := func(d float32) bool { return float64(d) > depth-width && float64(d) < depth+width }
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
