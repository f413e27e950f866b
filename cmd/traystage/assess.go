package main

import (
	"context"
	"runtime"
	"sync"

	"traystage/scoring"
	"traystage/scoring/instrument"
	"traystage/scoring/ledger"
)

// assessor holds what the blocks of a season are assessed with.
type assessor struct {
	season    *ledger.Season
	standards []scoring.Standard
	checks    []instrument.Check
	opt       scoring.Options
	byBlock   map[string][]scoring.Sample // filled by all
}

func newAssessor(ctx context.Context, s *ledger.Season, f seasonFlags, out outFlags) (a assessor, err error) {
	a = assessor{season: s, opt: scoring.Options{Program: "traystage " + version}, byBlock: map[string][]scoring.Sample{}}
	if a.opt.Today, err = f.day(); err != nil {
		return a, err
	}
	if a.opt.Unit, err = out.shownIn(); err != nil {
		return a, err
	}
	if a.opt.Usual, err = out.usual(); err != nil {
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

// all assesses every block, as far as an outlook needs it, in the order of the season.
func (a assessor) all(ctx context.Context) ([]scoring.BlockReport, error) {
	blocks, err := a.season.Blocks(ctx)
	if err != nil {
		return nil, err
	}
	samples, err := a.season.LoadAll(ctx)
	if err != nil {
		return nil, err
	}
	for _, s := range samples {
		a.byBlock[s.Block] = append(a.byBlock[s.Block], s)
	}
	a.opt.Brief = true
	reports, errs := make([]scoring.BlockReport, len(blocks)), make([]error, len(blocks))
	turn := make(chan struct{}, runtime.GOMAXPROCS(0))
	var done sync.WaitGroup
	for i, b := range blocks {
		done.Go(func() {
			turn <- struct{}{}
			defer func() { <-turn }()
			reports[i], errs[i] = scoring.Assess(b, a.byBlock[b.Name], a.standards, a.checks, a.opt)
		})
	}
	done.Wait()
	var failed severalErrors
	for _, err := range errs {
		if err != nil {
			failed = append(failed, err)
		}
	}
	if len(failed) > 0 {
		return nil, failed
	}
	return reports, nil
}
