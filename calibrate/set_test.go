package calibrate

import (
	"bytes"
	"image"
	"image/jpeg"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"
)

var oneToEight = Scale{Stained: 1, Clear: 8, Step: 0.1}

// ringWeights are the shares of a disc that five rings of equal width hold:
// (2j+1)/25.
var ringWeights = []float64{0.04, 0.12, 0.20, 0.28, 0.36}

// fromCore is the profile of a disc that is cleared from the core outward but
// for the stained fraction given.
func fromCore(stained float64, weights []float64) []float64 {
	out := make([]float64, len(weights))
	clear := 1 - stained
	for j, w := range weights {
		out[j] = 1 - math.Min(1, math.Max(0, clear/w))
		clear -= w
	}
	return out
}

func corePlate(stage, stained float64) Plate {
	return Plate{Stage: stage, Stained: stained, Zones: fromCore(stained, ringWeights), Weights: ringWeights, Source: "drawn"}
}

// straightPlates are plates at the given stages whose stained fraction falls
// in a straight line from one end of the scale to the other.
func straightPlates(scale Scale, stages ...float64) []Plate {
	var out []Plate
	for _, s := range stages {
		out = append(out, corePlate(s, 1-scale.position(s)/scale.Span()))
	}
	return out
}

func straightSet(t testing.TB, scale Scale, stages ...float64) Set {
	t.Helper()
	s, err := New("larkfield", scale, 0.2, straightPlates(scale, stages...)...)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func mustFit(t testing.TB, s Set) *Path {
	t.Helper()
	p, err := Fit(s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func smallJPEG(t testing.TB, side int) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, side, side)), nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestValidateSays(t *testing.T) {
	tests := []struct {
		name  string
		spoil func(*Set)
		want  string // part of the error; empty when the set is fine
	}{
		{"fine", func(s *Set) {}, ""},
		{"no name", func(s *Set) { s.Name = "" }, "has no name"},
		{"path as name", func(s *Set) { s.Name = "../gala" }, "cannot be used"},
		{"version 0", func(s *Set) { s.Version = 0 }, "counted from 1"},
		{"version 2 without parent", func(s *Set) { s.Version = 2 }, "digest of its parent"},
		{"parent no digest", func(s *Set) { s.Version, s.Parent = 2, "abc" }, "not the digest"},
		{"density", func(s *Set) { s.StainedDensity = math.NaN() }, "stained density"},
		{"note", func(s *Set) { s.Note = strings.Repeat("a", 2001) }, "2001 characters"},
		{"scale without length", func(s *Set) { s.Scale.Clear = 1 }, "two ends are the same"},
		{"scale without step", func(s *Set) { s.Scale.Step = 0 }, "step of 0"},
		{"scale not a number", func(s *Set) { s.Scale.Clear = math.Inf(1) }, "not a stage"},
		{"one plate", func(s *Set) { s.Plates = s.Plates[:1] }, "at least two"},
		{"one stage", func(s *Set) { s.Plates = []Plate{s.Plates[1], s.Plates[1]} }, "all plates have stage 2"},
		{"off the scale", func(s *Set) { s.Plates[7].Stage = 8.1 }, "plate 8 (stage 8.1): its stage is not on the scale from 1 to 8"},
		{"stage not a number", func(s *Set) { s.Plates[7].Stage = math.NaN() }, "not on the scale"},
		{"almost the same stage", func(s *Set) { s.Plates[2].Stage = 2 + 1e-9 }, "almost the same stage"},
		{"fraction", func(s *Set) { s.Plates[2].Stained = 1.01 }, "plate 3 (stage 3): stained fraction 1.01"},
		{"zone fraction", func(s *Set) { s.Plates[2].Zones[1] = -0.1 }, "zone 2"},
		{"zone not a number", func(s *Set) { s.Plates[2].Zones[1] = math.NaN() }, "zone 2"},
		{"no zones", func(s *Set) { s.Plates[0].Zones = nil }, "0 zones"},
		{"weights short", func(s *Set) { s.Plates[0].Weights = ringWeights[:4] }, "4 weights for 5 zones"},
		{"weights sum", func(s *Set) { s.Plates[0].Weights = []float64{0.2, 0.2, 0.2, 0.2, 0.3} }, "add up to 1.1000"},
		{"zones differ", func(s *Set) {
			s.Plates[3].Zones, s.Plates[3].Weights = []float64{0.5, 0.6}, []float64{0.3, 0.7}
		}, "plate 4 (stage 4) has 2 zones where plate 1 has 5"},
		{"source", func(s *Set) { s.Plates[0].Source = "\xff" }, "source is not valid text"},
		{"picture", func(s *Set) { s.Plates[0].Picture = []byte("GIF89a") }, "not a JPEG"},
		{"picture size", func(s *Set) { s.Plates[0].Picture = make([]byte, 256<<10+1) }, "256 KB"},
		{"picture side", func(s *Set) { s.Plates[0].Picture = smallJPEG(t, 2049) }, "2049 by 2049 pixels"},
		{"stages swapped", func(s *Set) { s.Plates[2], s.Plates[3] = s.Plates[3], s.Plates[2] }, "stands after"},
		// Stage 4 has 4/7 = 0.571; 0.02 more than stage 3's 5/7 = 0.714 is noise, 0.03 more is not.
		{"rise within noise", func(s *Set) { s.Plates[3].Stained = 0.734 }, ""},
		{"rise", func(s *Set) { s.Plates[3].Stained = 0.744 },
			"plates out of order: plate 4 (stage 4), stained 0.74, is more stained than plate 3 (stage 3), stained 0.71: check"},
		{"two rises", func(s *Set) { s.Plates[1].Stained = 0.3 }, "plate 3 (stage 3), stained 0.71, is more stained than plate 2 (stage 2), stained 0.30; plate 4"},
		{"twins agree", func(s *Set) { s.Plates = slices.Insert(s.Plates, 3, corePlate(3, 0.65)) }, ""},
		{"twins contradict", func(s *Set) { s.Plates = slices.Insert(s.Plates, 3, corePlate(3, 0.60)) },
			"plate 4 (stage 3), stained 0.60, contradicts plate 3 (stage 3), stained 0.71"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := straightSet(t, oneToEight, 1, 2, 3, 4, 5, 6, 7, 8)
			tt.spoil(&s)
			err := s.Validate()
			if tt.want == "" {
				if err != nil {
					t.Errorf("Validate: %v", err)
				}
				return
			}
			if err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("Validate: %v, want %q in it", err, tt.want)
			}
			if _, err := Fit(s); err == nil {
				t.Error("Fit took a set that Validate refuses")
			}
		})
	}
}

