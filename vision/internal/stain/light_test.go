package stain

import (
	"math"
	"testing"
)

// Levels as they were met on trays of yellow flesh, whose clear flesh has -0.60 and -0.45 of blue.
func TestLampsAndPaleStainAreNotClearFlesh(t *testing.T) {
	m := Default()
	at := func(red, blue, share float64) level { return level{c: [3]float64{red, red, red + blue}, share: share} }
	for _, tt := range []struct {
		name string
		tray tray
		ls   []level
		want int // index of the level of clear flesh, -1 for none
	}{
		{"yellow flesh", tray{level: -0.1, blue: -0.60, blueing: 0.68}, []level{at(-0.12, -0.59, 0.13), at(-0.89, -0.09, 0.2)}, 0},
		{"a lamp over stain, and stain that thins out under it", tray{level: -0.1, blue: -0.60, blueing: 0.68},
			[]level{at(-0.11, -0.05, 0.16), at(-0.37, -0.06, 0.08), at(-0.45, -0.07, 0.09), at(-0.53, -0.06, 0.10), at(-0.62, -0.05, 0.13), at(-0.72, -0.03, 0.15)}, -1},
		{"white flesh among yellow, most of the face", tray{level: -0.03, blue: -0.45, blueing: 0.43},
			[]level{at(-0.06, -0.16, 0.69), at(-0.75, -0.04, 0.04)}, 0},
		{"the palest stain of a face without clear flesh", tray{level: -0.21, blue: -0.30, blueing: 0.30},
			[]level{at(-0.39, -0.18, 0.05), at(-0.61, -0.16, 0.09), at(-0.77, -0.06, 0.11), at(-1.03, 0.03, 0.15)}, -1},
		{"stain that goes on through all levels", tray{level: -0.23, blue: -0.25, blueing: 0.34},
			[]level{at(-0.68, -0.06, 0.15), at(-0.78, -0.03, 0.16), at(-0.88, 0.00, 0.15), at(-0.96, 0.03, 0.12)}, -1},
		{"a lamp over stain, all of one colour", tray{level: -0.23, blue: -0.25, blueing: 0.34},
			[]level{at(-0.03, -0.11, 0.10), at(-0.21, -0.08, 0.19), at(-0.31, -0.07, 0.17), at(-0.39, -0.06, 0.16), at(-0.48, -0.06, 0.12)}, -1},
		{"shade that skylight blues, with stain well below", tray{level: 0.04, blue: -0.32, blueing: 0.39},
			[]level{at(-0.26, -0.21, 0.39), at(-0.61, -0.09, 0.08), at(-0.83, -0.06, 0.17)}, 0},
		{"a face in open shade", tray{level: -0.1, blue: -0.60, blueing: 0.68}, []level{at(-0.40, -0.57, 0.4), at(-1.2, 0.0, 0.3)}, 0},
		{"a little flesh far from the lamp, of the colour of the others'", tray{level: -0.1, blue: -0.45, blueing: 0.43}, []level{at(-0.36, -0.44, 0.05), at(-1.1, 0.1, 0.3)}, 0},
		{"flesh in a deep shadow, of the colour of the others'", tray{level: -0.1, blue: -0.45, blueing: 0.43}, []level{at(-0.65, -0.44, 0.2), at(-1.3, 0.1, 0.3)}, 0},
		{"as deep, as blue as stain would be", tray{level: -0.1, blue: -0.45, blueing: 0.43}, []level{at(-0.65, -0.30, 0.2), at(-1.3, 0.1, 0.3)}, -1},
		{"deeper than any shadow", tray{level: -0.1, blue: -0.45, blueing: 0.43}, []level{at(-0.75, -0.44, 0.2), at(-1.3, 0.1, 0.3)}, -1},
		{"as much, as blue as stain would be", tray{level: -0.1, blue: -0.45, blueing: 0.43}, []level{at(-0.36, -0.36, 0.05), at(-1.1, 0.1, 0.3)}, -1},
		{"white flesh in open shade, with stain that tells", tray{level: -0.1, blue: -0.45, blueing: 0.43}, []level{at(-0.40, -0.2, 0.4), at(-1.1, 0.1, 0.3)}, 0},
	} {
		t.Run(tt.name, func(t *testing.T) {
			tt.tray.scale = 1
			tellBlueing(tt.ls, m.LeastClear)
			if got := m.clearest(tt.tray, Face{}, tt.ls); got != tt.want {
				t.Errorf("clear flesh is level %d, want %d", got, tt.want)
			}
		})
	}
}

