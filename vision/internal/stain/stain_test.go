package stain

import (
	"math"
	"testing"

	"traystage/vision/zones"
)

// Thick stain lies far from the threshold, so that every pixel must come out
// as drawn; what may be lost are pixels at the borders of the core, where cavities
// are looked for, and at the edge of the flesh, which is known to half a pixel:
// of the 0.97 x 90 px of flesh 0.5 px are 1.2 % of its area.
const drawnTolerance = 0.012

func TestReadDrawnFaces(t *testing.T) {
	side := func(_, a float64) float64 {
		if a < math.Pi {
			return 0.9
		}
		return 0
	}
	wedges := func(_, a float64) float64 {
		if int(a/(2*math.Pi)*10)%2 == 0 {
			return 0.6
		}
		return 0.03
	}
	for _, tt := range []struct {
		name  string
		light lamp
		looks []look
	}{
		{"all clear", evenLamp, []look{evenly(0), evenly(0), evenly(0)}},
		{"all clear in uneven light", lamp{-0.1, 0.25, 0.1}, []look{evenly(0), evenly(0), evenly(0), evenly(0)}},
		{"all stained", evenLamp, []look{evenly(1), evenly(0.9), evenly(0.8)}},
		{"rings", evenLamp, []look{beyond(0.4, 0.9), beyond(0.6, 0.7), beyond(0.8, 0.5)}},
		{"rings in uneven light", lamp{-0.15, 0.3, -0.2}, []look{beyond(0.4, 0.9), beyond(0.6, 0.7), beyond(0.8, 0.5), beyond(0.5, 1)}},
		{"sides and wedges", lamp{-0.05, 0.1, 0.1}, []look{side, wedges, side, wedges}},
		{"one all clear, one all stained, some between", lamp{-0.1, 0.1, 0}, []look{evenly(0), evenly(0.9), beyond(0.6, 0.8), beyond(0.5, 0.8)}},
		{"one half alone", evenLamp, []look{beyond(0.5, 0.7)}},
		{"faint stain that is none", evenLamp, []look{evenly(0), beyond(0.5, 0.06), beyond(0.7, 0.7)}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			d := draw(tt.light, nil, tt.looks...)
			for i, r := range d.read() {
				got, _ := r.Profile.Stained()
				want, _ := d.truth[i].Stained()
				if math.Abs(got-want) > drawnTolerance {
					t.Errorf("face %d: %.4f stained, drawn were %.4f", i+1, got, want)
				}
				if r.Low > got || r.High < got {
					t.Errorf("face %d: %.4f stained lies outside %.4f to %.4f", i+1, got, r.Low, r.High)
				}
				if m, drawn := r.Profile.Masked(), d.truth[i].Masked(); m < drawn-drawnTolerance || m > drawn+0.03 {
					t.Errorf("face %d: %.3f masked, the skin drawn takes %.3f", i+1, m, drawn)
				}
			}
		})
	}
}

// Zone by zone, away from the core.
func TestReadZones(t *testing.T) {
	d := draw(lamp{-0.1, 0.2, 0.1}, nil, beyond(0.5, 0.8), beyond(0.7, 0.8), beyond(0.9, 0.8))
	for i, r := range d.read() {
		want := d.truth[i].Fractions()
		for k, got := range r.Profile.Fractions() {
			// One pixel of 90 at a border inside the ring, of a ring 18 px wide.
			if math.Abs(got-want[k]) > 1.0/18 {
				t.Errorf("face %d, zone %d: %.3f stained, drawn were %.3f", i+1, k+1, got, want[k])
			}
		}
	}
}

// The light is a plane in logarithms: twice as bright all over changes nothing
// but the level.
func TestLightIsFound(t *testing.T) {
	for _, level := range []float64{0, -0.2, -0.5} {
		d := draw(lamp{level: level}, nil, beyond(0.6, 0.8), beyond(0.5, 0.8))
		for i, r := range d.read() {
			// A step of 8 bits is 0.01 or less in log10 from 0.1 of full light on.
			if want := math.Log10(cream[0]) + level; math.Abs(r.Level-want) > 0.01 || !r.LightSeen {
				t.Errorf("face %d: clear flesh at 10^%.3f of full light (seen %v), drawn at 10^%.3f", i+1, r.Level, r.LightSeen, want)
			}
			if math.Abs(r.Clear-(1-stained(d.truth[i]))) > 0.15 {
				t.Errorf("face %d: %.2f of the flesh gave the light, %.2f is clear", i+1, r.Clear, 1-stained(d.truth[i]))
			}
		}
	}
}

