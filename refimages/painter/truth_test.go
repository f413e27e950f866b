package painter

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"
)

// small is a plain tray at a size that paints in a moment.
func small(seed int64, d Difficulty) Spec {
	s := RandomSpec(seed, d)
	s.Width, s.Height = s.Width/8, s.Height/8
	return s
}

func TestReadingOrder(t *testing.T) {
	hs := []HalfSpec{
		{X: 90, Y: 8, Radius: 36}, {X: -80, Y: -3, Radius: 36}, // one row, a little turned
		{X: 0, Y: 95, Radius: 36},
		{X: 10, Y: 2, Radius: 36},
		{X: -90, Y: 88, Radius: 36},
	}
	want := []placed{{1, 0}, {3, 0}, {0, 0}, {4, 1}, {2, 1}}
	for i, got := range readingOrder(hs) {
		if got != want[i] {
			t.Errorf("place %d holds half %d of row %d, want %v", i, got.index, got.row, want[i])
		}
	}
}

func TestOutlineHoldsThePixelsOfTheFace(t *testing.T) {
	spec := small(1, Plain)
	spec.Camera.Tilt, spec.Camera.Toward = 20, 80
	s := newScene(&spec)
	count := make([]int, len(s.halves))
	for y := range spec.Height {
		for x := range spec.Width {
			dir := s.cam.ray(float64(x)+0.5, float64(y)+0.5)
			near := s.near(nil, s.cam.eye, dir, 1)
			if h := s.trace(s.cam.eye, dir, near); h.on == onFace {
				count[h.index]++
			}
		}
	}
	truth := s.truth()
	if len(truth.Halves) == 0 {
		t.Fatal("no halves")
	}
	for k, o := range readingOrder(spec.Halves) {
		h := truth.Halves[k]
		if h.Clipped || h.Visible < 1 {
			continue
		}
		// whether a border pixel counts is chance: about sqrt(2 pi R) of pi R² pixels
		tol := 3 * math.Sqrt(2*math.Pi*h.Radius)
		if got, want := float64(count[o.index]), math.Pi*sq(h.Radius); math.Abs(got-want) > tol {
			t.Errorf("half %d: %g pixels, outline holds %.0f", k+1, got, want)
		}
	}
}

func TestClippedAndHiddenShares(t *testing.T) {
	spec := Spec{
		Seed: 1, Width: 200, Height: 200, Tray: Wood, Table: Laminate, TrayX: 300, TrayY: 300, Light: Overcast, LightHeight: 60,
		Camera: Camera{Toward: 90, Distance: 800, Focal: 4},
		Halves: []HalfSpec{{X: 100, Radius: 30, Height: level, Stage: 4, Family: Concentric, Seed: 7}},
	}
	// one pixel a mm: the frame ends at x = 100, through the core
	s := newScene(&spec)
	s.halves[0].shape = disc(30, level)
	h := s.truth().Halves[0]
	if !h.Clipped || math.Abs(h.Visible-0.5) > 0.03 {
		t.Errorf("cut through the core: clipped %v, visible %.3f", h.Clipped, h.Visible)
	}
	spec.Halves[0].X = 0
	s = newScene(&spec)
	h = s.truth().Halves[0]
	if h.Clipped || h.Visible != 1 || h.Centre != [2]float64{100, 100} {
		t.Errorf("in the middle: clipped %v, visible %.3f, centre %v", h.Clipped, h.Visible, h.Centre)
	}
	spec.Clutter = []ClutterSpec{{Kind: Fingers, X: 5, Seed: 3}}
	s = newScene(&spec)
	if h := s.truth().Halves[0]; h.Visible > 0.9 || h.Visible < 0.3 {
		t.Errorf("under two fingers %.3f of the face is visible", h.Visible)
	}
}

func TestTruthReadsTheTracedFile(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "trays", "traced", "truth.json"))
	if err != nil {
		t.Fatal(err)
	}
	var file struct{ Images []Truth }
	if err := json.Unmarshal(data, &file); err != nil {
		t.Fatal(err)
	}
	if len(file.Images) != 6 {
		t.Fatalf("%d pictures, want 6", len(file.Images))
	}
	for _, im := range file.Images {
		for i, h := range im.Halves {
			sum := 0.0
			for _, w := range h.Weights {
				sum += w
			}
			if len(h.Outline) < 64 || math.Abs(sum-1) > 0.01 || h.Radius <= 0 {
				t.Errorf("%s half %d: %d outline points, weights %.3f, radius %.1f", im.File, i+1, len(h.Outline), sum, h.Radius)
			}
		}
	}
}

func TestTruthSurvivesJSON(t *testing.T) {
	spec := small(2, Hard)
	s := newScene(&spec)
	want := s.truth()
	data, err := json.Marshal(want)
	if err != nil {
		t.Fatal(err)
	}
	var got Truth
	if err := json.Unmarshal(data, &got); err != nil {
		t.Fatal(err)
	}
	again, err := json.Marshal(got)
	if err != nil || string(again) != string(data) {
		t.Errorf("truth changes through JSON: %v", err)
	}
}

func TestZonesAsAsked(t *testing.T) {
	spec := small(1, Plain)
	spec.Zones = 8
	s := newScene(&spec)
	if h := s.truth().Halves[0]; len(h.Zones) != 8 || len(h.Weights) != 8 {
		t.Errorf("%d zones and %d weights, want 8", len(h.Zones), len(h.Weights))
	}
}
