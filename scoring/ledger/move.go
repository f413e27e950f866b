package ledger

import (
	"context"
	"slices"
	"time"

	"traystage/scoring"
)

// TrayRow is one tray as it now stands.
type TrayRow struct {
	Block   string // as the block is called now
	Picked  time.Time
	Photo   string // file name without folder, as it came
	Hash    string // SHA-256 of the photo, hexadecimal
	Numbers []int  // of its fruit, in reading order
	Set     scoring.Reference
	By      string    // initials of who had it scored last
	At      time.Time // when that was
	Counts  bool      // neither it nor its sample is struck
}

// Trays lists the trays of a block, struck ones too, in the order in which they
// were stored.
func (s *Season) Trays(ctx context.Context, block string) ([]TrayRow, error) {
	var out []TrayRow
	err := s.read(ctx, func(r reader) error {
		of, err := r.block(block)
		if err != nil {
			return err
		}
		all, err := r.traysWhere("e.sample IN (SELECT sample FROM "+currentSamples+" WHERE block = ?)", of)
		if err != nil {
			return err
		}
		for _, t := range all {
			row, err := r.trayRow(t)
			if err != nil {
				return err
			}
			out = append(out, row)
		}
		return nil
	})
	return out, err
}

// TrayOf gives the tray of a photo by its hash.
func (s *Season) TrayOf(ctx context.Context, hash string) (TrayRow, error) {
	var out TrayRow
	err := s.read(ctx, func(r reader) error {
		all, err := r.traysWhere("t.hash = ?", hash)
		if err == nil && len(all) == 0 {
			err = refuse("photo %.12q: a tray of it: %w; look for it under its block", hash, ErrNotFound)
		}
		if err != nil {
			return err
		}
		out, err = r.trayRow(all[len(all)-1])
		return err
	})
	return out, err
}

// trayRow tells of a tray as it now stands.
func (r reader) trayRow(t trayNow) (TrayRow, error) {
	sample, err := r.sampleRow(t.row.sample)
	p := t.last.report
	return TrayRow{
		Block: sample.head.Block, Picked: sample.head.Picked, Photo: p.Photo, Hash: t.row.hash, Numbers: numbersIn(p),
		Set: p.Reference, By: t.last.by, At: t.last.at, Counts: t.row.counts && sample.state == InForce,
	}, err
}

// traysIn gives the trays of a sample that are not struck.
func (r reader) traysIn(sample int64) ([]trayNow, error) {
	return r.traysWhere("e.sample = ? AND NOT e.struck", sample)
}

// traysWhere gives trays with the scorings that count; counts tells of their
// own entries alone.
func (r reader) traysWhere(where string, args ...any) ([]trayNow, error) {
	rows := map[int64]trayRow{}
	var scorings []int64
	err := r.each(func(scan func(...any) error) error {
		var row trayRow
		var scoring int64
		err := scan(&row.id, &row.sample, &row.hash, &row.file, &row.struck, &scoring)
		row.counts = !row.struck
		rows[scoring], scorings = row, append(scorings, scoring)
		return err
	}, "SELECT t.id, e.sample, t.hash, t.file, e.struck, s.id FROM "+currentTrays+" WHERE "+where+" ORDER BY t.id", args...)
	if err != nil {
		return nil, err
	}
	all, err := r.scoringsOf(scorings, true)
	out := make([]trayNow, 0, len(all))
	for _, last := range all {
		out = append(out, trayNow{rows[last.id], last})
	}
	slices.SortFunc(out, func(a, b trayNow) int { return int(a.row.id - b.row.id) })
	return out, err
}

// Destination is where a tray is moved to.
type Destination struct {
	Block  string
	Picked time.Time
	Head   *scoring.Sample // as in Tray
	Number *Numbering      // nil: the fruit keep their numbers
}

// MoveTray moves the tray of a photo into another sample and gives the numbers
// of its fruit there. Its calls and reviews go with it; readings do not, see
// MoveBatch.
func (s *Season) MoveTray(ctx context.Context, by, hash string, to Destination, why string) ([]int, error) {
	return enter(ctx, s, "move tray", by, func(w writer) ([]int, error) {
		if err := reasoned("to move a tray", why); err != nil {
			return nil, err
		}
		t, err := w.countingTray(hash)
		if err != nil {
			return nil, err
		}
		sample, err := w.sampleFor(Tray{Block: to.Block, Picked: to.Picked, Head: to.Head, By: by})
		if err != nil {
			return nil, err
		}
		if sample == t.row.sample {
			return nil, refuse("photo %q: is a tray of block %q picked on %s already", t.last.report.Photo, to.Block, to.Picked.Format(dayLayout))
		}
		numbers := numbersIn(t.last.report)
		if to.Number != nil {
			if numbers, err = w.settle(*to.Number, sample, t.row.id, len(numbers)); err != nil {
				return nil, err
			}
		}
		if err := w.moveTray(t, sample, numbers, by, why); err != nil {
			return nil, err
		}
		return numbers, w.settleState(t.row.sample, by, why)
	})
}

