package ledger

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"traystage/scoring"
)

// AddSample adds the head of a sample: all but its trays and readings, which
// StoreTray and AddReadings add. A block has one sample a day.
func (s *Season) AddSample(ctx context.Context, by string, head scoring.Sample) error {
	return s.write(ctx, func(w writer) error {
		block, err := w.block(head.Block)
		if err != nil {
			return err
		}
		id, err := w.add("sample", column{"block", block})
		if err != nil {
			return err
		}
		return w.putSample(id, block, by, head)
	})
}

// ChangeSample corrects the head of the sample that was picked from a block on
// a day. The sample stays in its block.
func (s *Season) ChangeSample(ctx context.Context, by, block string, picked time.Time, head scoring.Sample) error {
	return s.write(ctx, func(w writer) error {
		id, err := w.sample(block, picked)
		if err != nil {
			return err
		}
		of, err := w.block(block)
		if err != nil {
			return err
		}
		if to, err := w.block(head.Block); err != nil || to != of {
			return errors.Join(err, refuse("block %q: a sample stays in its block, %q", head.Block, block))
		}
		return w.putSample(id, of, by, head)
	})
}

func (w writer) putSample(id, block int64, by string, head scoring.Sample) error {
	if err := signedBy(by); err != nil {
		return err
	}
	switch picked := head.Picked.Format(dayLayout); {
	case head.Picked.IsZero():
		return refuse("block %q: the sample has no day: say when it was picked", head.Block)
	case !head.Tested.IsZero() && head.Tested.Before(head.Picked):
		return refuse("block %q: the sample of %s cannot have been tested before it was picked, on %s; check both days",
			head.Block, picked, head.Tested.Format(dayLayout))
	case head.Wait < 0:
		return refuse("block %q: the sample of %s was stained %v after the photo; the wait is from staining to photo", head.Block, picked, -head.Wait)
	case len(head.Trays) > 0 || len(head.Readings) > 0:
		return refuse("block %q: the sample of %s comes with trays or readings, which are stored one by one", head.Block, picked)
	}
	var other int64
	err := w.one("SELECT sample FROM current_sample WHERE block = ? AND picked = ? AND sample <> ?",
		[]any{block, head.Picked.Format(dayLayout), id}, &other)
	if err == nil {
		return refuse("block %q: the sample of %s is %w; change that one, or check the day", head.Block, head.Picked.Format(dayLayout), ErrTaken)
	}
	if !errors.Is(err, sql.ErrNoRows) {
		return err
	}
	_, err = w.add("sample_entry", w.signed(by,
		column{"sample", id}, column{"picked", head.Picked.Format(dayLayout)}, column{"tested", optional(head.Tested, dayLayout)},
		column{"tester", head.Tester}, column{"wait", int64(head.Wait)}, column{"note", head.Note})...)
	return err
}

// sample finds the sample that was picked from a block on a day.
func (r reader) sample(block string, picked time.Time) (id int64, err error) {
	of, err := r.block(block)
	if err != nil {
		return 0, err
	}
	err = r.one("SELECT sample FROM current_sample WHERE block = ? AND picked = ?", []any{of, picked.Format(dayLayout)}, &id)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, refuse("block %q: the sample of %s: %w; check the day, or add the sample", block, picked.Format(dayLayout), ErrNotFound)
	}
	return id, err
}