// tellBlueing fills in what the levels of a face that shows nothing else tell of its stain.
func tellBlueing(ls []level, least float64) {
	var s []sample
	for _, l := range ls {
		for range int(1000 * l.share) {
			s = append(s, sample{c: l.c})
		}
	}
	for k := range ls {
		ls[k].blueing = blueing(ls[k], s, least)
	}
}

// White flesh and a little stain beside the brown lining of the core, as was met on a plain tray of yellow fruit: the
// lining must not pass for stain that makes flesh warmer, as a lamp seen over it would.
func TestCoreDoesNotTellOfStain(t *testing.T) {
	m := Default()
	var s []sample
	add := func(n int, red, blue float64, core bool) {
		for k := range n {
			r := red + 0.02*(float64(k%7)-3)/3
			s = append(s, sample{c: [3]float64{r, r, r + blue}, core: core})
		}
	}
	add(66, -0.056, -0.160, false)
	add(6, -0.39, -0.22, true)
	add(2, -0.55, 0.02, false)
	add(2, -0.70, 0.06, false)
	add(2, -0.85, 0.10, false)
	ls := levels(s, m.LeastClear)
	if k := m.clearest(tray{level: -0.045, blue: -0.445, blueing: 0.45, scale: 1}, Face{}, ls); k != 0 {
		t.Errorf("clear flesh is level %d of %+v, want 0", k, ls)
	}
	if b, want := ls[0].blueing, 0.35; math.Abs(b-want) > 0.02 {
		t.Errorf("blueing %.3f, want about %.2f", b, want)
	}
	if b := blueing(ls[0], s[:72], m.LeastClear); !math.IsNaN(b) {
		t.Errorf("the core alone tells a blueing of %.3f", b)
	}
}

// Where stain is as grey as shade, a lamp in a wet film is told from clear flesh by the flesh beside it: film makes it brighter and
// whiter at once. White flesh of its own is not taken for one.
func TestWhitened(t *testing.T) {
	at := func(red, blue, share float64) level { return level{c: [3]float64{red, 0, red + blue}, share: share} }
	for _, tt := range []struct {
		name string
		ls   []level
		want bool
	}{
		{"film over a seventh of the face", []level{at(-0.08, -0.09, 0.14), at(-0.21, -0.21, 0.26), at(-0.71, -0.09, 0.18)}, true},
		{"white flesh and stain", []level{at(-0.05, -0.09, 0.40), at(-0.60, -0.10, 0.30)}, false},
		{"white flesh and some browned", []level{at(-0.05, -0.09, 0.40), at(-0.30, -0.22, 0.20)}, false},
		{"flesh in the sun and more in the shade", []level{at(-0.02, -0.25, 0.20), at(-0.30, -0.24, 0.30)}, false},
		{"white flesh and much dark stain as warm as flesh", []level{at(-0.05, -0.09, 0.20), at(-0.70, -0.22, 0.60)}, false},
	} {
		if got := Default().whitened(tray{blue: -0.25}, tt.ls, 0); got != tt.want {
			t.Errorf("%s: %v", tt.name, got)
		}
	}
}

