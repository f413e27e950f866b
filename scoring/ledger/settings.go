package ledger

import (
	"context"
	"database/sql"
	"errors"
	"strings"
	"time"
)

// Names of settings. What their values mean is for who asks for them.
const (
	Compensated = "compensated" // the refractometer corrects for temperature itself
	ForceUnit   = "unit"        // of firmness where none is written
	Tip         = "tip"         // of the penetrometer, mm
	UsualWait   = "wait"        // from staining to photo
	Initials    = "initials"    // of who works here when nobody says otherwise
	Language    = "language"    // of reports and pages
	FullBloom   = "full bloom"  // day; of one block and year
)

// Setting is a value that holds until it is set otherwise.
type Setting struct {
	Name  string
	Block string // empty for the whole season
	Year  int    // 0 for no certain year
	Value string // empty: no longer set
	By    string // initials
	At    time.Time
}

// Set keeps a setting; By and At of it are not looked at. An empty value takes
// back what was set. What is set so already is not written again.
func (s *Season) Set(ctx context.Context, by string, set Setting) error {
	return s.do(ctx, "set", by, func(w writer) error {
		if strings.TrimSpace(set.Name) == "" {
			return refuse("a setting needs a name")
		}
		var block sql.NullInt64
		if set.Block != "" {
			id, err := w.block(set.Block)
			if err != nil {
				return err
			}
			block = sql.NullInt64{Int64: id, Valid: true}
		}
		var was sql.NullString
		err := w.one("SELECT value FROM setting WHERE name = ? AND block IS ? AND year = ? ORDER BY id DESC LIMIT 1", []any{set.Name, block, set.Year}, &was)
		if err != nil && !errors.Is(err, sql.ErrNoRows) || was.String == set.Value {
			return ignoring(err, sql.ErrNoRows)
		}
		_, err = w.add("setting", w.signed(by, column{"name", set.Name}, column{"block", block}, column{"year", set.Year}, column{"value", nullText(set.Value)})...)
		return err
	})
}

// ignoring is err, unless it is one that does not matter.
func ignoring(err, harmless error) error {
	if errors.Is(err, harmless) {
		return nil
	}
	return err
}

// Settings gives what is set now, in order of name, block and year.
func (s *Season) Settings(ctx context.Context) ([]Setting, error) {
	var all []Setting
	err := s.read(ctx, func(r reader) error {
		return r.each(func(scan func(...any) error) error {
			var set Setting
			var block sql.NullString
			err := scan(&set.Name, &block, &set.Year, &set.Value, &set.By, instant(&set.At))
			set.Block = block.String
			all = append(all, set)
			return err
		}, `SELECT s.name, b.name, s.year, s.value, s.who, s.at FROM setting AS s LEFT JOIN `+currentBlocks+` AS b ON b.block = s.block
			WHERE s.value IS NOT NULL AND s.id IN (SELECT max(id) FROM setting GROUP BY name, block, year)
			ORDER BY s.name, b.name COLLATE NOCASE, s.year`)
	})
	return all, err
}
