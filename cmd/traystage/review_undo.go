package main

import (
	"strconv"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/workbench"
	"traystage/scoring"
	"traystage/vision/note"
)

func newReviewCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "review",
		Short: "Take back what was said of a call",
		Long: `Review undo takes back a confirmation or an override, as traystage confirm and
traystage override keep them.
` + exitStatus,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(newReviewUndoCommand())
	return cmd
}

func newReviewUndoCommand() *cobra.Command {
	var f reviewFlags
	cmd := &cobra.Command{
		Use:   "undo BLOCK FRUIT...",
		Short: "Take back the last review of a fruit",
		Long: `Undo takes back what was last said of each of these fruit: what was said before it
counts again, else the call.
` + exitStatus,
		Example: `  traystage review undo "Brook 5" 7 --why "it was fruit 8" --by hm --season larkfield-2026`,
		Args:    blockAndFruit,
		RunE: func(cmd *cobra.Command, args []string) error {
			picked, err := f.pickedDay()
			if err != nil {
				return err
			}
			return inSeason(cmd.Context(), f.seasonFlags, func(b *workbench.Bench) error {
				for _, a := range args[1:] {
					fruit, _ := strconv.Atoi(a) // seen to when the arguments were read
					d, err := b.UndoReview(cmd.Context(), f.act(), args[0], picked, fruit, f.why)
					if err != nil {
						return err
					}
					say := speechOf(cmd)
					if err := say.tell("command.review.undone", note.Name("block", d.Block), note.Day("picked", d.Picked), note.Count("fruit", fruit),
						note.Name("by", d.Was.Review.By), note.Name("now", say.counts(d.Now))); err != nil {
						return err
					}
				}
				return nil
			})
		},
	}
	f.add(cmd)
	cmd.Flags().StringVar(&f.why, "why", "", "what was wrong, for the history")
	return cmd
}

// counts tells what counts of a fruit.
func (s speech) counts(f scoring.Fruit) string {
	switch {
	case f.Overridden():
		return s.Text("command.review.again_override", note.Stage("stage", f.Review.Stage), note.Name("by", f.Review.By))
	case f.Review != nil:
		return s.Text("command.review.again_confirmed", note.Stage("stage", f.Stage()), note.Name("by", f.Review.By))
	case f.Scored():
		return s.Text("command.review.again_call", note.Stage("stage", f.Stage()))
	}
	return s.Text("command.review.again_none")
}
