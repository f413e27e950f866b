package ledger

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"traystage/scoring"
)

// State says whether a sample counts.
type State string

const (
	InForce State = ""
	// Waiting: it has readings, and no tray yet. Load leaves it out until a tray
	// is stored in it.
	Waiting State = "waiting"
	Struck  State = "struck" // taken back
	Merged  State = "merged" // its trays and readings went into another sample
)

// AddSample adds the head of a sample: all but its trays and readings, which
// StoreTray and EnterReadings add. A block has one sample a day.
func (s *Season) AddSample(ctx context.Context, by string, head scoring.Sample) error {
	return s.do(ctx, "add sample", by, func(w writer) error {
		_, err := w.addSample(by, head, InForce)
		return err
	})
}

func (w writer) addSample(by string, head scoring.Sample, state State) (int64, error) {
	block, err := w.block(head.Block)
	if err != nil {
		return 0, err
	}
	id, err := w.add("sample", column{"block", block})
	if err != nil {
		return 0, err
	}
	return id, w.putSample(sampleRow{id: id, block: block, head: head, state: state}, by, "")
}

// ChangeSample corrects the head of the sample that was picked from a block on
// a day: its day, tester, wait, note. With another block in the head, the sample
// goes there with its trays and readings. Where that block has a sample of that
// day, MergeSamples makes one of two. why may be empty.
func (s *Season) ChangeSample(ctx context.Context, by, block string, picked time.Time, head scoring.Sample, why string) error {
	return s.do(ctx, "change sample", by, func(w writer) error {
		id, err := w.sample(block, picked)
		if err != nil {
			return err
		}
		row, err := w.sampleRow(id)
		if err != nil {
			return err
		}
		was := row.block
		row.head = head
		if row.block, err = w.block(head.Block); err != nil {
			return err
		}
		if err := w.putSample(row, by, why); err != nil || row.block == was {
			return err
		}
		return w.relabel(id, by)
	})
}

// StrikeSample takes a sample back with its trays and readings. The photos may
// be stored again where they belong.
func (s *Season) StrikeSample(ctx context.Context, by, block string, picked time.Time, why string) error {
	return s.do(ctx, "strike sample", by, func(w writer) error {
		if err := reasoned("to strike a sample", why); err != nil {
			return err
		}
		id, err := w.sample(block, picked)
		if err != nil {
			return err
		}
		return w.setState(id, Struck, by, why)
	})
}

// RestoreSample puts the sample back that was struck last of a block and day.
func (s *Season) RestoreSample(ctx context.Context, by, block string, picked time.Time, why string) error {
	return s.do(ctx, "restore sample", by, func(w writer) error {
		of, err := w.block(block)
		if err != nil {
			return err
		}
		var id int64
		err = w.one("SELECT sample FROM "+currentSamples+" WHERE block = ? AND picked = ? AND state = ? ORDER BY sample DESC LIMIT 1",
			[]any{of, picked.Format(dayLayout), string(Struck)}, &id)
		if errors.Is(err, sql.ErrNoRows) {
			return refuse("block %q: a struck sample of %s: %w; check the day", block, picked.Format(dayLayout), ErrNotFound)
		}
		if err != nil {
			return err
		}
		trays, err := w.traysIn(id)
		if err != nil {
			return err
		}
		for _, t := range trays {
			if err := w.numbersFree(t.last.report.Photo, id, t.row.id, numbersIn(t.last.report)); err != nil {
				return err
			}
		}
		return w.setState(id, w.stateFor(len(trays)), by, why)
	})
}

// stateFor is the state of a sample that counts, by how many trays it has.
func (w writer) stateFor(trays int) State {
	if trays == 0 {
		return Waiting
	}
	return InForce
}

// sampleRow is a sample as it now is.
type sampleRow struct {
	id, block int64
	head      scoring.Sample // Block is the block's name now
	state     State
	merged    int64 // the sample it went into, where it is Merged
}

func (r reader) sampleRow(id int64) (sampleRow, error) {
	row := sampleRow{id: id}
	var state sql.NullString
	h := &row.head
	err := r.one(`SELECT s.block, b.name, s.picked, s.tested, s.tester, s.wait, s.note, s.state
		FROM `+currentSamples+` AS s JOIN `+currentBlocks+` AS b ON b.block = s.block WHERE s.sample = ?`,
		[]any{id}, &row.block, &h.Block, day(&h.Picked), day(&h.Tested), &h.Tester, (*int64)(&h.Wait), &h.Note, &state)
	row.state = State(state.String)
	return row, err
}

// setState writes an entry of a sample that differs in its state only.
func (w writer) setState(id int64, state State, by, why string) error {
	row, err := w.sampleRow(id)
	if err != nil || row.state == state {
		return err
	}
	row.state = state
	return w.putSample(row, by, why)
}

// settleState makes a sample that lost its last tray wait for another, or takes
// it back where it has no readings either.
func (w writer) settleState(id int64, by, why string) error {
	trays, err := w.traysIn(id)
	if err != nil || len(trays) > 0 {
		return err
	}
	var readings int
	err = w.one("SELECT count(*) FROM "+currentReadings+" WHERE coalesce(e.sample, r.sample) = ? AND NOT coalesce(e.struck, 0)", []any{id}, &readings)
	if err != nil {
		return err
	}
	if readings > 0 {
		return w.setState(id, Waiting, by, why)
	}
	return w.setState(id, Struck, by, why)
}

// putSample writes an entry of a sample.
func (w writer) putSample(row sampleRow, by, why string) error {
	if row.state == InForce || row.state == Waiting {
		if err := w.checkSample(row); err != nil {
			return err
		}
	}
	head := row.head
	_, err := w.add("sample_entry", w.signed(by,
		column{"sample", row.id}, column{"picked", head.Picked.Format(dayLayout)}, column{"tested", optional(head.Tested, dayLayout)},
		column{"tester", head.Tester}, column{"wait", int64(head.Wait)}, column{"note", head.Note},
		column{"block", row.block}, column{"state", nullText(string(row.state))},
		column{"merged", sql.NullInt64{Int64: row.merged, Valid: row.merged != 0}}, column{"why", nullText(why)})...)
	return err
}

func nullText(text string) sql.NullString { return sql.NullString{String: text, Valid: text != ""} }

func (w writer) checkSample(row sampleRow) error {
	head, picked := row.head, row.head.Picked.Format(dayLayout)
	switch {
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
	other, err := w.sampleOn(row.block, head.Picked)
	if err == nil && other != row.id {
		return refuse("block %q: the sample of %s is %w; change that one, merge the two, or check the day", head.Block, picked, ErrTaken)
	}
	if errors.Is(err, sql.ErrNoRows) {
		return nil
	}
	return err
}

// sample finds the sample that was picked from a block on a day, in force or waiting.
func (r reader) sample(block string, picked time.Time) (int64, error) {
	of, err := r.block(block)
	if err != nil {
		return 0, err
	}
	id, err := r.sampleOn(of, picked)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, refuse("block %q: the sample of %s: %w; check the day, or add the sample", block, picked.Format(dayLayout), ErrNotFound)
	}
	return id, err
}

// sampleOn is sample by the block's id; sql.ErrNoRows when there is none.
func (r reader) sampleOn(block int64, picked time.Time) (id int64, err error) {
	err = r.one("SELECT s.sample FROM "+currentSamples+" AS s WHERE "+everOfBlock+" AND s.block = ?1 AND s.picked = ?2 AND coalesce(s.state, 'waiting') = 'waiting'",
		[]any{block, picked.Format(dayLayout)}, &id)
	return id, err
}