// A shadow in which other faces lie wholly is known again where it lies over a little of a face. The levels are as they were
// met under a patch of sun.
func TestShareShade(t *testing.T) {
	m := Default()
	at := func(red, blue, share float64) level { return level{c: [3]float64{red, red, red + blue}, share: share} }
	seen := func(ls []level) light { return light{level: ls[0].c, share: ls[0].share, known: true} }
	sunny := tray{level: 0.05, blue: -0.30, blueing: 0.41, scale: 1, seen: true}
	shaded, other := []level{at(-0.26, -0.21, 0.40), at(-0.79, -0.07, 0.16)}, []level{at(-0.28, -0.28, 0.23), at(-0.81, -0.21, 0.27)}
	part := func(shade level) []level { return []level{at(0.04, -0.27, 0.04), shade, at(-0.83, 0.12, 0.30)} }
	grey := sunny
	grey.blueing = 0.1
	for _, tt := range []struct {
		name string
		tray tray
		of   [][]level
		want float64 // shade of the last face
	}{
		{"two faces in the shadow", sunny, [][]level{shaded, other, part(at(-0.28, -0.20, 0.09))}, 0.32},
		{"one alone", sunny, [][]level{shaded, part(at(-0.28, -0.20, 0.09))}, 0},
		{"as blue as stain", sunny, [][]level{shaded, other, part(at(-0.28, -0.14, 0.09))}, 0},
		{"not so dark", sunny, [][]level{shaded, other, part(at(-0.12, -0.24, 0.09))}, 0},
		{"stain that does not tell", grey, [][]level{shaded, other, part(at(-0.28, -0.24, 0.09))}, 0},
		{"no stain below", sunny, [][]level{shaded, other, part(at(-0.28, -0.20, 0.09))[:2]}, 0},
	} {
		ls := make([]light, len(tt.of))
		for i, of := range tt.of {
			ls[i] = seen(of)
		}
		m.shareShade(tt.tray, make([]Face, len(ls)), tt.of, ls)
		if got := ls[len(ls)-1].shade; math.Abs(got-tt.want) > 1e-9 {
			t.Errorf("%s: a shade of %.2f, want %.2f", tt.name, got, tt.want)
		}
		for i := range ls[:len(ls)-1] {
			if ls[i].shade != 0 {
				t.Errorf("%s: face %d lies in the shadow wholly, and a shade of %.2f is seen on it", tt.name, i+1, ls[i].shade)
			}
		}
	}
}

// Levels of a tray of which three faces are stained all over and the others show clear flesh, as bright on all. The palest
// stain of the first face is near enough to that to be taken for as bright.
func TestLightIsThatOfTheClearest(t *testing.T) {
	m := Default()
	at := func(red, blue, share float64) level {
		return level{c: [3]float64{red, red, red + blue}, share: share, blueing: math.NaN()}
	}
	of := [][]level{
		{at(-0.605, -0.221, 0.07), at(-0.946, -0.117, 0.23)},
		{at(-0.285, -0.304, 0.07), at(-0.367, -0.286, 0.04), at(-0.832, -0.255, 0.05), at(-1.073, -0.206, 0.16), at(-1.189, -0.194, 0.21), at(-1.309, -0.195, 0.14), at(-1.443, -0.185, 0.05)},
		{at(-0.314, -0.357, 0.87)},
		{at(-0.322, -0.350, 0.40), at(-0.445, -0.307, 0.13), at(-0.526, -0.295, 0.10), at(-0.605, -0.287, 0.11), at(-0.713, -0.286, 0.10)},
		{at(-0.832, -0.214, 0.40)},
		{at(-0.329, -0.314, 0.09), at(-0.448, -0.296, 0.06), at(-0.587, -0.304, 0.05), at(-0.673, -0.299, 0.05), at(-0.752, -0.281, 0.05), at(-0.821, -0.288, 0.04), at(-1.189, -0.200, 0.23)},
		{at(-0.284, -0.344, 0.34), at(-0.589, -0.282, 0.05), at(-0.671, -0.289, 0.06), at(-0.831, -0.244, 0.06), at(-0.947, -0.223, 0.07), at(-1.069, -0.209, 0.10), at(-1.182, -0.208, 0.05)},
		{at(-0.327, -0.362, 0.37), at(-0.484, -0.308, 0.15), at(-0.570, -0.273, 0.12), at(-0.813, -0.240, 0.05)},
		{at(-0.308, -0.383, 0.93)},
		{at(-1.026, -0.241, 0.39)},
	}
	faces := []Face{
		{X: 206, Y: 168, Radius: 76}, {X: 399, Y: 174, Radius: 68}, {X: 606, Y: 178, Radius: 74}, {X: 792, Y: 149, Radius: 75}, {X: 194, Y: 365, Radius: 69},
		{X: 419, Y: 376, Radius: 69}, {X: 596, Y: 374, Radius: 77}, {X: 808, Y: 370, Radius: 71}, {X: 354, Y: 562, Radius: 82}, {X: 560, Y: 576, Radius: 71},
	}
	got := m.over(faces, of, make([][]sample, len(of)), 0)
	if !got.seen || math.Abs(got.level+0.31) > 0.03 {
		t.Errorf("clear flesh has the red %.2f (seen: %v), want -0.31", got.level, got.seen)
	}
}

