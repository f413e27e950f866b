package stain

import (
	"math"
	"sync"
	"testing"
)

// scenes show every part of the model at work.
var scenes = sync.OnceValue(func() []drawing {
	veil := func(rho, a float64) float64 {
		if rho > 0.5 && a < 1 {
			return 0.3
		}
		return 0
	}
	ramp := func(rho, _ float64) float64 { return 0.9 * rho * rho } // from clear to dense, through the threshold
	grains := func(rho, a float64) float64 {
		if int(90*rho*math.Cos(a)+200)%3 == 0 {
			return 1
		}
		return 0
	}
	lined := func(rho, _ float64) float64 { // a core darker than flesh by what is no stain
		if rho < 0.2 {
			return 0.09
		}
		return 0
	}
	mottled := func(_, a float64) float64 { return 0.4 + 0.08*math.Round(math.Sin(5*a)) }
	film := func(_, a float64) float64 { return 0.4 * math.Round(a/(2*math.Pi)) }
	pale := [3]float64{0.62, 0.56, 0.49}
	blue := [3]float64{1, 0.8, 0.3}
	bright := [3]float64{0.95, 0.90, 0.45}   // bent by the shoulder
	shadow := func(rho, a float64) float64 { // clear in light and in shade of its colour, and stain
		switch {
		case rho > 0.7:
			return 0.9
		case a < 2:
			return 0.28
		}
		return 0
	}
	grey := [3]float64{1, 0.93, 0.93}
	tan := [3]float64{1, 1.3, 1.9}
	return []drawing{
		drawFaces(lamp{0, 0.1, 0}, sitter{density: ramp}, sitter{density: ramp, flesh: bright}, sitter{density: ramp, light: -0.3}, sitter{density: evenly(0.8)}),
		drawFaces(lamp{0.1, 0.25, 0}, sitter{density: ramp, flesh: yellow, veil: veil}, sitter{density: evenly(0.8), flesh: yellow, veil: veil}, sitter{density: grains}, sitter{density: beyond(0.6, 0.8)}),
		drawFaces(evenLamp, sitter{density: lined, stain: tan}, sitter{density: beyond(0.93, 0.22), stain: tan}, sitter{density: ramp, stain: [3]float64{1, 0.95, 0.9}}),
		drawFaces(evenLamp, sitter{density: beyond(0.26, 0.8), light: -0.30}, sitter{density: beyond(0.5, 0.8)}, sitter{density: beyond(0.8, 0.6)}),
		drawFaces(evenLamp, sitter{density: beyond(0.25, 0.8)}, sitter{density: beyond(0.5, 0.8), light: 0.17}, sitter{density: beyond(0.8, 0.6)}),
		drawFaces(evenLamp, sitter{density: beyond(0.5, 0.8), flesh: yellow}, sitter{density: evenly(0.9), flesh: yellow, stain: blue, veil: film}, sitter{density: beyond(0.7, 0.8), flesh: yellow}),
		drawFaces(evenLamp, sitter{density: beyond(0.5, 0.8), flesh: pale}, sitter{density: evenly(0.9), flesh: pale, stain: black, veil: film}, sitter{density: beyond(0.7, 0.8), flesh: pale}),
		drawFaces(evenLamp, sitter{density: beyond(0.5, 0.8)}, sitter{density: evenly(0.9), lining: star(0.12)}, sitter{density: beyond(0.7, 0.8)}),
		drawFaces(evenLamp, sitter{density: beyond(0.5, 0.8), stain: grey}, sitter{density: beyond(0.5, 0.8), stain: grey, light: -0.4}, sitter{density: beyond(0.7, 0.8), stain: grey}),
		drawFaces(evenLamp, sitter{density: shadow, stain: grey}, sitter{density: beyond(0.7, 0.8)}),
		drawFaces(evenLamp, sitter{density: beyond(0.5, 0.8), stain: grey, ground: 0.085}, sitter{density: beyond(0.6, 0.8), stain: grey},
			sitter{density: beyond(0.7, 0.8), stain: grey, ground: -0.085}, sitter{density: mottled, stain: grey, ground: 0.17}),
		drawFaces(evenLamp, sitter{density: evenly(0.9)}, sitter{density: evenly(0.7)}),
	}
})

// summary is what readings come to, so that any change shows.
func summary(m Model) (out []float64) {
	for _, d := range scenes() {
		for _, r := range m.Read(d.Picture, d.faces, 5, 0.20) {
			out = append(out, stained(r.Profile), r.Low, r.High, r.Glare, r.Profile.Masked(), r.Level)
		}
	}
	return out
}

// Every constant does something: 30 % more or less of it changes some figure of some drawing.
func TestEveryConstantMatters(t *testing.T) {
	base := summary(Default())
	for _, c := range Constants() {
		most := 0.0
		for _, factor := range []float64{0.7, 1.3} {
			m := Default()
			*c.Of(&m) *= factor
			for i, v := range summary(m) {
				most = math.Max(most, math.Abs(v-base[i]))
			}
		}
		if most < 0.001 {
			t.Errorf("%s: 30 %% more or less changes no figure by more than %.5f", c.Name, most)
		}
	}
}
