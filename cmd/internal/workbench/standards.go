package workbench

import (
	"bytes"
	"context"
	"io"
	"strings"

	"traystage/refimages"
	"traystage/scoring"
	"traystage/scoring/ledger"
)

// Standards are those that count: the season's own rows and, for what they leave
// out or where there is no season, the published ones.
func (b *Bench) Standards(ctx context.Context) ([]scoring.Standard, error) {
	shipped, err := scoring.ReadStandards(refimages.Standards(), refimages.StandardsName)
	if err != nil || b.Season == nil {
		return shipped, err
	}
	text, err := b.lastSheet(ctx, ledger.StandardsSheet)
	if err != nil || text == "" {
		return shipped, err
	}
	own, err := scoring.ReadStandards(strings.NewReader(text), "the season's standards")
	return scoring.Prefer(own, shipped), err
}

// StandardsTable is the season's own table of standards as CSV, or the published
// one where there is none yet.
func (b *Bench) StandardsTable(ctx context.Context) ([]byte, error) {
	if b.Season != nil {
		text, err := b.lastSheet(ctx, ledger.StandardsSheet)
		if err != nil || text != "" {
			return []byte(text), err
		}
	}
	return io.ReadAll(refimages.Standards())
}

// UseStandards takes a table of standards into the season and tells how many
// rows it has. Errors name the table and its row.
func (b *Bench) UseStandards(ctx context.Context, act Act, name string, table []byte) (int, error) {
	act, err := b.signed(ctx, act)
	if err != nil {
		return 0, err
	}
	rows, err := scoring.ReadStandards(bytes.NewReader(table), name)
	if err != nil {
		return 0, err
	}
	s, err := b.writing(act, name)
	if err != nil {
		return 0, err
	}
	return len(rows), s.PutSheet(ctx, act.By, ledger.StandardsSheet, string(table))
}
