package calibrate

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

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
// nearest to the halves in least squares. Its interval for one half holds the
// scatter of the halves about it, each laid beside the relation of the others,
// and how unsure the second set is of halves there. Stages that no half shows
// are left out. Three halves are needed.
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
	var pairs []pair
	for _, o := range halves {
		c := b.Call(o)
		pairs = append(pairs, pair{a.called(o), b.called(o), (c.High - c.Low) / 2})
	}
	slices.SortFunc(pairs, func(p, q pair) int { return cmp.Or(cmp.Compare(p.from, q.from), cmp.Compare(p.to, q.to)) })
	return table(from.Scale, to.Scale, pairs)
}

// pair is one half called on two sets: its positions on either and the half
// width of the second's interval.
type pair struct{ from, to, reach float64 }

// table lays the monotone relation through pairs, in order of their first
// position, and reads it at whole stages.
func table(from, to Scale, pairs []pair) ([]Conversion, error) {
	scatter := scatterOf(pairs)
	fitted := rising(pairs)
	var out []Conversion
	for k := 0.0; k <= from.Span(); k++ {
		near, reach := 0, 0.0
		for _, p := range pairs {
			if math.Abs(p.from-k) <= 0.5 {
				near++
				reach += p.reach
			}
		}
		if near == 0 {
			continue
		}
		at, reach := relation(pairs, fitted, k), math.Hypot(scatter, reach/float64(near))
		low, high := to.stageAt(at-reach), to.stageAt(at+reach)
		out = append(out, Conversion{from.stageAt(k), to.stageAt(at), math.Min(low, high), math.Max(low, high), near})
	}
	if out == nil {
		return nil, errors.New("no half lies near a whole stage")
	}
	return out, nil
}

// rising is the never-falling list nearest to the second positions.
func rising(pairs []pair) []float64 {
	out := make([]float64, len(pairs))
	for i, p := range pairs {
		out[i] = -p.to
	}
	out = neverRising(out)
	for i := range out {
		out[i] = -out[i]
	}
	return out
}

// scatterOf is the half width of the 90 % interval of halves about the relation
// of all others: a relation that is fitted to a half goes almost through it.
func scatterOf(pairs []pair) float64 {
	squares := 0.0
	for i, p := range pairs {
		others := slices.Delete(slices.Clone(pairs), i, i+1)
		squares += sq(p.to - relation(others, rising(others), p.from))
	}
	n := float64(len(pairs))
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: n - 1}.Quantile(1-miss/2) * math.Sqrt(squares/n)
}

// relation reads the fitted values at position x, in a straight line between
// the halves on either side; beyond them it is that of the last.
func relation(pairs []pair, fitted []float64, x float64) float64 {
	i, _ := slices.BinarySearchFunc(pairs, x, func(p pair, x float64) int { return cmp.Compare(p.from, x) })
	switch {
	case i == 0:
		return fitted[0]
	case i == len(pairs):
		return fitted[i-1]
	}
	share := (x - pairs[i-1].from) / (pairs[i].from - pairs[i-1].from)
	return fitted[i-1] + share*(fitted[i]-fitted[i-1])
}
