package locate

import (
	"image/jpeg"
	"math"
	"os"
	"testing"
)

// Halves stained as dark as their tray end at the skin, not where the stain begins: testdata/dark.jpg is ray-traced for this project, with the true
// centres and radii in px.
func TestDarkStainOnDarkTray(t *testing.T) {
	file, err := os.Open("testdata/dark.jpg")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	img, err := jpeg.Decode(file)
	if err != nil {
		t.Fatal(err)
	}
	faces := facesOf(t, img)
	truth := [][3]float64{{372, 207, 75.9}, {548, 196, 73.5}, {717, 192, 71.2}, {324, 388, 84.8}, {518, 386, 83.9}, {703, 366, 78.9}, {366, 578, 85.7}, {561, 576, 85.4}, {751, 548, 82.7}}
	if len(faces) != len(truth) {
		t.Fatalf("%d faces found, %d are there", len(faces), len(truth))
	}
	for _, want := range truth {
		best := faces[0]
		for _, f := range faces {
			if math.Hypot(f.Core.X-want[0], f.Core.Y-want[1]) < math.Hypot(best.Core.X-want[0], best.Core.Y-want[1]) {
				best = f
			}
		}
		if off := best.Radius/want[2] - 1; math.Abs(off) > 0.03 {
			t.Errorf("the half at %.0f, %.0f has a radius of %.1f px, true are %.1f", want[0], want[1], best.Radius, want[2])
		}
	}
}