// Levels of a tray of which all faces are stained all over, black and wet, and in one of which a lamp is seen.
func TestLampOverAllStainedGivesNoLight(t *testing.T) {
	m := Default()
	at := func(red, blue, share, blueing float64) level {
		return level{c: [3]float64{red, red, red + blue}, share: share, blueing: blueing}
	}
	untold := math.NaN()
	stain := []level{at(-1.07, 0.01, 0.08, 0.54), at(-1.19, 0.08, 0.15, 0.53), at(-1.27, 0.13, 0.16, 0.51), at(-1.39, 0.18, 0.16, untold)}
	lamp := []level{at(-0.13, -0.10, 0.14, 0.14), at(-0.21, -0.09, 0.19, 0.15), at(-0.33, -0.07, 0.15, 0.16), at(-0.49, -0.05, 0.13, untold)}
	of := [][]level{stain, stain, lamp, stain, stain}
	faces := make([]Face, len(of))
	for i := range faces {
		faces[i] = Face{X: 100 * float64(i), Radius: 40}
	}
	if got := m.over(faces, of, make([][]sample, len(of)), 0); got.seen {
		t.Errorf("clear flesh is seen, with the red %.2f", got.level)
	}
	// The same light on flesh whose stain is as blue as that of the others.
	clear := []level{at(-0.13, -0.10, 0.14, 0.45), at(-0.62, 0.12, 0.2, untold)}
	of[2] = clear
	if got := m.over(faces, of, make([][]sample, len(of)), 0); !got.seen || math.Abs(got.level+0.13) > 0.01 {
		t.Errorf("clear flesh has the red %.2f (seen: %v), want -0.13", got.level, got.seen)
	}
}

// Stain that is no bluer than flesh says nothing of lamps: any face may propose the light.
func TestBrownStainTellsOfNoLamp(t *testing.T) {
	m := Default()
	var of [][]level
	var faces []Face
	for i := range 4 {
		b := -0.1 - 0.05*float64(i)
		of = append(of, []level{{c: [3]float64{-0.3, -0.35, -0.6}, share: 0.4, blueing: b}, {c: [3]float64{-0.8, -0.85, -1.15}, share: 0.3, blueing: math.NaN()}})
		faces = append(faces, Face{X: 100 * float64(i), Radius: 40})
	}
	if got := m.over(faces, of, make([][]sample, len(of)), 0); !got.seen || math.Abs(got.level+0.3) > 0.01 {
		t.Errorf("clear flesh has the red %.2f (seen: %v), want -0.30", got.level, got.seen)
	}
}

