package workbench

import (
	"context"
	"errors"
	"strings"

	"traystage/cmd/internal/fault"
	"traystage/scoring/ledger"
)

// NewSeason makes a season in a new or empty folder. Whoever names the orchard
// signs it; the name may be empty.
func NewSeason(ctx context.Context, dir, by, orchard string) error {
	orchard = strings.TrimSpace(orchard)
	if by = strings.TrimSpace(by); orchard != "" && by == "" {
		return errNobody
	}
	s, err := ledger.Create(ctx, dir)
	if err != nil {
		return err
	}
	if orchard != "" {
		err = s.PutSheet(ctx, by, orchardSheet, orchard)
	}
	return errors.Join(err, s.Close())
}

// Backup copies the season into a folder that is not there yet. Damage that it met
// is an error, told after the copy was made.
func (b *Bench) Backup(ctx context.Context, to string) (made bool, err error) {
	b.gather(ctx)
	found, err := b.Season.Backup(ctx, to)
	if err != nil {
		return false, err
	}
	return true, damage(found)
}

// CheckSeason looks for damage, and brings sets that are used from outside into the season; the error has one line for each finding.
func (b *Bench) CheckSeason(ctx context.Context) error {
	b.gather(ctx)
	found, err := b.Season.Check(ctx)
	return errors.Join(err, damage(found))
}

// damage tells what is wrong with a season as an error, one finding a line.
func damage(found []ledger.Finding) error {
	var all fault.Several
	for _, f := range found {
		all = append(all, errors.New(f.String()))
	}
	return all.Err()
}
