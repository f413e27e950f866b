package calibrate

import (
	"fmt"
	"math"
	"slices"

	"traystage/vision/note"
)

// Drift is how far the calls of a set have moved from those of an older one, on
// the same halves: the plates and graded halves of both. Differences are
// new - old, in stages.
type Drift struct {
	Against string  `json:"against"`
	N       int     `json:"n"`
	Mean    float64 `json:"mean"`
	Worst   float64 `json:"worst"` // the largest, with its sign
	At      float64 `json:"at"`    // the stage that the older set gives where it is largest
}

// AddDrift compares the set with an older one of the same scale and threshold.
func (c *Check) AddDrift(s, older Set) error {
	if s.Scale.Stained != older.Scale.Stained || s.Scale.Clear != older.Scale.Clear {
		return fmt.Errorf("%s runs from %g to %g and %s from %g to %g: compare sets of one scale, or convert with traystage refs convert",
			s.title(), s.Scale.Stained, s.Scale.Clear, older.title(), older.Scale.Stained, older.Scale.Clear)
	}
	if err := sameReadings(s, older); err != nil {
		return err
	}
	a, err := Fit(s)
	if err != nil {
		return err
	}
	b, err := Fit(older)
	if err != nil {
		return err
	}
	d := Drift{Against: older.title()}
	for _, o := range slices.Concat(s.observations(), older.observations()) {
		before := b.Call(o).Stage
		moved := a.Call(o).Stage - before
		d.N++
		d.Mean += moved
		if math.Abs(moved) > math.Abs(d.Worst) {
			d.Worst, d.At = moved, before
		}
	}
	d.Mean /= float64(d.N)
	c.Drift = &d
	c.decide()
	return nil
}

// sameReadings says whether two sets read halves alike.
func sameReadings(a, b Set) error {
	if a.StainedDensity != b.StainedDensity {
		return fmt.Errorf("%s calls flesh stained from a density of %g and %s from %g: they cannot be compared on one profile", a.title(), a.StainedDensity, b.title(), b.StainedDensity)
	}
	if n, m := len(a.Plates[0].Zones), len(b.Plates[0].Zones); n != m {
		return fmt.Errorf("%s has %d zones and %s has %d: they cannot be compared on one profile", a.title(), n, b.title(), m)
	}
	return nil
}

// observations are all halves of the set as they were seen.
func (s Set) observations() []Observation {
	var out []Observation
	for _, p := range s.Plates {
		out = append(out, p.seen())
	}
	for _, g := range s.Graded {
		out = append(out, g.Seen)
	}
	return out
}

func (c *Check) onDrift() []finding {
	if c.Drift == nil || math.Abs(c.Drift.Worst) <= doubtfulShare*c.Scale.Span() {
		return nil
	}
	return []finding{{WithCare, note.New("set.drift", note.Figure("worst", c.Drift.Worst, 2, ""), note.Stage("at", c.Drift.At), note.Name("against", c.Drift.Against))}}
}
