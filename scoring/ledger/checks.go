package ledger

import (
	"context"
	"database/sql"
	"errors"
	"slices"
	"time"

	"traystage/scoring/instrument"
)

// KeptCheck is a check of an instrument as it is kept.
type KeptCheck struct {
	ID int64
	instrument.Check
	At     time.Time // when it was written down
	Struck bool      // taken back
}

// AddCheck keeps a check of an instrument, signed by its By. The same check
// twice is kept once.
func (s *Season) AddCheck(ctx context.Context, c instrument.Check) error {
	return s.do(ctx, "add check", c.By, func(w writer) error {
		if c.Day.IsZero() {
			return refuse("the check of %q has no day; say when it was made", c.Instrument)
		}
		all, err := w.checks()
		if err != nil || slices.ContainsFunc(all, func(d KeptCheck) bool { return !d.Struck && sameCheck(c, d.Check) }) {
			return err
		}
		_, err = w.add("instrument_check", w.signed(c.By,
			column{"instrument", c.Instrument}, column{"kind", string(c.Kind)}, column{"day", stamp(c.Day)},
			column{"expected", c.Expected}, column{"shown", c.Shown}, column{"unit", string(c.Unit)})...)
		return err
	})
}

func sameCheck(a, b instrument.Check) bool {
	same := a.Day.Equal(b.Day)
	a.Day, b.Day = time.Time{}, time.Time{}
	return same && a == b
}

// StrikeCheck takes a check back.
func (s *Season) StrikeCheck(ctx context.Context, by string, id int64, why string) error {
	return s.do(ctx, "strike check", by, func(w writer) error {
		if err := reasoned("to strike a check", why); err != nil {
			return err
		}
		var struck bool
		err := w.one(`SELECT coalesce(e.struck, 0) FROM instrument_check AS c
			LEFT JOIN check_entry AS e ON e.id = (SELECT max(id) FROM check_entry WHERE instrument_check = c.id) WHERE c.id = ?`, []any{id}, &struck)
		switch {
		case errors.Is(err, sql.ErrNoRows):
			return refuse("check %d: %w; list the checks to see their numbers", id, ErrNotFound)
		case err != nil:
			return err
		case struck:
			return refuse("check %d: is struck already", id)
		}
		_, err = w.add("check_entry", w.signed(by, column{"instrument_check", id}, column{"struck", true}, column{"why", why})...)
		return err
	})
}

// Checks gives the checks of instruments that count, in order of the days they
// were made.
func (s *Season) Checks(ctx context.Context) ([]instrument.Check, error) {
	kept, err := s.KeptChecks(ctx)
	var all []instrument.Check
	for _, c := range kept {
		if !c.Struck {
			all = append(all, c.Check)
		}
	}
	slices.SortStableFunc(all, func(a, b instrument.Check) int { return a.Day.Compare(b.Day) })
	return all, err
}

// KeptChecks gives all checks, struck ones too, in the order they were written.
func (s *Season) KeptChecks(ctx context.Context) ([]KeptCheck, error) {
	var all []KeptCheck
	err := s.read(ctx, func(r reader) error {
		var err error
		all, err = r.checks()
		return err
	})
	return all, err
}

func (r reader) checks() ([]KeptCheck, error) {
	var all []KeptCheck
	err := r.each(func(scan func(...any) error) error {
		var c KeptCheck
		err := scan(&c.ID, &c.Instrument, &c.Kind, instant(&c.Day), &c.By, &c.Expected, &c.Shown, &c.Unit, instant(&c.At), &c.Struck)
		all = append(all, c)
		return err
	}, `SELECT c.id, c.instrument, c.kind, c.day, c.who, c.expected, c.shown, c.unit, c.at, coalesce(e.struck, 0)
		FROM instrument_check AS c LEFT JOIN check_entry AS e ON e.id = (SELECT max(id) FROM check_entry WHERE instrument_check = c.id)
		ORDER BY c.id`)
	return all, err
}