// moveTray moves a tray and numbers it.
func (w writer) moveTray(t trayNow, sample int64, numbers []int, by, why string) error {
	if err := w.numbersFree(t.last.report.Photo, sample, t.row.id, numbers); err != nil {
		return err
	}
	if err := w.putTrayEntry(t.row.id, sample, false, by, why); err != nil {
		return err
	}
	t.row.sample = sample
	return w.putCopy(t, numbers, by, why)
}

// putCopy writes the scoring of a tray again, with other numbers and the name
// and variety of the block it is in now, where any of these differ.
func (w writer) putCopy(t trayNow, numbers []int, by, why string) error {
	tray := t.last.asTray().numbered(numbers)
	tray.By = by
	if err := w.label(&tray.Report, t.row.sample); err != nil {
		return err
	}
	if sameScoring(t.last.asTray(), tray) {
		return nil
	}
	halves, err := w.putScoring(t.row.id, tray, Numbered, why)
	if err != nil {
		return err
	}
	return w.repeatReviews(t.last, halves)
}

// label writes the name and variety of a sample's block on a report that has
// none of the names which that block ever had.
func (w writer) label(report *scoring.Report, sample int64) error {
	row, err := w.sampleRow(sample)
	if err != nil {
		return err
	}
	var known bool
	if err := w.one("SELECT count(*) > 0 FROM block_entry WHERE block = ? AND name = ?", []any{row.block, report.Block}, &known); err != nil || known {
		return err
	}
	report.Block = row.head.Block
	return w.one("SELECT variety FROM "+currentBlocks+" WHERE block = ?", []any{row.block}, &report.Variety)
}

// relabel writes the name of a sample's block onto its trays.
func (w writer) relabel(sample int64, by string) error {
	trays, err := w.traysIn(sample)
	for _, t := range trays {
		if err := w.putCopy(t, numbersIn(t.last.report), by, ""); err != nil {
			return err
		}
	}
	return err
}

// StrikeTray takes the tray of a photo back, such as one of the wrong photo. The
// photo may be stored again where it belongs.
func (s *Season) StrikeTray(ctx context.Context, by, hash, why string) error {
	return s.do(ctx, "strike tray", by, func(w writer) error {
		if err := reasoned("to strike a tray", why); err != nil {
			return err
		}
		t, err := w.countingTray(hash)
		if err != nil {
			return err
		}
		if err := w.putTrayEntry(t.row.id, t.row.sample, true, by, why); err != nil {
			return err
		}
		return w.settleState(t.row.sample, by, why)
	})
}

// RestoreTray puts a struck tray back into its sample. Its numbers must be free.
func (s *Season) RestoreTray(ctx context.Context, by, hash, why string) error {
	return s.do(ctx, "restore tray", by, func(w writer) error {
		t, err := w.trayNow(hash)
		if err != nil {
			return err
		}
		sample, err := w.sampleRow(t.row.sample)
		switch {
		case err != nil:
			return err
		case t.row.counts:
			return refuse("photo %q: is not struck", t.last.report.Photo)
		case !t.row.struck && sample.state == Struck:
			return refuse("photo %q: its sample of %s is struck with all its trays; put the sample back", t.last.report.Photo, sample.head.Picked.Format(dayLayout))
		case sample.state == Merged:
			return refuse("photo %q: its sample was merged into another; store the photo there", t.last.report.Photo)
		}
		if err := w.numbersFree(t.last.report.Photo, t.row.sample, t.row.id, numbersIn(t.last.report)); err != nil {
			return err
		}
		if err := w.putTrayEntry(t.row.id, t.row.sample, false, by, why); err != nil {
			return err
		}
		return w.setState(t.row.sample, InForce, by, why)
	})
}

// RenumberTray gives the fruit of a tray other numbers and tells them. Reviews
// stay with their halves; readings keep their own numbers.
func (s *Season) RenumberTray(ctx context.Context, by, hash string, n Numbering, why string) ([]int, error) {
	return enter(ctx, s, "renumber tray", by, func(w writer) ([]int, error) {
		t, err := w.countingTray(hash)
		if err != nil {
			return nil, err
		}
		numbers, err := w.settle(n, t.row.sample, t.row.id, len(t.last.report.Fruit))
		if err != nil {
			return nil, err
		}
		if err := w.numbersFree(t.last.report.Photo, t.row.sample, t.row.id, numbers); err != nil {
			return nil, err
		}
		return numbers, w.putCopy(t, numbers, by, why)
	})
}
