package main

import (
	"errors"
	"math"
	"testing"

	"traystage/calibrate"
	"traystage/vision"
	"traystage/vision/zones"
)

// measured is a half with the same stained share in all five zones, all of the
// same size.
func measured(number int, outline []vision.Point, stained int) vision.Half {
	h := vision.Half{Number: number, Outline: outline}
	for range zones.DefaultCount {
		h.Profile.Zones = append(h.Profile.Zones, zones.Zone{Stained: stained, Flesh: 100})
	}
	return h
}

func even(v float64) []float64 { return []float64{v, v, v, v, v} }

func TestScoreOfOneTray(t *testing.T) {
	at := func(x float64) []vision.Point { return square(x, 100, 100) }
	truth := trayTruth{width: 1000, height: 1000, halves: []halfTruth{
		{outline: at(0), stage: 2, stained: 0.80, zones: even(0.8), weights: even(0.2), visible: 1},
		{outline: at(150), stage: 4, stained: 0.50, zones: even(0.5), weights: even(0.2), visible: 1},
		{outline: at(300), stage: 6, stained: 0.30, zones: even(0.3), weights: even(0.2), visible: 0.5},
		{outline: at(450), stage: 8, stained: 0.10, zones: even(0.1), weights: even(0.2), visible: 1},
		{outline: at(950), stage: 8, stained: 0.10, zones: even(0.1), weights: even(0.2), visible: 0.5, clipped: true},
		{outline: at(-50), stage: 8, stained: 0.10, zones: even(0.1), weights: even(0.2), visible: 0.5, clipped: true},
	}}
	cut := vision.Half{Number: 4, Outline: at(950), Clipped: true}
	tray := vision.Tray{Halves: []vision.Half{
		measured(1, at(0), 82),    // 0.02 too much
		measured(2, at(150), 46),  // 0.04 too little
		measured(3, at(300), 40),  // hidden: 0.10 too much
		cut,                       // right
		measured(5, at(-50), 10),  // measured though clipped
		measured(6, at(800), 100), // false
	}}
	o := outcome{truth: truth, tray: tray}
	o.pairs, o.unmatched = match(truth, tray.Halves)
	o.calls = []*calibrate.Call{
		{Stage: 2.1, Low: 1.9, High: 2.3}, {Stage: 4.3, Low: 4.1, High: 4.5}, {Stage: 5}, nil, {Stage: 8}, {Stage: 1},
	}
	var s score
	s.add(o)

	for _, c := range []struct {
		name      string
		got, want int
	}{
		{"photos", s.photos, 1}, {"failed", s.failed, 0}, {"halves", s.halves, 4}, {"found", s.found, 3}, {"false", s.falses, 2},
		{"clipped", s.clipped, 2}, {"clipped right", s.clippedRight, 1}, {"ordered", s.ordered, 1}, {"order right", s.orderRight, 1},
		{"empty", s.empty, 0}, {"stained errors", len(s.stained), 2}, {"hidden errors", len(s.hidden), 1}, {"inside", s.inside, 1},
	} {
		if c.got != c.want {
			t.Errorf("%s: %d, want %d", c.name, c.got, c.want)
		}
	}
	for _, c := range []struct {
		name string
		get  func() (float64, bool)
		want float64
	}{
		{"mean overlap", func() (float64, bool) { return mean(s.iou) }, 1},
		{"stained, mean error", func() (float64, bool) { return meanAbs(s.stained) }, 0.03},
		{"stained, bias", func() (float64, bool) { return mean(s.stained) }, -0.01},
		{"hidden", func() (float64, bool) { return mean(s.hidden) }, 0.10},
		{"zones", func() (float64, bool) { return mean(s.zones) }, 0.03},
		{"stage, mean error", func() (float64, bool) { return meanAbs(s.stage) }, 0.2},
		// Called 2.1, 4.3, 5, 8 and 1; true inside the frame 2, 4, 6 and 8.
		{"block", func() (float64, bool) { return mean(s.block) }, 20.4/5 - 5},
	} {
		if got, ok := c.get(); !ok || math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %.6f (%v), want %.6f", c.name, got, ok, c.want)
		}
	}
}

func TestScoreOfPhotosWithoutHalves(t *testing.T) {
	var s score
	s.add(outcome{err: vision.ErrNoHalves})
	s.add(outcome{tray: vision.Tray{Halves: []vision.Half{measured(1, square(0, 0, 9), 1)}}, unmatched: []int{0}})
	s.add(outcome{err: errors.New("cut short")})
	if s.photos != 3 || s.empty != 3 || s.emptyRight != 1 || s.failed != 1 || s.falses != 1 {
		t.Errorf("photos %d, empty %d, right %d, failed %d, false %d; want 3, 3, 1, 1, 1", s.photos, s.empty, s.emptyRight, s.failed, s.falses)
	}
}

func TestZoneErrorIsWeighted(t *testing.T) {
	truth := halfTruth{zones: []float64{0, 1, 0, 0, 0.2}, weights: []float64{0, 0.1, 0.2, 0.3, 0.4}}
	e, ok := compare(truth, measured(1, nil, 40))
	// 0.1 x 0.6 + 0.2 x 0.4 + 0.3 x 0.4 + 0.4 x 0.2
	if want := 0.34; !ok || math.Abs(e.zones-want) > 1e-12 {
		t.Errorf("zone error %.4f, want %.4f", e.zones, want)
	}
	if _, ok := compare(truth, vision.Half{}); ok {
		t.Error("a half without flesh has errors")
	}
}

func TestStatistics(t *testing.T) {
	hundred := make([]float64, 101)
	for i := range hundred {
		hundred[i] = float64(i) * (1 - 2*float64(i%2)) // 0, -1, 2, -3 ... 100
	}
	for _, c := range []struct {
		name   string
		f      func([]float64) (float64, bool)
		in     []float64
		want   float64
		within float64
		wantOK bool
	}{
		{"mean", mean, []float64{-1, 2}, 0.5, 0, true},
		{"mean of nothing", mean, nil, 0, 0, false},
		{"mean size", meanAbs, []float64{-1, 2}, 1.5, 0, true},
		{"mean size of nothing", meanAbs, nil, 0, 0, false},
		{"least", least, []float64{3, -1, 2}, -1, 0, true},
		{"least of nothing", least, nil, 0, 0, false},
		// Definitions of a percentile differ by up to one step between neighbours.
		{"95th of 0 to 100", abs95, hundred, 95, 1, true},
		{"95th of one", abs95, []float64{-7}, 7, 0, true},
		{"95th of nothing", abs95, nil, 0, 0, false},
	} {
		if got, ok := c.f(c.in); ok != c.wantOK || math.Abs(got-c.want) > c.within {
			t.Errorf("%s: %g, %v; want %g, %v", c.name, got, ok, c.want, c.wantOK)
		}
	}
}