func TestLean(t *testing.T) {
	m := Default()
	const usual = 0.16 / 3
	for _, tt := range []struct {
		name     string
		off      float64 // of the face's light from that of the tray, log10
		up, more float64 // by which it is raised, and its doubt
	}{
		{"brighter", 0.1, 0, 0},
		{"as faces stray", -0.05, 0, 0},
		{"darker", -0.12, (0.12 - usual) / 2, (0.12 - usual) / 2},
		{"in a shadow", -0.2, 0, 0},
	} {
		t.Run(tt.name, func(t *testing.T) {
			const tray, doubt = -0.3, 0.01
			l := light{level: [3]float64{tray + tt.off, -0.4, -0.7}, doubt: doubt}
			m.lean(&l, tray)
			for band, was := range [3]float64{tray + tt.off, -0.4, -0.7} {
				if want := was + tt.up*m.Complex[band]; math.Abs(l.level[band]-want) > 1e-12 {
					t.Errorf("band %d is %.4f, want %.4f", band, l.level[band], want)
				}
			}
			if want := math.Hypot(doubt, tt.more); math.Abs(l.doubt-want) > 1e-12 {
				t.Errorf("doubt is %.4f, want %.4f", l.doubt, want)
			}
		})
	}
}

// Beside white paper clear flesh may look as dark and grey as stain; but it does so on all fruit alike, and stain lies well below it.
func TestGreyFleshIsSharedByFruit(t *testing.T) {
	m := Default()
	at := func(red, share float64) level {
		return level{c: [3]float64{red, red, red - 0.07}, share: share, blueing: 0.4}
	}
	var faces []Face
	for i := range 6 {
		faces = append(faces, Face{X: 100 * float64(i), Radius: 40})
	}
	grey, stained, own := []level{at(-0.55, 0.4), at(-1.05, 0.3)}, []level{at(-1.05, 0.6)}, func(red float64) []level { return []level{at(red, 0.2), at(red-0.5, 0.5)} }
	for name, c := range map[string]struct {
		of   [][]level
		seen bool
	}{
		"grey flesh on most":         {[][]level{grey, grey, grey, grey, stained, stained}, true},
		"grey on two":                {[][]level{grey, grey, stained, stained, stained, stained}, false},
		"stained all over":           {[][]level{stained, stained, stained, stained, stained, stained}, false},
		"stain that thins out":       {[][]level{own(-0.55), own(-0.75), own(-0.95), own(-0.8), own(-1.0), stained}, false},
		"nothing darker than a grey": {[][]level{{at(-0.55, 0.8)}, {at(-0.55, 0.8)}, {at(-0.55, 0.8)}, {at(-0.55, 0.8)}, grey, grey}, false},
	} {
		if got := m.over(faces, c.of, make([][]sample, len(faces)), 0).seen; got != c.seen {
			t.Errorf("%s: clear flesh seen: %v", name, got)
		}
	}
}

// The light of a tray is that of the brightest flesh on it, though most faces are stained all over, but not that of glints on some.
func TestBrightestFlesh(t *testing.T) {
	face := func(ls ...level) []level { return ls }
	at := func(red, share, blue float64) level {
		return level{c: [3]float64{red, red - 0.05, red + blue}, share: share, blueing: 0.4}
	}
	clear, stained := at(-0.2, 0.3, -0.3), at(-0.6, 0.3, -0.1)
	flesh, glint := at(-0.4, 0.3, -0.3), at(-0.15, 0.05, -0.25)
	for _, tt := range []struct {
		name string
		of   [][]level
		want float64
	}{
		{"one of nine shows clear flesh", [][]level{face(clear), face(stained), face(stained), face(stained), face(stained), face(stained), face(stained), face(stained), face(stained)}, clear.c[0]},
		{"two of five glint", [][]level{face(glint, flesh), face(flesh), face(flesh), face(glint, flesh), face(flesh)}, flesh.c[0]},
	} {
		var faces []Face
		for i := range tt.of {
			faces = append(faces, Face{X: 200 * float64(i%3), Y: 200 * float64(i/3), Radius: 60})
		}
		if got := Default().over(faces, tt.of, make([][]sample, len(faces)), 0); math.Abs(got.level-tt.want) > 0.05 {
			t.Errorf("%s: the tray's light is at %.2f, want %.2f", tt.name, got.level, tt.want)
		}
	}
}