func TestNewOrdersPlates(t *testing.T) {
	down := Scale{Stained: 10, Clear: 1, Step: 0.5}
	s, err := New("falling", down, 0.2, straightPlates(down, 1, 10, 4)...)
	if err != nil {
		t.Fatal(err)
	}
	got := []float64{s.Plates[0].Stage, s.Plates[1].Stage, s.Plates[2].Stage}
	if want := []float64{10, 4, 1}; !slices.Equal(got, want) {
		t.Errorf("stages %v, want %v", got, want)
	}
}

func TestNextLeavesTheOldVersion(t *testing.T) {
	first := straightSet(t, oneToEight, 1, 4, 8)
	before, err := first.Digest()
	if err != nil {
		t.Fatal(err)
	}
	added := straightPlates(oneToEight, 6, 2)
	second, err := first.Next(added...)
	if err != nil {
		t.Fatal(err)
	}
	if second.Version != 2 || second.Parent != before || len(second.Plates) != 5 {
		t.Errorf("version %d, parent %q, %d plates; want 2, %q, 5", second.Version, second.Parent, len(second.Plates), before)
	}
	second.Plates[0].Zones[0], added[0].Zones[0] = 0.123, 0.456
	if after, err := first.Digest(); err != nil || after != before {
		t.Errorf("the first version changed: digest %s, %v; was %s", after, err, before)
	}
	if second.Plates[3].Zones[0] == 0.456 {
		t.Error("the second version shares its zones with the plates it was given")
	}
}

func TestNextRefuses(t *testing.T) {
	s := straightSet(t, oneToEight, 1, 4, 8)
	tests := []struct {
		name   string
		plates []Plate
		want   string
	}{
		{"nothing", nil, "no plates given"},
		{"contradiction", []Plate{corePlate(6, 0.9)}, "out of order"},
		{"off the scale", []Plate{corePlate(0, 1)}, "not on the scale"},
	}
	for _, tt := range tests {
		if _, err := s.Next(tt.plates...); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: %v, want %q in it", tt.name, err, tt.want)
		}
	}
}

func TestPlateFrom(t *testing.T) {
	o := Observation{Zones: fromCore(0.5, ringWeights), Weights: slices.Clone(ringWeights), Stained: 0.5}
	picture := smallJPEG(t, 8)
	got := PlateFrom(o, 4.5, "tray.jpg half 3", picture)
	want := Plate{Stage: 4.5, Stained: 0.5, Zones: fromCore(0.5, ringWeights), Weights: ringWeights, Source: "tray.jpg half 3", Picture: slices.Clone(picture)}
	o.Zones[0], o.Weights[0], picture[0] = 9, 9, 9
	if !reflect.DeepEqual(got, want) {
		t.Errorf("PlateFrom = %+v, want %+v", got, want)
	}
}

func TestSetIsNotCalibratedByPlatesAlone(t *testing.T) {
	if straightSet(t, oneToEight, 1, 8).Calibrated() {
		t.Error("a set of two plates says that it is calibrated")
	}
}
