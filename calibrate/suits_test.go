package calibrate

import (
	"fmt"
	"math"
	"testing"

	"traystage/vision/note"
)

// rings is a half that clears from the core outward, or where turned from the rim inward.
func rings(stained float64, turned bool) Observation {
	o := Observation{Stained: stained}
	edge := math.Sqrt(1 - stained) // radius of the clear disc
	for j := range 5 {
		a, b := float64(j)/5, float64(j+1)/5
		if turned {
			a, b = math.Sqrt(1-b*b), math.Sqrt(1-a*a)
		}
		clear := unit((edge*edge - a*a) / (b*b - a*a))
		o.Zones = append(o.Zones, 1-clear)
		o.Weights = append(o.Weights, (float64(2*j)+1)/25)
	}
	return o
}

func ringSet(t *testing.T) Set {
	var plates []Plate
	for stage := 1.0; stage <= 8; stage++ {
		plates = append(plates, PlateFrom(rings(1-(stage-1)/7, false), stage, fmt.Sprint(stage), nil))
	}
	s, err := New("rings", oneToEight, 0.2, plates...)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// mixed gives a tray of this share of its pattern from the core and the rest from the rim.
func mixed(share float64, stained ...float64) []Observation {
	var out []Observation
	for _, f := range stained {
		o, other := rings(f, false), rings(f, true)
		for j := range o.Zones {
			o.Zones[j] = share*o.Zones[j] + (1-share)*other.Zones[j]
		}
		out = append(out, o)
	}
	return out
}

func TestSuits(t *testing.T) {
	p := mustFit(t, ringSet(t))
	all := []float64{0.8, 0.75, 0.6, 0.5, 0.4, 0.3, 0.2}
	for _, c := range []struct {
		name    string
		tray    []Observation
		suits   bool
		far, of int
	}{
		{"its own pattern", mixed(1, all...), true, 0, 7},
		{"cleared from the rim", mixed(0, all...), false, 7, 7},
		{"a good part from the rim", mixed(0.6, all...), false, 7, 7},
		{"three of seven from the rim", append(mixed(0, all[:3]...), mixed(1, all[3:]...)...), true, 3, 7},
		{"four of seven from the rim", append(mixed(0, all[:4]...), mixed(1, all[4:]...)...), false, 4, 7},
		{"clear and full ones tell nothing", mixed(0, 1, 0.99, 0.97, 0.02, 0.5, 0), true, 1, 1},
		{"no half", nil, true, 0, 0},
	} {
		got := p.Suits(c.tray)
		if got.Suited() != c.suits || got.N != c.far || got.Of != c.of || len(got.Unlike) != len(c.tray) {
			t.Errorf("%s: %+v, suits %v; want %d of %d, %v", c.name, got, got.Suited(), c.far, c.of, c.suits)
		}
		want := note.Note{}
		if !c.suits {
			want = note.New(SetUnlike, note.Count("n", c.far), note.Count("of", c.of))
		}
		if !got.Why().Equal(want) {
			t.Errorf("%s: %v, want %v", c.name, got.Why(), want)
		}
	}
}

// What passes as a half by itself does not as a tray: each half then says so, and those that are
// like the plates do not.
func TestCallTrayTellsWhatIsUnlike(t *testing.T) {
	p := mustFit(t, ringSet(t))
	tray := append(mixed(0.9, 0.75, 0.6, 0.5, 0.4, 0.3), mixed(1, 0.7)...)
	if !p.Suits(tray).Unlike[2] {
		t.Fatal("a tenth of the pattern from the rim is like the plates: the test shows nothing")
	}
	for i, c := range p.CallTray(tray, 3) {
		alone := p.Call(tray[i], 3)
		if alone.unlike() {
			t.Fatalf("half %d is unlike by itself: the test shows nothing", i)
		}
		if far := p.Suits(tray).Unlike[i]; c.unlike() != far || far && !c.Borderline || c.Stage != alone.Stage || c.Low != alone.Low {
			t.Errorf("half %d, unlike %v: %+v; by itself %+v", i, far, c, alone)
		}
	}
	for i, c := range p.CallTray(mixed(1, 0.75, 0.6, 0.5, 0.4)) {
		if c.unlike() || c.Borderline {
			t.Errorf("half %d of the set's own kind: %v", i, c.Reasons)
		}
	}
}

func TestIsBuiltIn(t *testing.T) {
	for name, want := range map[string]bool{"builtin-1-8": true, "larkfield-gala": false, "gala-builtin": false} {
		if IsBuiltIn(name) != want {
			t.Errorf("%s is built in: %v", name, !want)
		}
	}
}
