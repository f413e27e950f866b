package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"traystage/calibrate"
	"traystage/scoring"
	"traystage/scoring/ledger"
	"traystage/vision"
)

func newRefsAdoptCommand(f *seasonFlags) *cobra.Command {
	var opt reviewFlags
	var fruit []int
	cmd := &cobra.Command{
		Use:   "adopt NAME BLOCK",
		Short: "Take overridden calls of a sample into the next version of a set",
		Long: `Adopt makes the next version of a set with halves whose calls people overrode: all
of the block's last sample, or those that --picked and --fruit name. It happens
only when asked for. The halves are measured again from the photo in the season;
the set keeps who gave the stage, when, and on which half of which photo.
` + exitStatus,
		Example: `  traystage refs adopt gala "Brook 5" --season larkfield-2026`,
		Args:    someArguments(2, "a set and a block"),
		RunE: func(cmd *cobra.Command, args []string) error {
			picked, err := opt.pickedDay()
			if err != nil {
				return err
			}
			home, err := f.shelf()
			if err != nil {
				return err
			}
			return withSeason(cmd.Context(), *f, func(s *ledger.Season) error {
				return runRefsAdopt(cmd.Context(), s, home, args[0], args[1], picked, fruit, cmd.OutOrStdout())
			})
		},
	}
	opt.addPicked(cmd)
	cmd.Flags().IntSliceVar(&fruit, "fruit", nil, "`NUMBERS` of the fruit; all that were overridden when not given")
	return cmd
}

func runRefsAdopt(ctx context.Context, s *ledger.Season, home shelf, name, block string, picked time.Time, fruit []int, stdout io.Writer) error {
	set, err := home.set(name)
	if err != nil {
		return err
	}
	b, err := blockOf(ctx, s, block)
	if err != nil {
		return err
	}
	sample, err := sampleOf(ctx, s, b.Name, picked)
	if err != nil {
		return err
	}
	var overrides []calibrate.Override
	for _, t := range sample.Trays {
		more, err := overridesOf(ctx, s, t, set, fruit)
		if err != nil {
			return err
		}
		overrides = append(overrides, more...)
	}
	if len(overrides) == 0 {
		return fmt.Errorf("block %q: no call of the sample of %s was overridden, so there is nothing to adopt", b.Name, sample.Picked.Format(time.DateOnly))
	}
	next, err := set.Adopt(overrides...)
	if errors.Is(err, calibrate.ErrGradedBefore) {
		return withHint(err, "each override is adopted once; --fruit names those that are new")
	}
	if err != nil {
		return err
	}
	return keep(home, next, stdout)
}

// overridesOf measures a tray of the season again, as the set asks for, and gives
// the halves that were overridden, of those fruit if any are named.
func overridesOf(ctx context.Context, s *ledger.Season, t scoring.Report, set calibrate.Set, fruit []int) ([]calibrate.Override, error) {
	var out []calibrate.Override
	var tray vision.Tray
	for i, f := range t.Fruit {
		if !f.Overridden() || len(fruit) > 0 && !slices.Contains(fruit, f.Number) {
			continue
		}
		if tray.Halves == nil {
			photo, err := s.Photo(ctx, t.PhotoHash)
			if err != nil {
				return nil, err
			}
			if tray, err = vision.Measure(bytes.Clone(photo), optionsOf(set)); err != nil {
				return nil, fmt.Errorf("%s: %w", t.Photo, err)
			}
			if len(tray.Halves) != len(t.Fruit) {
				return nil, fmt.Errorf("%s: %d halves are found now and %d when it was scored; score it again before its overrides are adopted", t.Photo, len(tray.Halves), len(t.Fruit))
			}
		}
		h := tray.Halves[i] // fruit are stored in reading order
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
