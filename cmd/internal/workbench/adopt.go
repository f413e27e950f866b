package workbench

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"traystage/calibrate"
	"traystage/cmd/internal/fault"
	"traystage/scoring"
	"traystage/vision"
)

// Adopt makes the next version of a set with halves whose calls people overrode, in
// a block's sample of a day or the last one: those fruit, or all where none is named.
func (b *Bench) Adopt(ctx context.Context, name, block string, picked time.Time, fruit []int) (KeptSet, error) {
	set, err := b.Shelf.Set(name)
	if err != nil {
		return KeptSet{}, err
	}
	sample, err := b.Sample(ctx, block, picked)
	if err != nil {
		return KeptSet{}, err
	}
	var overrides []calibrate.Override
	for _, t := range sample.Trays {
		more, err := b.overridesOf(ctx, t, set, fruit)
		if err != nil {
			return KeptSet{}, err
		}
		overrides = append(overrides, more...)
	}
	if len(overrides) == 0 {
		return KeptSet{}, fmt.Errorf("block %q: no call of the sample of %s was overridden, so there is nothing to adopt", sample.Block, sample.Picked.Format(time.DateOnly))
	}
	next, err := set.Adopt(overrides...)
	if errors.Is(err, calibrate.ErrGradedBefore) {
		return KeptSet{}, fault.WithHint(err, "each override is adopted once; --fruit names those that are new")
	}
	if err != nil {
		return KeptSet{}, err
	}
	return b.Shelf.keep(next)
}

// overridesOf measures a tray of the season again, as the set asks for, and gives
// the halves that were overridden, of those fruit if any are named.
func (b *Bench) overridesOf(ctx context.Context, t scoring.Report, set calibrate.Set, fruit []int) ([]calibrate.Override, error) {
	var out []calibrate.Override
	var tray vision.Tray
	opt := optionsOf(set)
	opt.Halves = len(t.Fruit)
	for i, f := range t.Fruit {
		if !f.Overridden() || len(fruit) > 0 && !slices.Contains(fruit, f.Number) {
			continue
		}
		if tray.Halves == nil {
			photo, err := b.Season.Photo(ctx, t.PhotoHash)
			if err != nil {
				return nil, err
			}
			if tray, err = b.Measure(ctx, bytes.Clone(photo), opt); err != nil {
				return nil, fmt.Errorf("%s: %w", t.Photo, err)
			}
			if len(tray.Halves) != len(t.Fruit) {
				return nil, fmt.Errorf("%s: %d halves are found now and %d when it was scored; score it again before its overrides are adopted", t.Photo, len(tray.Halves), len(t.Fruit))
			}
		}
		h := tray.Halves[i] // fruit are stored in reading order
		if !liesAt(f.Place, h) {
			return nil, fmt.Errorf("%s: fruit %d is not found where it was when it was scored; score the photo again before its overrides are adopted", t.Photo, f.Number)
		}
		if !callable(h) {
			return nil, fmt.Errorf("%s: fruit %d cannot be measured, so its stage cannot be adopted; leave it out with --fruit", t.Photo, f.Number)
		}
		out = append(out, calibrate.Override{
			Photo: t.PhotoHash, Half: h.Number, Source: fmt.Sprintf("photo %s (sha256 %s), half %d, overridden", t.Photo, t.PhotoHash[:12], h.Number),
			Seen: observe(h), Stage: f.Review.Stage, By: f.Review.By, When: f.Review.At.UTC().Format(time.RFC3339),
		})
	}
	return out, nil
}
