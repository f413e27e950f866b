package stain

import "math"

// A face on which nothing is as bright as the clear flesh of its tray is stained all over, or its flesh is darker, or less light falls on it than
// the plane of the tray's light tells, as near a window or on another ground. No sign tells these apart alone.

// dimness is what tells of such a face.
type dimness struct {
	depth float64 // how much darker than the tray's flesh its brightest level is, log10
	bluer float64 // how much bluer that is than the tray's stain of that density, log10
	span  float64 // how much darker again its darkest level is, log10
	below float64 // share of the face in levels well below the brightest
	share float64 // of the brightest; 0 where it is darker than flesh in the deepest shade
	room  float64 // how much deeper a shadow the ground around it allows, log10; NaN where the ground does not tell
}

// What each sign says for clear flesh: natural logarithm of how many times likelier that is, for each unit of it. The sum is zero where taking
// stain for flesh would do as much harm as the other mistake. They were fitted to faces of five painters (see DEVELOPERS.md), and rounded.
const (
	dimRare   = -0.4
	dimDepth  = -3.1
	dimBluer  = -4.5
	dimSpan   = 4.1 // stain that is clear of starch somewhere spans all densities,
	mostSpan  = 1.0 // of which cameras see no more
	dimBelow  = -2.8
	dimEven   = 18.0 // stain is mottled, flesh is not;
	evenFrom  = 0.6  // as much of a face is often stained alike
	dimRoom   = 6.4
	mostRoom  = 0.3
	dimNoRoom = -0.6 // where the ground does not tell
	dimUnsure = 1.5  // up to here, either way, it may be the other
)

// clear is how much likelier, natural logarithm, the brightest level is clear flesh than stain.
func (d dimness) clear() float64 {
	room := dimNoRoom
	if !math.IsNaN(d.room) {
		room = dimRoom * math.Max(-mostRoom, math.Min(d.room, mostRoom))
	}
	return dimRare + room + dimDepth*d.depth + dimBluer*d.bluer + dimSpan*math.Min(d.span, mostSpan) + dimBelow*d.below + dimEven*math.Max(d.share-evenFrom, 0)
}

// inLessLight is the level of a dark face that is clear flesh in less light than that of the tray: the brightest, or -1 where that is stain. Where it may
// be the other, it is unsure; maybe is the share of the face that may be clear flesh and is taken for stain.
func (m Model) inLessLight(t tray, f Face, ls []level, deepest float64) (k int, unsure bool, maybe float64) {
	e := m.dimmed(t, f, ls, deepest)
	unsure = math.Abs(e) < dimUnsure
	switch {
	case e > 0:
		return 0, unsure, 0
	case unsure:
		return -1, unsure, ls[0].share
	}
	return -1, false, 0
}

// dimmed is how much likelier, natural logarithm, the brightest level of a face is clear flesh than stain, where nothing on it is as bright as
// the clear flesh of the tray. deepest is how deep a shadow the ground around it allows, log10, infinite where that does not tell.
func (m Model) dimmed(t tray, f Face, ls []level, deepest float64) float64 {
	if len(ls) == 0 {
		return math.Inf(-1)
	}
	brightest, darkest := ls[0], ls[len(ls)-1]
	depth := t.at(f) - brightest.c[0]
	if depth < m.Alike || m.tells(t) && m.whiteOver(t, brightest) {
		return math.Inf(-1)
	}
	share := brightest.share
	if depth > m.DeepestShade {
		share = 0
	}
	room := math.NaN()
	if !math.IsInf(deepest, 1) {
		room = deepest - depth
	}
	return dimness{
		depth: depth, bluer: brightest.blue() - t.blue - depth*t.blueing, span: brightest.c[0] - darkest.c[0], below: wellBelow(ls, 0), share: share, room: room,
	}.clear()
}
