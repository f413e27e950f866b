package ledger

import (
	"context"
	"database/sql"
	"errors"
	"slices"
	"time"
)

// Batch is what was entered at one go, as it now stands.
type Batch struct {
	ID     int64
	Block  string    // which it belongs to now
	Picked time.Time // day of the sample
	Source string    // name of the file; empty for readings entered by hand
	Fruit  []int     // each once, in order
	By     string    // initials
	At     time.Time
	Struck bool
}

// Batches lists what was entered for the samples of a block, struck ones too, in
// the order in which it was.
func (s *Season) Batches(ctx context.Context, block string) ([]Batch, error) {
	var out []Batch
	err := s.read(ctx, func(r reader) error {
		of, err := r.block(block)
		if err != nil {
			return err
		}
		var samples []int64
		err = r.each(func(scan func(...any) error) error {
			var id int64
			err := scan(&id)
			samples = append(samples, id)
			return err
		}, "SELECT sample FROM "+currentSamples+" WHERE block = ?", of)
		if err != nil {
			return err
		}
		out, err = r.batches(samples)
		return err
	})
	return out, err
}

// batches gives the batches of samples with the fruit they are of.
func (r reader) batches(samples []int64) ([]Batch, error) {
	fruit := map[int64][]int{}
	at := map[int64]int64{} // sample by batch
	err := r.readingsIn(samples, func(sample int64, e entered) {
		at[e.batch] = sample
		if !slices.Contains(fruit[e.batch], e.Fruit) {
			fruit[e.batch] = append(fruit[e.batch], e.Fruit)
		}
	})
	if err != nil {
		return nil, err
	}
	var out []Batch
	err = r.each(func(scan func(...any) error) error {
		var b Batch
		err := scan(&b.ID, &b.Source, &b.By, instant(&b.At), &b.Struck)
		b.Fruit = fruit[b.ID]
		if b.Source == "." {
			b.Source = "" // as some seasons have it of readings entered by hand
		}
		out = append(out, b)
		return err
	}, `SELECT b.id, b.source, b.who, b.at, coalesce(e.struck, 0)
		FROM `+currentBatches+`
		WHERE coalesce(e.sample, b.sample) IN (SELECT value FROM json_each(?)) ORDER BY b.id`, ids(samples))
	for i := range out {
		row, err := r.sampleRow(at[out[i].ID])
		if err != nil {
			return nil, err
		}
		out[i].Block, out[i].Picked = row.head.Block, row.head.Picked
	}
	return out, err
}

// StrikeBatch takes back what was entered at one go, such as a sheet: what was
// entered before it counts again.
func (s *Season) StrikeBatch(ctx context.Context, by string, id int64, why string) error {
	return s.do(ctx, "strike batch", by, func(w writer) error {
		if err := reasoned("to strike readings", why); err != nil {
			return err
		}
		b, err := w.batch(id)
		if err != nil {
			return err
		}
		if b.struck {
			return refuse("readings %d: are struck already", id)
		}
		b.struck = true
		if err := w.putBatchEntry(b, by, why); err != nil {
			return err
		}
		row, err := w.sampleRow(b.sample)
		if err != nil || row.state != Waiting {
			return err
		}
		return w.settleState(b.sample, by, why)
	})
}

// RestoreBatch puts back what was struck.
func (s *Season) RestoreBatch(ctx context.Context, by string, id int64, why string) error {
	return s.do(ctx, "restore batch", by, func(w writer) error {
		b, err := w.batch(id)
		if err != nil {
			return err
		}
		if !b.struck {
			return refuse("readings %d: are not struck", id)
		}
		b.struck = false
		if err := w.putBatchEntry(b, by, why); err != nil {
			return err
		}
		row, err := w.sampleRow(b.sample)
		if err != nil || row.state != Struck {
			return err
		}
		trays, err := w.traysIn(b.sample)
		if err != nil {
			return err
		}
		return w.setState(b.sample, w.stateFor(len(trays)), by, why) // it had nothing else
	})
}

// MoveBatch moves what was entered at one go to another sample, or to other
// fruit of its own: shift is added to the numbers of its fruit.
func (s *Season) MoveBatch(ctx context.Context, by string, id int64, block string, picked time.Time, shift int, why string) error {
	return s.do(ctx, "move batch", by, func(w writer) error {
		if err := reasoned("to move readings", why); err != nil {
			return err
		}
		b, err := w.batch(id)
		if err != nil {
			return err
		}
		was := b.sample
		if b.sample, err = w.sample(block, picked); err != nil {
			return err
		}
		var lowest int
		if err := w.one("SELECT min(fruit) FROM reading WHERE batch = ?", []any{id}, &lowest); err != nil {
			return err
		}
		b.shift += shift
		if lowest+b.shift < 1 || b.shift > highestNumber {
			return refuse("readings %d: moved by %d, fruit %d would be numbered %d; fruit are numbered from 1", id, shift, lowest+b.shift-shift, lowest+b.shift)
		}
		if err := w.putBatchEntry(b, by, why); err != nil {
			return err
		}
		row, err := w.sampleRow(was)
		if err != nil || row.state != Waiting {
			return err
		}
		return w.settleState(was, by, why)
	})
}

// batchRow is a batch as it now is.
type batchRow struct {
	id, sample int64
	shift      int
	struck     bool
}

const currentBatches = `batch AS b LEFT JOIN batch_entry AS e ON e.id = (SELECT max(id) FROM batch_entry WHERE batch = b.id)`

func (r reader) batch(id int64) (batchRow, error) {
	b := batchRow{id: id}
	err := r.one("SELECT coalesce(e.sample, b.sample), coalesce(e.shift, 0), coalesce(e.struck, 0) FROM "+currentBatches+" WHERE b.id = ?",
		[]any{id}, &b.sample, &b.shift, &b.struck)
	if errors.Is(err, sql.ErrNoRows) {
		return b, refuse("readings %d: %w; list the sheets to see their numbers", id, ErrNotFound)
	}
	return b, err
}

// batchesIn gives the batches of a sample, struck ones too.
func (r reader) batchesIn(sample int64) ([]batchRow, error) {
	var out []batchRow
	err := r.each(func(scan func(...any) error) error {
		b := batchRow{sample: sample}
		err := scan(&b.id, &b.shift, &b.struck)
		out = append(out, b)
		return err
	}, "SELECT b.id, coalesce(e.shift, 0), coalesce(e.struck, 0) FROM "+currentBatches+" WHERE coalesce(e.sample, b.sample) = ? ORDER BY b.id", sample)
	return out, err
}

func (w writer) putBatchEntry(b batchRow, by, why string) error {
	_, err := w.add("batch_entry", w.signed(by, column{"batch", b.id}, column{"sample", b.sample},
		column{"shift", b.shift}, column{"struck", b.struck}, column{"why", why})...)
	return err
}
