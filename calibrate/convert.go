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
		if !isFraction(o.Stained) {
			continue // nothing was measured on it
		}
		c := b.Call(o)
		pairs = append(pairs, pair{a.called(o), b.called(o), (c.High - c.Low) / 2})
	}
	if len(pairs) < fewestPairs {
		return nil, fmt.Errorf("%d halves were measured: a conversion needs %d at least, of many stages", len(pairs), fewestPairs)
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
	line := rising(pairs)
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
		at, reach := line.at(k), math.Hypot(scatter, reach/float64(near))
		low, high := to.stageAt(at-reach), to.stageAt(at+reach)
		out = append(out, Conversion{from.stageAt(k), to.stageAt(at), math.Min(low, high), math.Max(low, high), near})
	}
	if out == nil {
		return nil, errors.New("no half lies near a whole stage")
	}
	return out, nil
}

// relation is a never-falling line through places.
type relation struct{ from, to []float64 } // from strictly increasing

// rising is the never-falling relation nearest to the pairs in least squares. Pairs of one first
// position count as their mean, so that it has one value everywhere.
func rising(pairs []pair) relation {
	var r relation
	var counts []float64
	for _, p := range pairs {
		last := len(counts) - 1
		if last >= 0 && p.from-r.from[last] <= sameFrom {
			counts[last]++
			r.to[last] -= (p.to + r.to[last]) / counts[last] // r.to holds values turned about, as below
			continue
		}
		r.from, r.to, counts = append(r.from, p.from), append(r.to, -p.to), append(counts, 1)
	}
	r.to = neverRisingOf(r.to, counts)
	for i := range r.to {
		r.to[i] = -r.to[i]
	}
	return r
}

// sameFrom is how near first positions are one: far below what a grader can tell.
const sameFrom = 1e-9

// scatterOf is the half width of the 90 % interval of halves about the relation
// of all others: a relation that is fitted to a half goes almost through it.
func scatterOf(pairs []pair) float64 {
	squares := 0.0
	for i, p := range pairs {
		squares += sq(p.to - rising(slices.Delete(slices.Clone(pairs), i, i+1)).at(p.from))
	}
	n := float64(len(pairs))
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: n - 1}.Quantile(1-miss/2) * math.Sqrt(squares/n)
}

// at reads the relation at position x, in a straight line between the places on either side;
// beyond them it is that of the last.
func (r relation) at(x float64) float64 {
	i, found := slices.BinarySearch(r.from, x)
	switch {
	case found || i == 0:
		return r.to[i]
	case i == len(r.from):
		return r.to[i-1]
	}
	share := (x - r.from[i-1]) / (r.from[i] - r.from[i-1])
	return r.to[i-1] + share*(r.to[i]-r.to[i-1])
}
