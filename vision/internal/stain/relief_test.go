package stain

import (
	"math"
	"testing"
)

// flesh in small that a function darkens, log10 of one band.
func reliefOf(dark func(u, v float64) float64) *relief {
	r := &relief{}
	for y := range r.ok {
		for x := range r.ok[y] {
			u, v := (float64(x-reliefCells/2)+0.5)/reliefSteps, (float64(y-reliefCells/2)+0.5)/reliefSteps
			r.ok[y][x] = math.Hypot(u, v) < nearSkin
			for band := range 3 {
				r.c[y][x][band] = -0.2 - dark(u, v)
			}
		}
	}
	return r
}

// A face in small shows its flesh and nothing of its core and skin.
func TestRelief(t *testing.T) {
	d := drawTray(1, nil, sitter{density: aside180})
	c := newCurve(1)
	r := cut(d.Picture, d.faces[0], 1.5).relief(c)
	drop, ok := r.drop(0, 0.5, 0, -0.5)
	if !ok || math.Abs(drop[0]-0.8) > 0.02 || math.Abs(drop[2]-0.8*0.56) > 0.02 {
		t.Errorf("stain of 0.8 is darker by %.2f (%v)", drop, ok)
	}
	if _, ok := r.drop(0, 0.5, 0, 0.24); !ok {
		t.Error("no flesh beside the core")
	}
	for _, at := range [][2]float64{{0, 0.1}, {0, 0.98}, {0.8, 0.8}, {3, 0}} {
		if _, ok := r.drop(0, 0.5, at[0], at[1]); ok {
			t.Errorf("flesh at %v", at)
		}
	}
	f, up := r.flanks(), facing(3*turns/4)
	if got := f.beyond(up, 0.1); math.Abs(got-brightness(logs(cream))+0.8*(1+0.86+0.56)/3) > 0.03 {
		t.Errorf("stained flesh has %.2f", got)
	}
	if got := f.before(up, 0.1); math.Abs(got-brightness(logs(cream))) > 0.03 {
		t.Errorf("clear flesh has %.2f", got)
	}
	if got := f.beyond(up, 1.2); got != levelFloor {
		t.Errorf("nothing has %.2f", got)
	}
}

func logs(c [3]float64) (out [3]float64) {
	for band := range c {
		out[band] = math.Log10(c[band])
	}
	return out
}

// Flesh under a camera's shoulder may be brighter than full scale.
func TestFlanksAboveFullScale(t *testing.T) {
	for _, want := range []float64{-0.1, 0.05, 0.15} {
		if got := reliefOf(func(u, v float64) float64 { return -0.2 - want }).flanks().beyond(facing(0), 0); math.Abs(got-want) > 0.02 {
			t.Errorf("flesh at %.2f is told at %.2f", want, got)
		}
	}
}