func stained(p zones.Profile) float64 {
	f, _ := p.Stained()
	return f
}

// cut from a drawing of one face: the parts of reading apart.
func drawnFace(density look) (drawing, *patch) {
	d := draw(evenLamp, nil, density)
	return d, cut(d.Picture, d.faces[0], Default().MixedRim)
}

// At the threshold flesh is stained, one step of the number below it is not.
func TestThreshold(t *testing.T) {
	const threshold = 0.25 // a binary fraction, so that it is met exactly
	for _, tt := range []struct {
		name    string
		density float32
		stained sight
	}{
		{"at it", threshold, barelyStained},
		{"just below", math.Nextafter32(threshold, 0), barelyClear},
		{"just above", math.Nextafter32(threshold, 1), barelyStained},
		{"a quarter above", 1.25 * threshold, surelyStained},
		{"a quarter below", 0.75 * threshold, barelyClear},
		{"more than a third below", 0.66 * threshold, surelyClear},
	} {
		_, q := drawnFace(evenly(0))
		j := judgement{q: q, density: make([]float32, len(q.rho)), verdicts: make([]verdict, len(q.rho)), mixed: Default().besideStain(), threshold: threshold, over: thicker, under: thinner}
		for i := range j.density {
			j.density[i], j.verdicts[i] = tt.density, byLight
		}
		if got := j.sight(len(q.rho)/2, byLight); got != tt.stained {
			t.Errorf("%s: %v, want %v", tt.name, got, tt.stained)
		}
	}
}

// Stripes of dense stain, of clear flesh and of pixels that the border between
// them runs through: light adds, and the border counts for what it holds more of.
func TestMixedPixels(t *testing.T) {
	const dense = 1.0
	mixed := func(share float64) float64 { // density of what is stained to that share
		return -math.Log10(share*math.Pow(10, -dense) + 1 - share)
	}
	for _, tt := range []struct{ share, want float64 }{
		{0.30, 1.0 / 3}, // reads 0.14
		{0.50, 1.0 / 3}, // reads 0.26, above the threshold
		{0.70, 2.0 / 3},
		{0.80, 2.0 / 3},
	} {
		_, q := drawnFace(evenly(0))
		n := len(q.rho)
		j := judgement{q: q, density: make([]float32, n), verdicts: make([]verdict, n), mixed: Default().besideStain(), threshold: 0.2, over: thicker, under: thinner}
		for i := range n {
			j.density[i], j.verdicts[i] = float32(mixed([]float64{1, tt.share, 0}[i%q.w%3])), byLight
		}
		stained := 0
		for i := range n {
			if s := j.sight(i, byLight); classes[s] == zones.Stained {
				stained++
			}
		}
		if got := float64(stained) / float64(n); math.Abs(got-tt.want) > 0.01 {
			t.Errorf("borders %.2f stained: %.3f of the face, want %.3f", tt.share, got, tt.want)
		}
	}
}

// The threshold holds on a photo too: stain a step of 8 bits (0.007) and what
// is not known of the level (0.01) to either side of it comes out as it should. The clear
// flesh drawn holds no residue of stain, so all reads denser by that.
func TestThresholdOnPhoto(t *testing.T) {
	const beside = 0.02
	for _, tt := range []struct{ density, want float64 }{
		{0.20 - Default().Residue - beside, 0},
		{0.20 - Default().Residue + beside, 1 - 0.5*0.5/(drawnFlesh*drawnFlesh)},
	} {
		d := draw(evenLamp, nil, beyond(0.5, tt.density), beyond(0.5, tt.density))
		for i, r := range d.read() {
			if f := stained(r.Profile); math.Abs(f-tt.want) > 2*drawnTolerance {
				t.Errorf("face %d, density %.3f: %.4f stained, want %.4f", i+1, tt.density, f, tt.want)
			}
		}
	}
}

