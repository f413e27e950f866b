package ledger

import (
	"context"
	"time"
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
	return s.do(ctx, "put sheet", by, func(w writer) error {
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
