package workbench

import (
	"context"
	"fmt"
	"time"

	"traystage/scoring"
	"traystage/scoring/ledger"
)

// Reviewed is what became of the call of one fruit.
type Reviewed struct {
	Block  string
	Picked time.Time
	Was    scoring.Fruit // as it was before
	Review scoring.Review
	Now    scoring.Fruit // as it is after a review was taken back
}

// Review keeps what a person did with the call of a fruit of a block's sample of a
// day, or of the last one where the day is zero.
func (b *Bench) Review(ctx context.Context, act Act, block string, picked time.Time, fruit int, r scoring.Review) (Reviewed, error) {
	tray, done, s, err := b.reviewing(ctx, act, block, picked, fruit)
	if err != nil {
		return Reviewed{}, err
	}
	r.By = done.Review.By
	done.Review = r
	return done, s.Review(ctx, tray, fruit, r)
}

// UndoReview takes the review of a fruit back: the one before it counts again, or
// none. Was then tells the review that was taken back, Now what counts.
func (b *Bench) UndoReview(ctx context.Context, act Act, block string, picked time.Time, fruit int, why string) (Reviewed, error) {
	tray, done, s, err := b.reviewing(ctx, act, block, picked, fruit)
	if err != nil {
		return Reviewed{}, err
	}
	if err := s.UndoReview(ctx, done.Review.By, tray.PhotoHash, fruit, why); err != nil {
		return done, err
	}
	sample, err := b.Sample(ctx, done.Block, done.Picked)
	_, done.Now, _ = find(sample, fruit)
	return done, err
}

// reviewing finds the fruit that is to be reviewed.
func (b *Bench) reviewing(ctx context.Context, act Act, block string, picked time.Time, fruit int) (scoring.Report, Reviewed, *ledger.Season, error) {
	var none scoring.Report
	act, err := b.signed(ctx, act)
	if err != nil {
		return none, Reviewed{}, nil, err
	}
	sample, err := b.Sample(ctx, block, picked)
	if err != nil {
		return none, Reviewed{}, nil, err
	}
	tray, half, ok := find(sample, fruit)
	if !ok {
		return none, Reviewed{}, nil, fmt.Errorf("block %q: the sample of %s has no half numbered %d; it has %d",
			sample.Block, sample.Picked.Format(time.DateOnly), fruit, len(sample.Fruit()))
	}
	s, err := b.writing(act, sample.Block)
	return tray, Reviewed{Block: sample.Block, Picked: sample.Picked, Was: half, Review: scoring.Review{By: act.By}}, s, err
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
