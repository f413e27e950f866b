package calibrate

import (
	"math"
	"slices"
	"testing"

	"traystage/vision/note"
)

func TestBetween(t *testing.T) {
	up := mustFit(t, straightSet(t, oneToEight, 1, 4, 8))
	down := mustFit(t, straightSet(t, Scale{8, 1, 0.1}, 8, 4, 1))
	part := mustFit(t, straightSet(t, oneToEight, 3, 4, 6))
	tests := []struct {
		name    string
		path    *Path
		stained float64
		want    [2]float64
	}{
		{"in the first gap", up, 0.9, [2]float64{1, 4}},
		{"at the middle plate", up, 4.0 / 7, [2]float64{1, 4}},
		{"in the last gap", up, 0.2, [2]float64{4, 8}},
		{"at the stained end", up, 1, [2]float64{1, 4}},
		{"at the clear end", up, 0, [2]float64{4, 8}},
		{"on a falling scale", down, 0.9, [2]float64{8, 4}},
		{"before the first plate", part, 1, [2]float64{3, 4}},
		{"after the last plate", part, 0, [2]float64{4, 6}},
	}
	for _, tt := range tests {
		if got := tt.path.Call(seenAt(tt.stained)).Between; got != tt.want {
			t.Errorf("%s: between %v, want %v", tt.name, got, tt.want)
		}
	}
}

func TestInterval(t *testing.T) {
	whole := mustFit(t, straightSet(t, oneToEight, 1, 2, 3, 4, 5, 6, 7, 8))
	wide := mustFit(t, straightSet(t, oneToEight, 1, 4.5, 8))
	part := mustFit(t, straightSet(t, oneToEight, 3, 4, 5, 6))
	open := seenAt(0.5)
	open.StainedLow, open.StainedHigh = 0.4, 0.52
	masked := seenAt(0.5)
	masked.Masked = 0.45
	unsaid := seenAt(0.5)
	unsaid.StainedLow, unsaid.StainedHigh = 0, 0
	// 0.01 of the face is 0.07 stage on the straight line, and half a step 0.05.
	// At stage 4.5 the half gap adds 0.1: sqrt(0.5² + 0.07² + 0.05² + 0.1²) = 0.517.
	tests := []struct {
		name           string
		path           *Path
		half           Observation
		stained, clear float64 // half widths towards the two ends
	}{
		{"between plates", whole, seenAt(0.5), 0.517, 0.517},
		{"threshold not tried", whole, unsaid, 0.517, 0.517},
		// At a plate nothing is between: sqrt(0.5² + 0.07² + 0.05²) = 0.507.
		{"at a plate", whole, seenAt(4.0 / 7), 0.507, 0.507},
		// At the stained end the interval has one side, and no more than all is stained.
		{"stained end", whole, seenAt(1), 0, 0.507},
		{"clear end", whole, seenAt(0), 0.507, 0},
		// Threshold: 0.1 less is 0.7 stage, sqrt(0.517² - 0.07² + 0.7²) = 0.867;
		// 0.02 more is 0.14 stage: sqrt(0.517² - 0.07² + 0.14²) = 0.531.
		{"threshold", whole, open, 0.531, 0.867},
		// 0.2 of the face is hidden beyond the usual: 0.09 more or less stained and
		// 0.01 of measuring, in quadrature, are 0.634 stage.
		{"hidden part", whole, masked, 0.815, 0.815},
		// Gaps of 3.5 have a floor of 1.75.
		{"few plates", wide, seenAt(0.5), 1.752, 1.752},
		// More stained than the first plate: to the end of the scale; no
		// measured part towards less stain but 0.507.
		{"before the first plate", part, seenAt(1), 2, 0.507},
		{"after the last plate", part, seenAt(0), 0.507, 2},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := tt.path.Call(tt.half)
			stained, clear := c.Stage-c.Low, c.High-c.Stage
			if math.Abs(stained-tt.stained) > 0.03 || math.Abs(clear-tt.clear) > 0.03 {
				t.Errorf("stage %.3f, %.3f less and %.3f more; want %.3f and %.3f", c.Stage, stained, clear, tt.stained, tt.clear)
			}
		})
	}
}

