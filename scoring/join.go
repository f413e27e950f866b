package scoring

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"time"

	"traystage/scoring/instrument"
)

// join lays the readings of a sample beside its halves by fruit number: which
// half a reading belongs to is never guessed from their order. A fruit may have one
// without the other: it was not cut, not read, or has a number that is a slip; the
// warnings tell.
func join(s Sample) ([]Row, error) {
	rows := map[int]*Row{}
	row := func(fruit int) *Row {
		if rows[fruit] == nil {
			rows[fruit] = &Row{Fruit: fruit}
		}
		return rows[fruit]
	}
	halves := s.Fruit()
	for i, f := range halves {
		r := row(f.Number)
		if r.Half != nil {
			return nil, s.errorf("two halves have the number %d; number the fruit of its trays on from one to the next", f.Number)
		}
		r.Half = &halves[i]
	}
	for i, reading := range s.Readings {
		r := row(reading.Fruit)
		if r.Reading != nil {
			return nil, s.errorf("there are two readings of fruit %d; correct the number of one", reading.Fruit)
		}
		r.Reading = &s.Readings[i]
	}
	sorted := make([]Row, 0, len(rows))
	for _, r := range slices.SortedFunc(maps.Values(rows), func(a, b *Row) int { return cmp.Compare(a.Fruit, b.Fruit) }) {
		sorted = append(sorted, *r)
	}
	return sorted, nil
}

// errorf names the sample before what is wrong with it.
func (s Sample) errorf(format string, args ...any) error {
	return fmt.Errorf("block %s, sample of %s: %s", s.Block, s.Picked.Format(time.DateOnly), fmt.Sprintf(format, args...))
}

// fill computes the figures of a row that count in the statistics.
func (r *Row) fill(unit instrument.Unit, stages bool) {
	if reading := r.Reading; reading != nil {
		if reading.Firmness != nil {
			if mean, ok := reading.Firmness.Mean(unit); ok {
				r.Firmness = &mean
			}
		}
		if reading.Solids != nil {
			brix, _ := reading.Solids.At20()
			r.Solids = &brix
		}
		r.Red = reading.Red
		if reading.Ground != nil {
			r.Ground = &reading.Ground.Score
		}
	}
	if stages && r.Half != nil && r.Half.Scored() && r.Firmness != nil && r.Solids != nil {
		index := streifIndex(*r.Firmness, *r.Solids, r.Half.Stage())
		r.Streif = &index
	}
}
