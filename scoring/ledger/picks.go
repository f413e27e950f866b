package ledger

import (
	"context"
	"database/sql"
	"errors"
	"math"
	"slices"
	"time"
)

// Pick is fruit of a block that were picked.
type Pick struct {
	ID          int64 // given by the ledger
	Day         time.Time
	Part        bool     // more of the block is still to be picked
	Bins        *float64 // nil when not counted
	Destination string   // room, store or buyer
	Note        string
	By          string // initials
	At          time.Time
}

// BlockState is how far a block is through its season.
type BlockState struct {
	Retired bool // no longer followed
	Why     string
	By      string // who retired it
	At      time.Time
	Picks   []Pick // in the order they were written
}

// Done says whether nothing is left to decide of a block: it is retired, or
// picked to the end.
func (b BlockState) Done() bool {
	if b.Retired {
		return true
	}
	for _, p := range b.Picks {
		if !p.Part {
			return true
		}
	}
	return false
}

// DoneOn is Done on a day, by the picks up to it.
func (b BlockState) DoneOn(day time.Time) bool {
	b.Picks = slices.DeleteFunc(slices.Clone(b.Picks), func(p Pick) bool { return p.Day.After(day) })
	return b.Done()
}

// RetireBlock says that a block is no longer followed. Its samples stay.
func (s *Season) RetireBlock(ctx context.Context, by, name, why string) error {
	if err := reasoned("to retire a block", why); err != nil {
		return err
	}
	return s.retire(ctx, "retire block", by, name, why, true)
}

// ResumeBlock follows a retired block again.
func (s *Season) ResumeBlock(ctx context.Context, by, name, why string) error {
	return s.retire(ctx, "resume block", by, name, why, false)
}

func (s *Season) retire(ctx context.Context, verb, by, name, why string, retired bool) error {
	return s.do(ctx, verb, by, func(w writer) error {
		id, err := w.block(name)
		if err != nil {
			return err
		}
		var is bool
		err = w.one("SELECT retired FROM block_retired WHERE block = ? ORDER BY id DESC LIMIT 1", []any{id}, &is)
		if err != nil && !errors.Is(err, sql.ErrNoRows) || is == retired {
			return err
		}
		_, err = w.add("block_retired", w.signed(by, column{"block", id}, column{"retired", retired}, column{"why", why})...)
		return err
	})
}

// PickBlock keeps that fruit of a block were picked, and gives the pick's id.
func (s *Season) PickBlock(ctx context.Context, by, block string, p Pick) (int64, error) {
	return enter(ctx, s, "pick block", by, func(w writer) (int64, error) {
		id, err := w.block(block)
		if err != nil {
			return 0, err
		}
		if p.Day.IsZero() {
			return 0, refuse("block %q: the pick has no day; say when it was picked", block)
		}
		if p.Bins != nil && (math.IsNaN(*p.Bins) || *p.Bins < 0 || *p.Bins > highestNumber) {
			return 0, refuse("block %q: %g is no number of bins", block, *p.Bins)
		}
		return w.putPick(id, by, p, 0)
	})
}

func (w writer) putPick(block int64, by string, p Pick, undoes int64) (int64, error) {
	bins := sql.NullFloat64{}
	if p.Bins != nil {
		bins = sql.NullFloat64{Float64: *p.Bins, Valid: true}
	}
	return w.add("pick", w.signed(by, column{"block", block}, column{"day", p.Day.Format(dayLayout)}, column{"part", p.Part}, column{"bins", bins},
		column{"destination", p.Destination}, column{"note", p.Note}, column{"undoes", sql.NullInt64{Int64: undoes, Valid: undoes != 0}})...)
}

// UndoPick takes a pick back.
func (s *Season) UndoPick(ctx context.Context, by string, id int64, why string) error {
	return s.do(ctx, "undo pick", by, func(w writer) error {
		if err := reasoned("to take a pick back", why); err != nil {
			return err
		}
		var block int64
		if err := w.one("SELECT block FROM pick WHERE id = ?", []any{id}, &block); errors.Is(err, sql.ErrNoRows) {
			return refuse("pick %d: %w; list the picks to see their numbers", id, ErrNotFound)
		} else if err != nil {
			return err
		}
		picks, err := w.picks()
		for _, p := range picks[block] {
			if p.ID == id && err == nil {
				p.Note = why
				_, err = w.putPick(block, by, p, id)
				return err
			}
		}
		return errors.Join(err, refuse("pick %d: was taken back already", id))
	})
}

// picks gives the picks that count, by block.
func (r reader) picks() (map[int64][]Pick, error) {
	out := map[int64][]Pick{}
	err := r.each(func(scan func(...any) error) error {
		var block int64
		var p Pick
		var bins sql.NullFloat64
		err := scan(&p.ID, &block, day(&p.Day), &p.Part, &bins, &p.Destination, &p.Note, &p.By, instant(&p.At))
		p.Bins = pointer(bins)
		out[block] = append(out[block], p)
		return err
	}, `SELECT id, block, day, part, bins, destination, note, who, at FROM pick
		WHERE undoes IS NULL AND id NOT IN (SELECT undoes FROM pick WHERE undoes IS NOT NULL) ORDER BY id`)
	return out, err
}

// States gives how far each block is, by its name.
func (s *Season) States(ctx context.Context) (map[string]BlockState, error) {
	out := map[string]BlockState{}
	err := s.read(ctx, func(r reader) error {
		picks, err := r.picks()
		if err != nil {
			return err
		}
		return r.each(func(scan func(...any) error) error {
			var id int64
			var name string
			var b BlockState
			var why, by sql.NullString
			err := scan(&id, &name, &b.Retired, &why, &by, instant(&b.At))
			if b.Picks = picks[id]; b.Retired {
				b.Why, b.By = why.String, by.String
			} else {
				b.At = time.Time{}
			}
			out[name] = b
			return err
		}, "SELECT b.block, b.name, coalesce(r.retired, 0), r.why, r.who, r.at FROM "+currentBlocks+` AS b
			LEFT JOIN block_retired AS r ON r.id = (SELECT max(id) FROM block_retired WHERE block = b.block)`)
	})
	return out, err
}
