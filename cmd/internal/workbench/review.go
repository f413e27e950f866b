package workbench

import (
	"context"
	"fmt"
	"time"

	"traystage/scoring"
)

// Reviewed is what became of the call of one fruit.
type Reviewed struct {
	Block  string
	Picked time.Time
	Was    scoring.Fruit // as it was before
	Review scoring.Review
}

// Review keeps what a person did with the call of a fruit of a block's sample of a
// day, or of the last one where the day is zero.
func (b *Bench) Review(ctx context.Context, block string, picked time.Time, fruit int, r scoring.Review) (Reviewed, error) {
	var err error
	if r.By, err = signed(r.By); err != nil {
		return Reviewed{}, err
	}
	sample, err := b.Sample(ctx, block, picked)
	if err != nil {
		return Reviewed{}, err
	}
	tray, half, ok := find(sample, fruit)
	if !ok {
		return Reviewed{}, fmt.Errorf("block %q: the sample of %s has no half numbered %d; it has %d",
			sample.Block, sample.Picked.Format(time.DateOnly), fruit, len(sample.Fruit()))
	}
	return Reviewed{sample.Block, sample.Picked, half, r}, b.Season.Review(ctx, tray, fruit, r)
}

// find gives a fruit of a sample and the tray that it lies on.
func find(s scoring.Sample, fruit int) (scoring.Report, scoring.Fruit, bool) {
	for _, t := range s.Trays {
		for _, f := range t.Fruit {
			if f.Number == fruit {
				return t, f, true
			}
		}
	}
	return scoring.Report{}, scoring.Fruit{}, false
}
