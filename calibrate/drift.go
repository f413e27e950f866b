package calibrate

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
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
	return []finding{{WithCare, fmt.Sprintf("its calls have moved by %+.2f stage at stage %.1f of %s", c.Drift.Worst, c.Drift.At, c.Drift.Against)}}
}

// Conversion is one line of a table from the stages of one set to those of
// another.
type Conversion struct {
	From   float64 `json:"from"`
	To     float64 `json:"to"`
	Low    float64 `json:"low"` // 90 % interval for one half
	High   float64 `json:"high"`
	Halves int     `json:"halves"` // seen within half a step of From
}

// Convert gives for every whole stage of one set the stage of the other, from
// what both call the same halves. Between numbers alone there is no conversion:
// a stage is what its set's plates look like. The relation is the monotone one
// nearest to the halves in least squares; its error is the scatter of the halves about it,
// which does not hold the common error of either set. Stages that no half
// shows are left out. Three halves are needed.
func Convert(from, to Set, halves []Observation) ([]Conversion, error) {
	if len(halves) < fewestPairs {
		return nil, fmt.Errorf("%d halves: a conversion needs %d at least, of many stages", len(halves), fewestPairs)
	}
	if err := sameReadings(from, to); err != nil {
		return nil, err
	}
	a, err := Fit(from)
	if err != nil {
		return nil, err
	}
	b, err := Fit(to)
	if err != nil {
		return nil, err
	}
	var pairs [][2]float64
	for _, o := range halves {
		pairs = append(pairs, [2]float64{a.scale.position(a.Call(o).Stage), b.scale.position(b.Call(o).Stage)})
	}
	slices.SortFunc(pairs, func(p, q [2]float64) int {
		if p[0] < q[0] || p[0] == q[0] && p[1] < q[1] {
			return -1
		}
		return 1
	})
	return table(from.Scale, to.Scale, pairs)
}

// table lays the monotone relation through pairs of positions, in order of the
// first, and reads it at whole stages.
func table(from, to Scale, pairs [][2]float64) ([]Conversion, error) {
	turned := make([]float64, len(pairs))
	for i, p := range pairs {
		turned[i] = -p[1]
	}
	fitted := neverRising(turned)
	squares := 0.0
	for i := range fitted {
		fitted[i] = -fitted[i]
		squares += sq(pairs[i][1] - fitted[i])
	}
	freedom := float64(len(pairs) - 2)
	reach := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: freedom}.Quantile(1-miss/2) * math.Sqrt(squares/freedom)
	var out []Conversion
	for k := 0.0; k <= from.Span(); k++ {
		near := 0
		for _, p := range pairs {
			if math.Abs(p[0]-k) <= 0.5 {
				near++
			}
		}
		if near == 0 {
			continue
		}
		at := relation(pairs, fitted, k)
		low, high := to.stageAt(at-reach), to.stageAt(at+reach)
		out = append(out, Conversion{from.stageAt(k), to.stageAt(at), math.Min(low, high), math.Max(low, high), near})
	}
	if out == nil {
		return nil, errors.New("no half lies near a whole stage")
	}
	return out, nil
}

// relation reads the fitted values at position x, in a straight line between
// the halves on either side; beyond them it is that of the last.
func relation(pairs [][2]float64, fitted []float64, x float64) float64 {
	i, _ := slices.BinarySearchFunc(pairs, x, func(p [2]float64, x float64) int {
		if p[0] < x {
			return -1
		}
		return 1
	})
	switch {
	case i == 0:
		return fitted[0]
	case i == len(pairs):
		return fitted[i-1]
	}
	share := (x - pairs[i-1][0]) / (pairs[i][0] - pairs[i-1][0])
	return fitted[i-1] + share*(fitted[i]-fitted[i-1])
}
