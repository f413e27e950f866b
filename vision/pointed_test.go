package vision

import (
	"math"
	"os"
	"testing"
)

// A half that is pointed to is found where it is, though the tap is a sixth off;
// in place of one that was found it makes no second one.
func TestPointed(t *testing.T) {
	photo, err := os.ReadFile("../testdata/trays/larkfield_demo.jpg")
	if err != nil {
		t.Fatal(err)
	}
	plain, err := Measure(photo, Options{})
	if err != nil {
		t.Fatal(err)
	}
	want := plain.Halves[4]
	off := want.Radius / 6
	tap := Disc{Point{want.Centre.X + off/2, want.Centre.Y - off/2}, want.Radius + off}
	told, err := Measure(photo, Options{Pointed: []Disc{tap}})
	if err != nil {
		t.Fatal(err)
	}
	if len(told.Halves) != len(plain.Halves) {
		t.Fatalf("%d halves, want %d", len(told.Halves), len(plain.Halves))
	}
	got := told.Halves[4]
	if d := math.Hypot(got.Centre.X-want.Centre.X, got.Centre.Y-want.Centre.Y); d > 0.05*want.Radius || math.Abs(got.Radius-want.Radius) > 0.02*want.Radius {
		t.Errorf("found at %v with radius %.0f, want %v with %.0f", got.Centre, got.Radius, want.Centre, want.Radius)
	}
	// Where there is no half, a person's word counts all the same.
	empty := Disc{emptyPlace(plain), 0.8 * want.Radius}
	if more, err := Measure(photo, Options{Pointed: []Disc{empty}}); err != nil || len(more.Halves) != len(plain.Halves)+1 {
		t.Errorf("%d halves with one pointed out beside them, %v; want %d", len(more.Halves), err, len(plain.Halves)+1)
	}
}

// emptyPlace is the one farthest from all halves and from the frame.
func emptyPlace(t Tray) (best Point) {
	far := 0.0
	for x := 0.0; x < float64(t.Width); x += 20 {
		for y := 0.0; y < float64(t.Height); y += 20 {
			d := min(x, y, float64(t.Width)-x, float64(t.Height)-y)
			for _, h := range t.Halves {
				d = min(d, math.Hypot(x-h.Centre.X, y-h.Centre.Y)-h.Radius)
			}
			if d > far {
				far, best = d, Point{x, y}
			}
		}
	}
	return best
}
