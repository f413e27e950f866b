package workbench

import (
	"context"
	"errors"
	"runtime"
	"slices"
	"sync"

	"traystage/scoring"
	"traystage/scoring/instrument"
)

// assessor holds what the blocks of a season are assessed with.
type assessor struct {
	bench     *Bench
	standards []scoring.Standard
	checks    []instrument.Check
	opt       scoring.Options
	byBlock   map[string][]scoring.Sample // filled by all
}

// assessor makes ready to assess; Today is the bench's own where opt has none.
func (b *Bench) assessor(ctx context.Context, opt scoring.Options) (a assessor, err error) {
	a = assessor{bench: b, opt: opt, byBlock: map[string][]scoring.Sample{}}
	a.opt.Program = b.Program
	if a.opt.Today.IsZero() {
		a.opt.Today = b.Today()
	}
	if a.standards, err = b.Standards(ctx); err != nil {
		return a, err
	}
	if a.checks, err = b.Season.Checks(ctx); err != nil {
		return a, err
	}
	if a.opt.Lean {
		if a.opt.Rates, err = b.Rates(ctx); err != nil {
			return a, err
		}
	}
	a.opt.Orchard, err = b.Orchard(ctx)
	return a, err
}

// Report assesses one block with all that is known of it. Orchard and Program of
// the options are the bench's.
func (b *Bench) Report(ctx context.Context, block string, opt scoring.Options) (scoring.BlockReport, error) {
	a, err := b.assessor(ctx, opt)
	if err != nil {
		return scoring.BlockReport{}, err
	}
	of, err := b.Block(ctx, block)
	if err != nil {
		return scoring.BlockReport{}, err
	}
	samples, err := b.Season.Load(ctx, of.Name)
	if err != nil {
		return scoring.BlockReport{}, err
	}
	return scoring.Assess(of, samples, a.standards, a.checks, a.opt)
}

// Outlook puts all blocks in picking order but those that are picked or retired. A
// block that cannot be assessed is a row with its reason, and the error tells of it as
// well: the outlook holds beside it.
func (b *Bench) Outlook(ctx context.Context, opt scoring.Options) (scoring.Outlook, error) {
	a, err := b.assessor(ctx, opt)
	if err != nil {
		return scoring.Outlook{}, err
	}
	reports, troubles, err := a.all(ctx)
	if err != nil {
		return scoring.Outlook{}, err
	}
	o := scoring.Rank(reports, a.opt.Today)
	o.Orchard = a.opt.Orchard
	return o, troubles.Err()
}

// Stands says whether a value that came with an error holds all the same: then the
// error tells of some of its blocks, and the others are right.
func Stands(err error) bool {
	var several Troubles
	return err == nil || errors.As(err, &several)
}

// Troubles are errors of single blocks, which are told one by one.
type Troubles []error

func (t Troubles) Error() string { return errors.Join(t...).Error() }

func (t Troubles) Unwrap() []error { return t }

// Err is nil where there are none.
func (t Troubles) Err() error {
	if len(t) == 0 {
		return nil
	}
	return t
}

// all assesses every block that is still followed, as far as an outlook needs it, in
// the order of the season; and gives what was wrong with blocks.
func (a assessor) all(ctx context.Context) ([]scoring.BlockReport, Troubles, error) {
	blocks, err := a.following(ctx)
	if err != nil {
		return nil, nil, err
	}
	samples, err := a.bench.Season.LoadAll(ctx)
	if err != nil {
		return nil, nil, err
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
			if errs[i] != nil {
				reports[i] = scoring.Troubled(b, errs[i], a.opt)
			}
		})
	}
	done.Wait()
	var troubles Troubles
	for _, err := range errs {
		if err != nil {
			troubles = append(troubles, err)
		}
	}
	return reports, troubles, nil
}

// following are the blocks of which something is still to be decided on the day that is looked
// from: what was picked later stood then.
func (a assessor) following(ctx context.Context) ([]scoring.Block, error) {
	blocks, err := a.bench.Season.Blocks(ctx)
	if err != nil {
		return nil, err
	}
	states, err := a.bench.Season.States(ctx)
	return slices.DeleteFunc(blocks, func(b scoring.Block) bool { return states[b.Name].DoneOn(a.opt.Today) }), err
}
