package stain

// A Constant names one number of a Model.
type Constant struct {
	Name    string
	Meaning string
	Of      func(*Model) *float64
}

// Constants lists every number of a Model.
func Constants() []Constant {
	return []Constant{
		{"complex green", "absorbance of the complex in green over that in red", func(m *Model) *float64 { return &m.Complex[1] }},
		{"complex blue", "absorbance of the complex in blue over that in red", func(m *Model) *float64 { return &m.Complex[2] }},
		{"iodine red", "absorbance of unbound iodine in red, of the complex's", func(m *Model) *float64 { return &m.Iodine[0] }},
		{"iodine green", "absorbance of unbound iodine in green, of the complex's red", func(m *Model) *float64 { return &m.Iodine[1] }},
		{"iodine blue", "absorbance of unbound iodine in blue, of the complex's red", func(m *Model) *float64 { return &m.Iodine[2] }},
		{"roll-off", "share of a full shoulder of the camera's curve", func(m *Model) *float64 { return &m.RollOff }},
		{"residue", "density of complex in flesh that passes for clear", func(m *Model) *float64 { return &m.Residue }},
		{"scatter", "half width of the levels of clear flesh, log10", func(m *Model) *float64 { return &m.Scatter }},
		{"scatter below", "the same towards the dark, log10", func(m *Model) *float64 { return &m.ScatterBelow }},
		{"least clear", "share of the flesh that shows a level of light", func(m *Model) *float64 { return &m.LeastClear }},
		{"deepest shade", "how much darker a face may lie than its tray, log10", func(m *Model) *float64 { return &m.DeepestShade }},
		{"shade share", "share of the flesh that must show the deepest shade", func(m *Model) *float64 { return &m.ShadeShare }},
		{"shade blue", "how much bluer clear flesh in a shadow on the face may be, log10", func(m *Model) *float64 { return &m.ShadeBlue }},
		{"ground even", "how far the ground around faces in the light strays where it tells of shadows, log10", func(m *Model) *float64 { return &m.GroundEven }},
		{"ground shows", "by how many times as much as the ground around it a shadow may darken a face", func(m *Model) *float64 { return &m.GroundShows }},
		{"alike", "how far the light of faces of one tray strays, log10", func(m *Model) *float64 { return &m.Alike }},
		{"film", "blueing under a film over that of the tray's stain", func(m *Model) *float64 { return &m.Film }},
		{"film blue", "how much bluer than other clear flesh a film is, log10", func(m *Model) *float64 { return &m.FilmBlue }},
		{"reflected", "how much bluer than any stain reflected light is, log10", func(m *Model) *float64 { return &m.Reflected }},
		{"mixed share", "share of the light of stain beside it that a stained pixel loses", func(m *Model) *float64 { return &m.MixedShare }},
		{"mixed rim", "how far inside the flesh edge skin shows, px", func(m *Model) *float64 { return &m.MixedRim }},
		{"skin warm", "how much less blue than flesh skin within the outline is, log10", func(m *Model) *float64 { return &m.SkinWarm }},
		{"hollow dark", "how much darker than clear flesh the core's lining is, log10", func(m *Model) *float64 { return &m.HollowDark }},
		{"lining warm", "how much less blue than clear flesh the lining amid stain is, log10", func(m *Model) *float64 { return &m.LiningWarm }},
	}
}
