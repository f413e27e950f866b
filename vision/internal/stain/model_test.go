package stain

import (
	"math"
	"testing"
)

var (
	white  = [3]float64{0.62, 0.60, 0.55} // flesh nearly as blue as it is red
	yellow = [3]float64{0.62, 0.52, 0.22}
	black  = [3]float64{1, 0.93, 0.78} // stain that blues little
)

// Fruit of one tray differ in flesh, in stain and in the light that falls on them.
func TestTraysOfUnlikeFruit(t *testing.T) {
	film := func(_, a float64) float64 { // a lamp in a wet film over half of the face
		if a > math.Pi {
			return 0
		}
		return 0.4
	}
	for _, tt := range []struct {
		name     string
		sitters  []sitter
		allowed  float64
		allowAt  int // face whose error may be larger, -1 for none
		allowFor float64
	}{
		{"white flesh among yellow", []sitter{
			{density: beyond(0.5, 0.8), flesh: yellow}, {density: beyond(0.6, 0.8), flesh: white}, {density: beyond(0.7, 0.8), flesh: yellow},
			{density: beyond(0.8, 0.7), flesh: white}}, drawnTolerance, -1, 0},
		{"all clear and white among yellow", []sitter{
			{density: beyond(0.5, 0.8), flesh: yellow}, {density: evenly(0), flesh: white}, {density: beyond(0.7, 0.8), flesh: yellow}}, drawnTolerance, -1, 0},
		{"stain of several hues", []sitter{
			{density: beyond(0.5, 0.8)}, {density: beyond(0.6, 0.8), stain: black}, {density: beyond(0.7, 0.8), stain: [3]float64{1, 0.97, 0.90}},
			{density: beyond(0.5, 0.6), stain: [3]float64{1, 1.04, 0.55}}}, drawnTolerance, -1, 0},
		{"one face in open shade", []sitter{
			{density: beyond(0.5, 0.8)}, {density: beyond(0.6, 0.8), light: -0.3}, {density: beyond(0.7, 0.8)}}, drawnTolerance, -1, 0},
		{"one face without clear flesh", []sitter{
			{density: beyond(0.5, 0.8)}, {density: evenly(0.9)}, {density: beyond(0.7, 0.8)}}, drawnTolerance, -1, 0},
		{"stained faces with stain of a black that blues little", []sitter{
			{density: evenly(1), stain: black}, {density: beyond(0.6, 0.8), stain: black}, {density: evenly(1.2), stain: black}}, drawnTolerance, -1, 0},
		{"a film over an all stained face", []sitter{
			{density: beyond(0.5, 0.8), flesh: yellow}, {density: evenly(0.9), flesh: yellow, veil: film}, {density: beyond(0.7, 0.8), flesh: yellow},
			{density: beyond(0.6, 0.8), flesh: yellow}}, drawnTolerance, 1, 0.1},
	} {
		d := drawFaces(lamp{-0.05, 0.05, 0}, tt.sitters...)
		for i, r := range d.off() {
			most := tt.allowed
			if i == tt.allowAt {
				most = tt.allowFor
			}
			if r > most {
				t.Errorf("%s: face %d is %.4f off, may be %.3f", tt.name, i+1, r, most)
			}
		}
	}
}

// off is the error of each face.
func (d drawing) off() []float64 {
	var out []float64
	for i, r := range d.read() {
		out = append(out, math.Abs(stained(r.Profile)-stained(d.truth[i])))
	}
	return out
}

// A shadow falls across a face: straight, in one place, as dark as thin stain and of the colour
// of the flesh. Its edge may be lost by a pixel, of 90 times 1.27.
func TestShadowAcrossFace(t *testing.T) {
	for name, stain := range map[string][3]float64{"blue-black": Default().Complex, "black": black} {
		d := drawFaces(evenLamp, sitter{density: beyond(0.6, 0.8), stain: stain}, sitter{density: beyond(0.7, 0.8), stain: stain}, sitter{density: beyond(0.5, 0.8), stain: stain})
		f := d.faces[1]
		for y := range d.Rows {
			for x := range d.Cols {
				dx, dy := float64(x)+0.5-f.X, float64(y)+0.5-f.Y
				if rho := math.Hypot(dx, dy) / drawnRadius; rho < drawnFlesh && dx+0.3*dy > 15 {
					c, _ := sitter{stain: stain}.shown(rho, beyond(0.7, 0.8)(rho, 0))
					d.put(x, y, c, -0.25, 0)
				}
			}
		}
		for i, off := range d.off() {
			if off > drawnTolerance {
				t.Errorf("%s: face %d is %.4f off", name, i+1, off)
			}
		}
	}
}

