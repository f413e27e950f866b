package main

import (
	"context"

	"traystage/scoring"
	"traystage/scoring/instrument"
	"traystage/scoring/ledger"
)

// assessor holds what every block of a season is assessed with.
type assessor struct {
	season    *ledger.Season
	standards []scoring.Standard
	checks    []instrument.Check
	opt       scoring.Options
}

func newAssessor(ctx context.Context, s *ledger.Season, f seasonFlags, out outFlags) (a assessor, err error) {
	a = assessor{season: s, opt: scoring.Options{Program: "traystage " + version}}
	if a.opt.Today, err = f.day(); err != nil {
		return a, err
	}
	if a.opt.Unit, err = out.shownIn(); err != nil {
		return a, err
	}
	if a.standards, err = standardsOf(ctx, s); err != nil {
		return a, err
	}
	if a.checks, err = s.Checks(ctx); err != nil {
		return a, err
	}
	a.opt.Orchard, err = orchardOf(ctx, s)
	return a, err
}

// block assesses one block with all that is known of it.
func (a assessor) block(ctx context.Context, b scoring.Block) (scoring.BlockReport, error) {
	samples, err := a.season.Load(ctx, b.Name)
	if err != nil {
		return scoring.BlockReport{}, err
	}
	return scoring.Assess(b, samples, a.standards, a.checks, a.opt)
}

// all assesses every block, as far as an outlook needs it.
func (a assessor) all(ctx context.Context) ([]scoring.BlockReport, error) {
	blocks, err := a.season.Blocks(ctx)
	if err != nil {
		return nil, err
	}
	samples, err := a.season.LoadAll(ctx)
	if err != nil {
		return nil, err
	}
	byBlock := map[string][]scoring.Sample{}
	for _, s := range samples {
		byBlock[s.Block] = append(byBlock[s.Block], s)
	}
	var out []scoring.BlockReport
	for _, b := range blocks {
		r, err := scoring.Assess(b, byBlock[b.Name], a.standards, a.checks, a.opt)
		if err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, nil
}