// White light adds the same to red and blue.
func TestThroughGlare(t *testing.T) {
	const blue, threshold = -0.3, 0.2
	m := Default()
	_, q := drawnFace(evenly(0))
	for _, tt := range []struct {
		name    string
		density float64
		veil    float64
		want    verdict
	}{
		{"clear flesh under a veil", 0, 0.1, isClear},
		{"clear flesh under a thick veil", 0, 0.4, isClear},
		{"stain under a veil", 0.9, 0.1, isStain},
		{"stain under a thick veil", 1.2, 0.4, isStain},
		{"at the threshold", threshold - m.Residue, 0.2, hidden},
	} {
		l := light{level: [3]float64{math.Log10(0.5), math.Log10(0.45), math.Log10(0.5) + blue}}
		red := 0.5*math.Pow(10, -tt.density) + tt.veil
		blueLight := 0.5*math.Pow(10, blue-m.Complex[2]*tt.density) + tt.veil
		i := len(q.rho) / 2
		s := separated{red: make([]float32, len(q.rho)), bluer: make([]float32, len(q.rho))}
		s.red[i] = float32(l.level[0] - math.Log10(red))
		s.bluer[i] = float32(math.Log10(blueLight) - math.Log10(red) - blue)
		if got := m.throughGlare(q, i, l, s, threshold); got != tt.want {
			t.Errorf("%s: verdict %d, want %d", tt.name, got, tt.want)
		}
	}
}

func TestGlareIsSeen(t *testing.T) {
	// white light over a twelfth of the face, from 0.5 to 0.9 of its radius
	patch := func(rho, a float64) float64 {
		if rho > 0.5 && rho < 0.9 && a < math.Pi/6 {
			return 0.35
		}
		return 0
	}
	share := (0.81 - 0.25) / 12
	with := draw(evenLamp, []look{patch, patch, nil, nil}, evenly(0), beyond(0.45, 0.9), evenly(0), beyond(0.6, 0.8))
	for i, r := range with.read() {
		want := 0.0
		if i < 2 {
			want = share
		}
		if math.Abs(r.Glare-want) > 0.005 {
			t.Errorf("face %d: %.3f in glare, drawn were %.3f", i+1, r.Glare, want)
		}
		if got, want := stained(r.Profile), stained(with.truth[i]); math.Abs(got-want) > drawnTolerance {
			t.Errorf("face %d: %.3f stained under glare, drawn were %.3f", i+1, got, want)
		}
	}
}

// Cream that is blown out under glare is flesh still, and counts.
func TestClearUnderBrightGlare(t *testing.T) {
	veil := func(rho, a float64) float64 {
		if rho > 0.4 && a < 2 {
			return 0.45
		}
		return 0
	}
	d := draw(lamp{level: 0.1}, []look{veil, nil}, func(_, a float64) float64 {
		if a < math.Pi {
			return 0
		}
		return 0.9
	}, beyond(0.6, 0.8))
	r := d.read()[0]
	if got, want := stained(r.Profile), stained(d.truth[0]); math.Abs(got-want) > drawnTolerance || r.Glare < 0.2 {
		t.Errorf("%.4f stained and %.2f in glare, drawn were %.4f and %.2f", got, r.Glare, want, (1-0.4*0.4)/math.Pi)
	}
}

// Pixels between green skin and flesh are as dark in the red as stain, and no stain.
func TestSkinShowsThroughRim(t *testing.T) {
	d := draw(evenLamp, nil, evenly(0), beyond(0.6, 0.8))
	f := d.faces[0]
	for y := range d.Rows {
		for x := range d.Cols / 2 {
			if off := math.Hypot(float64(x)+0.5-f.X, float64(y)+0.5-f.Y) - drawnFlesh*drawnRadius; math.Abs(off) < 1 {
				d.put(x, y, [3]float64{0.25, 0.30, 0.14}, 0, 0)
			}
		}
	}
	r := d.read()[0]
	if got := stained(r.Profile); got > 0.001 || r.High > 0.001 {
		t.Errorf("%.4f (to %.4f) of a clear face is stained", got, r.High)
	}
	if got, want := r.Profile.Zones[4].Flesh, d.truth[0].Zones[4].Flesh; math.Abs(float64(got-want)) > 0.01*float64(want) {
		t.Errorf("the outer zone holds %d pixels of flesh, drawn were %d", got, want)
	}
}

