package stain

import (
	"math"
	"testing"
)

// ramps is a patch of edges that rise and fall by step over width pixels, 20 px apart.
func ramps(width float64, step float64) *patch {
	q := &patch{w: 200, h: 60}
	q.rho, q.raw = make([]float32, q.w*q.h), make([]byte, 3*q.w*q.h)
	for i := range q.rho {
		x := float64(i%q.w%40) - 10 // rises from 0, falls from 20
		up := math.Min(math.Max(x/width, 0), 1)
		down := math.Min(math.Max((x-20)/width, 0), 1)
		q.raw[3*i+2] = byte(math.Round(60 + step*(up-down)))
	}
	return q
}

// Over one pixel an edge w wide changes by 1/w of its height, over four by 4/w
// but no more than all of it. From 4 px on the two are as one to four, which is 0;
// below, the focus is (4/w - 1) / 0.75.
func TestFocus(t *testing.T) {
	for _, tt := range []struct{ width, step, want float64 }{
		{1, 120, 1},
		{2, 120, 1},
		{3, 120, (4.0/3 - 1) / 0.75},
		{4, 120, 0},
		{8, 120, 0},
		{8, 4, 1}, // too faint to tell
		{1, 0, 1}, // no edge at all
	} {
		if got := ramps(tt.width, tt.step).focus(); math.Abs(got-tt.want) > 0.02 {
			t.Errorf("edge of %v over %v px: focus %.3f, want %.3f", tt.step, tt.width, got, tt.want)
		}
	}
}
