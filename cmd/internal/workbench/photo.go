package workbench

import (
	"context"
	"fmt"

	"traystage/scoring"
	"traystage/scoring/instrument"
)

// TrayOf gives the tray of a photo, by the hash of the photo, with its report as it
// now stands; the report of a struck tray is empty.
func (b *Bench) TrayOf(ctx context.Context, hash string) (TrayRow, scoring.Report, error) {
	row, err := b.Season.TrayOf(ctx, hash)
	if err != nil || !row.Counts {
		return row, scoring.Report{}, err
	}
	sample, err := b.Sample(ctx, row.Block, row.Picked)
	if err != nil {
		return row, scoring.Report{}, err
	}
	for _, t := range sample.Trays {
		if t.PhotoHash == hash {
			return row, t, nil
		}
	}
	return row, scoring.Report{}, fmt.Errorf("photo %q: was moved meanwhile; look again", row.Photo)
}

// Usual is how readings of a block are written down unless a sheet says otherwise:
// as the season's settings have it, and in the unit in which the block was last read.
func (b *Bench) Usual(ctx context.Context, block string) (instrument.Options, error) {
	set, err := b.Settings(ctx)
	if err != nil {
		return instrument.Options{}, err
	}
	opt := instrument.Options{Unit: set.Unit, Tip: set.Tip, Compensated: set.Compensated}
	if opt.Unit == "" {
		samples, err := b.Season.Load(ctx, block)
		if err != nil {
			return opt, err
		}
		opt.Unit = lastUnit(samples)
	}
	if opt.Unit == "" {
		opt.Unit = instrument.PoundForce
	}
	return opt, nil
}
