package workbench

import (
	"context"
	"slices"
	"time"

	"traystage/scoring"
	"traystage/scoring/instrument"
	"traystage/vision/note"
)

// Plan is the samples to take next.
type Plan struct {
	Orchard string
	Day     time.Time // that it was made for
	Errands []Errand
	Program string
}

// Errand is one sample to take, with the unit in which firmness was last read on
// the block or is asked for; empty where nobody knows.
type Errand struct {
	scoring.Errand
	Unit instrument.Unit
}

// Plan lists the samples to take; within is how closely the day of the window
// shall be known, days either way. A block that cannot be assessed comes first, with
// its reason and no fruit to take; see Outlook.
func (b *Bench) Plan(ctx context.Context, within float64, opt scoring.Options) (Plan, error) {
	a, err := b.assessor(ctx, opt)
	if err != nil {
		return Plan{}, err
	}
	reports, troubles, err := a.all(ctx)
	if err != nil {
		return Plan{}, err
	}
	p := Plan{Orchard: a.opt.Orchard, Day: a.opt.Today, Program: a.opt.Program}
	sound := func(r scoring.BlockReport) bool { return !note.Has(r.Warnings, scoring.TroubleCode) }
	for _, r := range reports {
		if !sound(r) {
			p.Errands = append(p.Errands, Errand{Errand: scoring.Errand{Block: r.Block, Due: a.opt.Today, Why: r.Warnings[0]}})
		}
	}
	reports = slices.DeleteFunc(reports, func(r scoring.BlockReport) bool { return !sound(r) })
	for _, e := range scoring.Errands(reports, a.opt.Today, within) {
		unit := a.opt.Unit
		if unit == "" {
			unit = lastUnit(a.byBlock[e.Block.Name])
		}
		p.Errands = append(p.Errands, Errand{e, unit})
	}
	return p, troubles.Err()
}

// lastUnit is the unit in which firmness was last read on a block; empty for none.
func lastUnit(samples []scoring.Sample) (unit instrument.Unit) {
	for _, s := range samples {
		for _, r := range s.Readings {
			if r.Firmness != nil && len(r.Firmness.Sides) > 0 {
				unit = r.Firmness.Sides[0].Unit
			}
		}
	}
	return unit
}
