package main

import (
	"context"
	"fmt"
	"io"
	"strconv"
	"time"

	"github.com/spf13/cobra"

	"traystage/scoring"
	"traystage/scoring/ledger"
)

// reviewFlags say which call is reviewed, and by whom.
type reviewFlags struct {
	seasonFlags
	picked string
	stage  float64
	why    string
}

func (f *reviewFlags) add(cmd *cobra.Command) {
	f.addSeason(cmd.Flags())
	f.addBy(cmd)
	f.addPicked(cmd)
}

func (f *reviewFlags) addPicked(cmd *cobra.Command) {
	cmd.Flags().StringVar(&f.picked, "picked", "", "`DAY` the sample was picked; the last sample when not given")
}

func newConfirmCommand() *cobra.Command {
	var f reviewFlags
	cmd := &cobra.Command{
		Use:   "confirm BLOCK FRUIT...",
		Short: "Let calls stand after looking at the halves yourself",
		Long: `Confirm keeps that you have looked at these fruit and agree with their calls.
` + exitStatus,
		Example: `  traystage confirm "Brook 5" 3 7 --by hm --season larkfield-2026`,
		Args:    blockAndFruit,
		RunE: func(cmd *cobra.Command, args []string) error {
			return runReview(cmd.Context(), f, args, scoring.Review{Why: f.why}, cmd.OutOrStdout())
		},
	}
	f.add(cmd)
	cmd.Flags().StringVar(&f.why, "why", "", "anything worth keeping with it")
	return cmd
}

func newOverrideCommand() *cobra.Command {
	var f reviewFlags
	cmd := &cobra.Command{
		Use:   "override BLOCK FRUIT --stage STAGE --why REASON",
		Short: "Put your own stage in the place of a call",
		Long: `Override keeps your stage beside the call, and yours counts from then on. The
call is not lost: traystage history tells both.
` + exitStatus,
		Example: `  traystage override "Brook 5" 3 --stage 4.5 --why "bruise under the core" --by hm --season larkfield-2026`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 2 {
				return usageError{fmt.Errorf("%s takes one fruit: a stage is that of one half", cmd.CommandPath())}
			}
			return blockAndFruit(cmd, args)
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			if !cmd.Flags().Changed("stage") {
				return usageError{fmt.Errorf("which stage? give it with --stage, as in --stage 4.5; traystage confirm lets a call stand")}
			}
			return runReview(cmd.Context(), f, args, scoring.Review{Override: true, Stage: f.stage, Why: f.why}, cmd.OutOrStdout())
		},
	}
	f.add(cmd)
	cmd.Flags().Float64Var(&f.stage, "stage", 0, "your own stage, on the scale of the set, tenths allowed")
	cmd.Flags().StringVar(&f.why, "why", "", "what is wrong with the call")
	return cmd
}

func blockAndFruit(cmd *cobra.Command, args []string) error {
	if len(args) < 2 {
		return usageError{fmt.Errorf("%s takes a block and the number of a fruit, as in \"Brook 5\" 3", cmd.CommandPath())}
	}
	for _, a := range args[1:] {
		if n, err := strconv.Atoi(a); err != nil || n < 1 {
			return usageError{fmt.Errorf("%q: is no number of a fruit; quote a block's name with spaces, as in \"Brook 5\" 3", a)}
		}
	}
	return nil
}

func runReview(ctx context.Context, f reviewFlags, args []string, r scoring.Review, stdout io.Writer) error {
	var err error
	if r.By, err = f.initials(); err != nil {
		return err
	}
	picked, err := f.pickedDay()
	if err != nil {
		return err
	}
	return withSeason(ctx, f.seasonFlags, func(s *ledger.Season) error {
		b, err := blockOf(ctx, s, args[0])
		if err != nil {
			return err
		}
		sample, err := sampleOf(ctx, s, b.Name, picked)
		if err != nil {
			return err
		}
		for _, a := range args[1:] {
			fruit, _ := strconv.Atoi(a) // seen to when the arguments were read
			if err := reviewOne(ctx, s, sample, fruit, r, stdout); err != nil {
				return err
			}
		}
		return nil
	})
}

func (f reviewFlags) pickedDay() (time.Time, error) {
	if f.picked == "" {
		return time.Time{}, nil
	}
	return parseDay("--picked", f.picked)
}

func reviewOne(ctx context.Context, s *ledger.Season, sample scoring.Sample, fruit int, r scoring.Review, stdout io.Writer) error {
	day := sample.Picked.Format(time.DateOnly)
	for _, t := range sample.Trays {
		for _, half := range t.Fruit {
			if half.Number != fruit {
				continue
			}
			if err := s.Review(ctx, t, fruit, r); err != nil {
				return err
			}
			done := "confirmed"
			if r.Override {
				done = "now " + scoring.Tenth(r.Stage)
			}
			was := "without a call"
			if !half.Clipped && half.Unscored == "" {
				was = "called " + scoring.Tenth(half.Call.Stage)
			}
			_, err := fmt.Fprintf(stdout, "%s, picked %s, fruit %d: %s, %s by %s.\n", sample.Block, day, fruit, was, done, r.By)
			return err
		}
	}
	return fmt.Errorf("block %q: the sample of %s has no half numbered %d; it has %d", sample.Block, day, fruit, len(sample.Fruit()))
}