// The least half width grows with the scale, as half a stage of eight does.
func TestFloorBelongsToTheScale(t *testing.T) {
	for _, s := range scales {
		var stages []float64
		for i := range 8 {
			stages = append(stages, s.stageAt(s.Span()*float64(i)/7))
		}
		c := mustFit(t, straightSet(t, s, stages...)).Call(seenAt(0.5))
		if least := 0.5 / 7 * s.Span(); c.High-c.Stage < least-tiny || c.Stage-c.Low < least-tiny {
			t.Errorf("scale %g to %g: %+v, want %g to either side", s.Stained, s.Clear, c, least)
		}
	}
}

func TestReasons(t *testing.T) {
	whole := mustFit(t, straightSet(t, oneToEight, 1, 2, 3, 4, 5, 6, 7, 8))
	part := mustFit(t, straightSet(t, oneToEight, 3, 4, 5, 6))
	doubted := seenAt(0.5)
	doubted.Doubts = []note.Note{note.New("photo.glare")}
	// The core is full and the rim clear: the plates clear from the core.
	inside := seenAt(0.5)
	slices.Reverse(inside.Zones)
	open := seenAt(0.5)
	open.StainedLow, open.StainedHigh = 0.35, 0.65
	four := seenAt(0.5)
	four.Zones = four.Zones[:4]
	blind := seenAt(0.5)
	blind.Zones[2] = math.NaN()
	broken := seenAt(0.5)
	broken.Stained = math.NaN()
	unsure := note.New(CallUnsure)
	tests := []struct {
		name string
		path *Path
		half Observation
		want []note.Note
	}{
		{"ordinary", whole, seenAt(0.5), nil},
		{"all stained", whole, seenAt(1), nil},
		{"all clear", whole, seenAt(0), nil},
		{"photo", whole, doubted, []note.Note{note.New("photo.glare")}},
		{"pattern", whole, inside, []note.Note{note.New(CallUnlike), unsure}},
		{"threshold", whole, open, []note.Note{unsure}},
		{"just before the first plate", part, seenAt(5.0/7 + 0.019), nil},
		{"before the first plate", part, seenAt(5.0/7 + 0.021), []note.Note{note.New(CallBeforeFirst, note.Stage("plate", 3))}},
		{"after the last plate", part, seenAt(2.0/7 - 0.021), []note.Note{note.New(CallAfterLast, note.Stage("plate", 6))}},
		{"other zones", whole, four, []note.Note{note.New(CallOtherZones, note.Count("zones", 4), note.Count("set", 5))}},
		{"zone not measured", whole, blind, []note.Note{note.New(CallZoneMissing)}},
		{"nothing measured", whole, broken, []note.Note{note.New(CallNoFlesh)}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := tt.path.Call(tt.half)
			if !note.Same(c.Reasons, tt.want) || c.Borderline != (len(tt.want) > 0) {
				t.Errorf("borderline %v, reasons %q; want %q", c.Borderline, c.Reasons, tt.want)
			}
		})
	}
}

func TestCallLeavesDoubtsAlone(t *testing.T) {
	p := mustFit(t, straightSet(t, oneToEight, 3, 6))
	o := seenAt(1)
	kept := note.Quote("kept")
	backing := []note.Note{note.Quote("blurred"), kept}
	o.Doubts = backing[:1]
	p.Call(o)
	if !backing[1].Equal(kept) {
		t.Errorf("the caller's doubts became %q", backing)
	}
}

func TestCallOfUnmeasuredHalfHasTheWholeScale(t *testing.T) {
	p := mustFit(t, straightSet(t, oneToEight, 1, 8))
	for _, bad := range []float64{math.NaN(), -0.1, 1.1, math.Inf(1)} {
		if c := p.Call(Observation{Stained: bad}); c.Stage != 4.5 || c.Low != 1 || c.High != 8 {
			t.Errorf("stained %g gives %+v, want the whole scale", bad, c)
		}
	}
}
