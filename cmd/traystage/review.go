package main

import (
	"context"
	"io"
	"strconv"
	"time"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/workbench"
	"traystage/scoring"
	"traystage/vision/note"
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
				return fault.Usagef("%s takes one fruit: a stage is that of one half", cmd.CommandPath())
			}
			return blockAndFruit(cmd, args)
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			if !cmd.Flags().Changed("stage") {
				return fault.Usagef("which stage? give it with --stage, as in --stage 4.5; traystage confirm lets a call stand")
			}
			return runReview(cmd.Context(), f, args, scoring.Review{Override: true, Stage: f.stage, Why: f.why}, cmd.OutOrStdout())
		},
	}
	f.add(cmd)
	decimalVar(cmd.Flags(), &f.stage, "stage", 0, "your own stage, on the scale of the set, tenths allowed")
	cmd.Flags().StringVar(&f.why, "why", "", "what is wrong with the call")
	return cmd
}

func blockAndFruit(cmd *cobra.Command, args []string) error {
	if len(args) < 2 {
		return fault.Usagef("%s takes a block and the number of a fruit, as in \"Brook 5\" 3", cmd.CommandPath())
	}
	for _, a := range args[1:] {
		if n, err := strconv.Atoi(a); err != nil || n < 1 {
			return fault.Usagef("%q: is no number of a fruit; quote a block's name with spaces, as in \"Brook 5\" 3", a)
		}
	}
	return nil
}

func runReview(ctx context.Context, f reviewFlags, args []string, r scoring.Review, stdout io.Writer) error {
	picked, err := f.pickedDay()
	if err != nil {
		return err
	}
	return inSeason(ctx, f.seasonFlags, func(b *workbench.Bench) error {
		for _, a := range args[1:] {
			fruit, _ := strconv.Atoi(a) // seen to when the arguments were read
			done, err := b.Review(ctx, f.act(), args[0], picked, fruit, r)
			if err != nil {
				return err
			}
			if err := tellReviewed(speech{speaking(ctx), stdout}, done); err != nil {
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

func tellReviewed(say speech, d workbench.Reviewed) error {
	done := say.Text("review.confirmed")
	if d.Review.Override {
		done = say.Text("command.review.now", note.Stage("stage", d.Review.Stage))
	}
	was := say.Text("command.review.no_call")
	if !d.Was.Clipped && d.Was.Unscored.IsZero() {
		was = say.Text("command.review.called", note.Stage("stage", d.Was.Call.Stage))
	}
	return say.tell("command.review.done", note.Name("block", d.Block), note.Day("picked", d.Picked), note.Count("fruit", d.Was.Number),
		note.Name("was", was), note.Name("done", done), note.Name("by", d.Review.By))
}
