package locate

import (
	"math"
	"slices"
	"testing"
)

func TestWalk(t *testing.T) {
	p := drawnPicture(20, 10, func(float64, float64) float64 { return 50 })
	const right, down = 0, bearings / 4
	for _, tt := range []struct {
		name    string
		x, y    float64
		bearing int
		want    []int32 // row*20 + column
		within  int
	}{
		{"along a row", 3.5, 2.5, right, []int32{44, 46, 48, 50}, 4},
		{"down a column", 3.5, 1.5, down, []int32{43, 83, 123, 163}, 4},
		{"out at the right", 15.5, 2.5, right, []int32{56, 58, 59, 59}, 2},
		{"out at the bottom", 3.5, 8.5, down, []int32{183, 183, 183, 183}, 1},
	} {
		got := make([]int32, len(tt.want))
		within := p.walk(tt.x, tt.y, tt.bearing, 1, 2, got)
		if !slices.Equal(got, tt.want) || within != tt.within {
			t.Errorf("%s: pixels %v, %d within; want %v, %d", tt.name, got, within, tt.want, tt.within)
		}
	}
}

// On a slope the mean of any points is the value in their middle: the step over
// spans of n points is n times the slope per point.
func TestSteps(t *testing.T) {
	const slope, dr, span, points = 1.5, 0.7, 4, 40 // L* a pixel, pixels, points
	p := drawnPicture(60, 20, func(x, _ float64) float64 { return 10 + slope*x })
	r, pixels, got := newRay(points), make([]int32, points), make([]float32, points)
	for name, look := range map[string]func(){
		"between pixels": func() { r.between(p, 5, 10, 0, 3, dr) },
		"whole pixels":   func() { p.walk(5, 10, 0, 3, dr, pixels); r.over(p, pixels) },
	} {
		look()
		r.steps(span, got)
		// 8-bit values are half of 100/255 off at most, and so are means of them;
		// whole pixels are half a pixel off as well.
		most := 100.0 / 255
		if name == "whole pixels" {
			most += slope
		}
		for k, v := range got {
			want := slope * dr * span
			if k < span || k+span > points { // too short to tell
				want = 0
			}
			if math.Abs(float64(v)-want) > most {
				t.Errorf("%s: step %d is %.2f, want %.2f", name, k, v, want)
			}
		}
	}
}