// What the rim takes its class from is no rim itself, so that the order of pixels
// does not matter.
func TestRimTakesFromWithin(t *testing.T) {
	d := draw(evenLamp, nil, evenly(0))
	q := cut(d.Picture, d.faces[0], Default().MixedRim)
	rim := map[int]bool{}
	for _, e := range q.rim {
		rim[e.at] = true
	}
	// a ring of 2 pi r mixedRim pixels
	if want := 2 * math.Pi * drawnFlesh * drawnRadius * Default().MixedRim; math.Abs(float64(len(rim))-want) > 0.05*want {
		t.Errorf("%d pixels in the rim, want %.0f", len(rim), want)
	}
	for _, e := range q.rim {
		if rim[e.inward] || !q.flesh[e.inward] {
			t.Fatalf("pixel %d takes its class from %d, which is in the rim or no flesh", e.at, e.inward)
		}
	}
}

// A face that is clear in its core alone has the light of its core, however much
// brighter its neighbours suppose it to be.
func TestClearCoreGivesLight(t *testing.T) {
	for _, across := range []float64{0, 0.15} {
		d := draw(lamp{across: across}, nil, beyond(0.6, 0.8), beyond(0.28, 0.9), beyond(0.5, 0.9))
		r := d.read()[1]
		if got, want := stained(r.Profile), stained(d.truth[1]); math.Abs(got-want) > drawnTolerance {
			t.Errorf("light falling by %.2f: %.4f stained, drawn were %.4f", across, got, want)
		}
		if core := r.Profile.Zones[0]; core.Flesh < d.truth[1].Zones[0].Flesh*9/10 {
			t.Errorf("light falling by %.2f: %d pixels of the core are flesh, drawn were %d", across, core.Flesh, d.truth[1].Zones[0].Flesh)
		}
		if want := math.Log10(cream[0]); math.Abs(r.Level-want) > 0.02 {
			t.Errorf("light falling by %.2f: level %.3f, drawn was %.3f", across, r.Level, want)
		}
	}
}

func TestReadNothing(t *testing.T) {
	if r := Default().Read(Picture{}, nil, 5, 0.2); len(r) != 0 {
		t.Errorf("no face gave %d readings", len(r))
	}
	// A face that lies beside the picture, wholly or in part, must not be read beyond its edge.
	d := draw(evenLamp, nil, evenly(0))
	for _, at := range [][2]float64{{-500, 50}, {0, 0}, {-20, 50}, {50, -20}, {float64(d.Cols), float64(d.Rows)}, {5000, 5000}} {
		Default().Read(d.Picture, []Face{round(at[0], at[1])}, 5, 0.2)
	}
}

// Stain that is nowhere dense may be faint or flattened by the camera: bounds then reach to lower thresholds. The
// densest tenth counts, and a tray without stain tells nothing.
func TestFlattened(t *testing.T) {
	for _, tt := range []struct {
		name  string
		looks []look
		want  float64
	}{
		{"dense", []look{beyond(0.5, 1.3), evenly(0.5)}, 0},
		{"a third of it", []look{beyond(0.5, 0.4), beyond(0.7, 0.4)}, 0.67},
		{"none", []look{evenly(0), evenly(0)}, 0},
	} {
		d := draw(evenLamp, nil, tt.looks...)
		m, c := Default(), newCurve(Default().RollOff)
		tray := sceneOf(d.Picture, d.faces, m.MixedRim, c)
		qs := tray.patches
		of := make([]separated, len(qs))
		for i, l := range m.lights(tray, 0) {
			of[i] = m.separate(qs[i], l, c)
		}
		if got := flattened(qs, of, 0.20); math.Abs(got-tt.want) > 0.05 {
			t.Errorf("%s: %.2f, want %.2f", tt.name, got, tt.want)
		}
	}
	dense, thin := draw(evenLamp, nil, beyond(0.5, 1.2)).read()[0], draw(evenLamp, nil, beyond(0.5, 0.4)).read()[0]
	if thin.High-thin.Low < dense.High-dense.Low {
		t.Errorf("bounds %.3f wide where stain is thin, %.3f where it is dense", thin.High-thin.Low, dense.High-dense.Low)
	}
}
