package ledger

import (
	"context"
	"slices"
	"time"

	"traystage/scoring/instrument"
)

// Names of the sheets that a season has.
const (
	StandardsSheet = "standards" // targets for varieties and markets
	RatesSheet     = "rates"     // how fast varieties usually pass through the stages
)

// Sheet is one version of a table that the grower edits as a whole, such as the
// standards: the text of its file.
type Sheet struct {
	Text string
	By   string // initials
	At   time.Time
}

// PutSheet keeps a new version of a sheet; the earlier ones stay. The text that
// is there already is not written again.
func (s *Season) PutSheet(ctx context.Context, by, name, text string) error {
	if err := signedBy(by); err != nil {
		return err
	}
	return s.write(ctx, func(w writer) error {
		all, err := w.sheets(name)
		if err != nil {
			return err
		}
		if len(all) > 0 && all[len(all)-1].Text == text {
			return nil
		}
		_, err = w.add("sheet", w.signed(by, column{"name", name}, column{"body", text})...)
		return err
	})
}

// Sheets gives every version of a sheet, the first one first; none when nothing
// was ever kept under that name. The last one counts.
func (s *Season) Sheets(ctx context.Context, name string) ([]Sheet, error) {
	var all []Sheet
	err := s.read(ctx, func(r reader) error {
		var err error
		all, err = r.sheets(name)
		return err
	})
	return all, err
}

func (r reader) sheets(name string) ([]Sheet, error) {
	var all []Sheet
	err := r.each(func(scan func(...any) error) error {
		var sh Sheet
		err := scan(&sh.Text, &sh.By, instant(&sh.At))
		all = append(all, sh)
		return err
	}, "SELECT body, who, at FROM sheet WHERE name = ? ORDER BY id", name)
	return all, err
}

// AddCheck keeps a check of an instrument, signed by its By. The same check
// twice is kept once.
func (s *Season) AddCheck(ctx context.Context, c instrument.Check) error {
	if err := signedBy(c.By); err != nil {
		return err
	}
	if c.Day.IsZero() {
		return refuse("the check of %q has no day; say when it was made", c.Instrument)
	}
	return s.write(ctx, func(w writer) error {
		all, err := w.checks()
		if err != nil || slices.ContainsFunc(all, func(d instrument.Check) bool { return sameCheck(c, d) }) {
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

// Checks gives all checks of instruments in order of the days they were made.
func (s *Season) Checks(ctx context.Context) ([]instrument.Check, error) {
	var all []instrument.Check
	err := s.read(ctx, func(r reader) error {
		var err error
		all, err = r.checks()
		return err
	})
	slices.SortStableFunc(all, func(a, b instrument.Check) int { return a.Day.Compare(b.Day) })
	return all, err
}

func (r reader) checks() ([]instrument.Check, error) {
	var all []instrument.Check
	err := r.each(func(scan func(...any) error) error {
		var c instrument.Check
		err := scan(&c.Instrument, &c.Kind, instant(&c.Day), &c.By, &c.Expected, &c.Shown, &c.Unit)
		all = append(all, c)
		return err
	}, "SELECT instrument, kind, day, who, expected, shown, unit FROM instrument_check ORDER BY id")
	return all, err
}
