package workbench

import (
	"context"
	"time"

	"traystage/scoring/ledger"
)

// Entry is one thing that was written about a fruit.
type Entry = ledger.Entry

// History is everything that was ever written about one fruit.
type History struct {
	Block   string
	Picked  time.Time
	Fruit   int
	Entries []Entry
}

// History tells everything about a fruit of a block's sample of a day, or of the
// last one where the day is zero.
func (b *Bench) History(ctx context.Context, block string, picked time.Time, fruit int) (History, error) {
	sample, err := b.Sample(ctx, block, picked)
	if err != nil {
		return History{}, err
	}
	h := History{Block: sample.Block, Picked: sample.Picked, Fruit: fruit}
	h.Entries, err = b.Season.History(ctx, sample.Block, sample.Picked, fruit)
	return h, err
}
