package stain

import "math"

// Model is what is taken as known of light, flesh, stain and camera. Seen light is
//
//	light here x flesh of this face x 10^-(complex x Complex + iodine x Iodine) + reflection
//
// through the camera's curve. Light and flesh are estimated from the tray, complex and
// iodine from every pixel. Densities are log10.
type Model struct {
	// Complex and Iodine are the absorbances in red, green and blue of the complex of iodine
	// and starch and of unbound iodine, each relative to the red of the complex. The complex
	// peaks near 615 nm (Barrett and others 1998), iodine below 500 nm; how far the bands of a
	// camera reach into them is measured on painted stain and differs by camera: black
	// stain has 1, 0.93, 0.78. The error hardly moves between these, see Separation.
	Complex, Iodine [3]float64
	// RollOff is how much of a full shoulder the camera's curve has, see newCurve. 0 is none. Every
	// camera of the tuning photos has one.
	RollOff float64
	// Residue is the density of what flesh that passes for clear still holds: stain fainter than
	// is seen, between pixels of none.
	Residue float64
	// Scatter is the half width, log10, within which flesh is taken for clear: cells, veins, cut
	// marks and noise scatter by a quarter of it. What is darker than most of it may be stained, however little, what is brighter
	// may not: ScatterBelow is the half width towards the dark.
	Scatter, ScatterBelow float64
	// LeastClear is the share of the flesh that shows a level of light. Less may be
	// glints and grains.
	LeastClear float64
	// DeepestShade is how much darker than the rest of the tray clear flesh may be, log10: open shade
	// in sunlight is a third of it; a third more where its colour tells too. A share of ShadeShare of the
	// flesh must show it, or the limit comes nearer in proportion: few pixels may be the palest stain.
	DeepestShade, ShadeShare float64
	// ShadeBlue is how much bluer than in the light clear flesh in a shadow may be, log10.
	ShadeBlue float64
	// GroundEven is how far, log10, the ground around three quarters of the faces in the light strays at most where it tells of
	// shadows: not on a crate or where a patch of sun ends. GroundShows is how many times as much as that
	// around it, log10, a shadow may darken a face, as it may end beside it.
	GroundEven, GroundShows float64
	// Alike is how far the light of faces of one tray strays, log10, beside shade.
	Alike float64
	// Film is how much of the blueing of other faces' stain a face must show that is itself
	// bluer than their clear flesh by FilmBlue, log10: white flesh does, a wet film in which a lamp
	// is seen over stain does not.
	Film, FilmBlue float64
	// Reflected is how much bluer than stain of its density could be a pixel must be to show
	// light reflected at the surface, log10.
	Reflected float64
	// MixedShare is the share of the light that stain as dense as the densest pixel beside it would
	// take from a pixel, from which on the pixel is stained and not clear flesh with some stain in
	// it. Half, and more because that neighbour is itself mixed and pixels are
	// averaged after the camera's curve.
	MixedShare float64
	// MixedRim is how far inside the flesh edge a pixel still shows skin, px: lens and demosaicing
	// spread a point over three pixels, and the edge is known to half of one.
	MixedRim float64
	// SkinWarm is how much less blue than flesh skin that the outline took in is, log10: amber and
	// browned flesh stay below.
	SkinWarm float64
	// HollowDark is how much darker than clear flesh the lining of a core is at least, log10.
	HollowDark float64
	// LiningWarm is how much less blue than clear flesh the lining of a core is that stands in a face without
	// clear flesh, log10: of tuning trays linings are so by 0.14 to 0.22, the first flesh to clear by 0.05 at most.
	LiningWarm float64
}

// Default is the model as it is used.
func Default() Model {
	return Model{
		Complex: [3]float64{1, 0.86, 0.56}, Iodine: [3]float64{0.04, 0.15, 0.42},
		RollOff: 0.9, Residue: 0.045,
		Scatter: 0.12, ScatterBelow: 0.1, LeastClear: 0.04,
		DeepestShade: 0.45, ShadeShare: 0.10, ShadeBlue: 0.02, GroundEven: 0.1, GroundShows: 2, Alike: 0.16,
		Film: 0.4, FilmBlue: 0.1, Reflected: 0.07,
		MixedShare: 0.62, MixedRim: 1.5, SkinWarm: 0.17, HollowDark: 0.08, LiningWarm: 0.1,
	}
}

// usualBlueing is how much bluer stain is than clear flesh for each unit of its density,
// where a face does not tell: that of the complex.
func (m Model) usualBlueing() float64 { return m.Complex[0] - m.Complex[2] }

// light is what clear flesh would show at every place of one face: planes in
// log10, one for each band, with slopes in common.
type light struct {
	level          [3]float64 // log10 of red, green and blue at the core
	slopeU, slopeV float64    // change per radius along x and y
	share          float64    // share of the flesh that is clear flesh to judge by; 0 when taken from elsewhere
	known          bool       // from clear flesh seen on this face or on the tray
	doubt          float64    // how far off the level may be, log10
	shade          float64    // how much darker a shadow makes part of the face, log10; 0 for none
	blueing        float64    // log10 blue less red for each unit of red density of this face's stain
	ends           []ending   // of the shadow on the face
	depth          [3]float64 // of that shadow, log10
	penumbra       float64    // share of the face on which it ends
	dim            bool       // the face may be stained all over, or its flesh seen in less light
	edge           float64    // share of the face that is stained or, as well, in a shadow
}

// at is log10 of the red of clear flesh at (u, v), radii from the core.
func (l light) at(u, v float64) float64 { return l.level[0] + l.slopeU*u + l.slopeV*v }

// dims is how much darker than at gives, log10, a shadow makes clear flesh at (u, v).
func (l light) dims(u, v float64) [3]float64 { return dims(gone(l.ends, u, v), l.depth) }

// blue is log10 of the blue of clear flesh less that of its red.
func (l light) blue() float64 { return l.level[2] - l.level[0] }

// lit is the light of which log is the logarithm to base 10; math.Pow takes three times as long.
func lit(log float64) float64 { return math.Exp(log * math.Ln10) }
