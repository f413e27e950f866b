package main

import (
	"math"
	"slices"
	"testing"

	"traystage/vision"
)

func square(x, y, side float64) []vision.Point {
	return []vision.Point{{X: x, Y: y}, {X: x + side, Y: y}, {X: x + side, Y: y + side}, {X: x, Y: y + side}}
}

func disc(x, y, r float64, corners int) []vision.Point {
	out := make([]vision.Point, corners)
	for i := range out {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(corners))
		out[i] = vision.Point{X: x + r*c, Y: y + r*s}
	}
	return out
}

func TestOverlapOfSquares(t *testing.T) {
	big := 1000.0
	for _, c := range []struct {
		name string
		a, b []vision.Point
		want float64
	}{
		{"same", square(10, 10, 40), square(10, 10, 40), 1},
		{"apart", square(10, 10, 40), square(60, 10, 40), 0},
		{"touching", square(10, 10, 40), square(50, 10, 40), 0},
		{"shifted by half: 20 of 60", square(10, 10, 40), square(30, 10, 40), 1.0 / 3},
		{"shifted both ways: 400 of 2800", square(10, 10, 40), square(30, 30, 40), 400.0 / 2800},
		{"one inside: 100 of 1600", square(10, 10, 40), square(20, 20, 10), 100.0 / 1600},
		// The diamond with half diagonal 20 fits the square of side 40: half of it.
		{"diamond in square", square(10, 10, 40), []vision.Point{{X: 30, Y: 10}, {X: 50, Y: 30}, {X: 30, Y: 50}, {X: 10, Y: 30}}, 0.5},
		// Half of the first square is outside the frame; inside, both are the same 20 by 40.
		{"cut by the frame", square(-20, 10, 40), square(0, 10, 20), 20.0 * 20 / (20 * 40)},
		{"cut alike", square(-20, -20, 40), square(-30, -30, 50), 1},
		{"outside the frame", square(-50, 0, 40), square(-50, 0, 40), 0},
		{"no corners", nil, square(0, 0, 40), 0},
		// A C of 300 less a mouth of 100 (10 by 10), with the square that fills the mouth.
		{"mouth of a C", []vision.Point{{X: 0, Y: 0}, {X: 20, Y: 0}, {X: 20, Y: 5}, {X: 10, Y: 5}, {X: 10, Y: 15}, {X: 20, Y: 15}, {X: 20, Y: 20}, {X: 0, Y: 20}},
			square(5, 5, 10), 50.0 / (300 + 50)},
	} {
		reversed := slices.Clone(c.b)
		slices.Reverse(reversed)
		for way, b := range map[string][]vision.Point{"": c.b, " reversed": reversed} {
			if got := iou(c.a, b, big, big); math.Abs(got-c.want) > 1e-9 {
				t.Errorf("%s%s: %.6f, want %.6f", c.name, way, got, c.want)
			}
			if got := iou(b, c.a, big, big); math.Abs(got-c.want) > 1e-9 {
				t.Errorf("%s%s, swapped: %.6f, want %.6f", c.name, way, got, c.want)
			}
		}
	}
}

// Two circles of radius r with centres d apart share the lens
// 2 r^2 acos(d / 2r) - d/2 sqrt(4 r^2 - d^2).
func TestOverlapOfShiftedDiscs(t *testing.T) {
	const r, corners = 100.0, 720
	for _, d := range []float64{0, 1, 5, 30, 100, 150, 199} {
		lens := 2*r*r*math.Acos(d/(2*r)) - d/2*math.Sqrt(4*r*r-d*d)
		want := lens / (2*math.Pi*r*r - lens)
		for _, bearing := range []float64{0, 0.3, 1, math.Pi / 2} {
			s, c := math.Sincos(bearing)
			got := iou(disc(500, 500, r, corners), disc(500+d*c, 500+d*s, r, corners), 1000, 1000)
			if math.Abs(got-want) > 2e-4 {
				t.Errorf("discs %.0f apart at %.1f: %.5f, want %.5f", d, bearing, got, want)
			}
		}
	}
}

func TestAreaOfDiscCutByTheFrame(t *testing.T) {
	got := area(clip(disc(0, 0, 100, 3600), 1000, 1000))
	if want := math.Pi * 100 * 100 / 4; math.Abs(got-want) > 0.1 {
		t.Errorf("a quarter disc has %.2f px, want %.2f", got, want)
	}
}