// Where the tray shows no clear flesh, the dark and blue of what it shows says so.
func TestNoClearFlesh(t *testing.T) {
	for name, tt := range map[string]struct {
		sitters []sitter
		seen    bool
		want    float64
	}{
		"all stained": {[]sitter{{density: evenly(1)}, {density: evenly(0.9)}, {density: evenly(1.1)}}, false, 1},
		"one half, all stained with a brown that blues little": {[]sitter{{density: evenly(1.3), stain: [3]float64{1, 0.97, 0.90}}}, false, 1},
		"one half, all stained":                                {[]sitter{{density: evenly(1.1)}}, false, 1},
		"all clear in little light":                            {[]sitter{{density: evenly(0), light: -0.4}, {density: evenly(0), light: -0.4}}, true, 0},
		"all clear in an eighth of the light":                  {[]sitter{{density: evenly(0), light: -0.9}, {density: evenly(0), light: -0.9}}, true, 0},
		"all clear":                                            {[]sitter{{density: evenly(0)}, {density: evenly(0)}}, true, 0},
		"all clear and white":                                  {[]sitter{{density: evenly(0), flesh: white}, {density: evenly(0), flesh: white}}, true, 0},
	} {
		d := drawFaces(evenLamp, tt.sitters...)
		for i, r := range d.read() {
			if f := stained(r.Profile); r.LightSeen != tt.seen || math.Abs(f-tt.want) > drawnTolerance {
				t.Errorf("%s: face %d is %.4f stained, clear flesh seen %v; want %v, %v", name, i+1, f, r.LightSeen, tt.want, tt.seen)
			}
		}
	}
}

// What is light in the core of a face all stained is its lining where it is warmer than the clear flesh of the others,
// and else the first flesh to clear.
func TestLiningAmidStain(t *testing.T) {
	for name, tt := range map[string]struct {
		sitter sitter
		want   float64
	}{
		"lining":        {sitter{density: evenly(0.9), lining: star(0.15)}, 1},
		"clearing core": {sitter{density: beyond(0.15, 0.9)}, 1 - 0.15*0.15/(drawnFlesh*drawnFlesh)},
	} {
		d := drawFaces(evenLamp, sitter{density: beyond(0.6, 0.8)}, tt.sitter, sitter{density: beyond(0.5, 0.8)})
		r := d.read()[1]
		if f := stained(r.Profile); r.Clear > 0 || math.Abs(f-tt.want) > 0.004 {
			t.Errorf("%s: %.4f stained, want %.4f; clear flesh of its own %.3f", name, f, tt.want, r.Clear)
		}
	}
}

// star is the lining of five carpels.
func star(warm float64) look {
	return func(rho, a float64) float64 {
		if rho < 0.13+0.1*math.Cos(5*a) {
			return warm
		}
		return 0
	}
}

// A face whose light is borrowed is surer the more alike the light of the others is.
func TestDoubtOfBorrowedLight(t *testing.T) {
	faint := beyond(0.5, 0.18) // within what the light may be off
	d := drawFaces(evenLamp, sitter{density: beyond(0.5, 0.8)}, sitter{density: beyond(0.6, 0.8)}, sitter{density: faint})
	if r := d.read()[2]; r.High-r.Low < 0.5 {
		t.Errorf("faint stain: %.3f to %.3f, the faint part is 0.73 of the face", r.Low, r.High)
	}
	m := Default()
	even, odd := []light{{share: 0.5, level: [3]float64{-0.2, -0.25, -0.5}}, {}}, []light{{share: 0.5, level: [3]float64{-0.4, -0.45, -0.7}}, {}}
	tr := tray{scale: 1, level: -0.2}
	m.borrow(tr, []Face{{}, {}}, even)
	m.borrow(tr, []Face{{}, {}}, odd)
	if even[1].doubt >= odd[1].doubt || even[1].level[0] != -0.2 || even[1].blue() != even[0].blue() {
		t.Errorf("borrowed %+v beside a face like the tray, %+v beside one that is not", even[1], odd[1])
	}
}
