package main

import (
	"time"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/workbench"
	"traystage/vision/note"
)

// pickedFlags say what was picked of a block.
type pickedFlags struct {
	correction
	day, to, note string
	bins          float64
	part, undo    bool
}

func newBlockPickedCommand() *cobra.Command {
	var f pickedFlags
	cmd := &cobra.Command{
		Use:   "picked BLOCK",
		Short: "Say that a block was picked: the day, the bins, where they went",
		Long: `Picked keeps that a block was picked. Picked to the end it leaves the picking order
and wants no more samples; its history stays. With --part more of it is still to be
picked. With --undo the last such entry is taken back.
` + exitStatus,
		Example: `  traystage block picked "Brook 5" --day 2026-09-22 --bins 42 --to "room 3" --by hm --season larkfield-2026
  traystage block picked "Brook 5" --undo --why "it was Mill Row" --by hm --season larkfield-2026`,
		Args: oneArgument("the name of the block"),
		RunE: func(cmd *cobra.Command, args []string) error {
			p := workbench.Picking{Part: f.part, Destination: f.to, Note: f.note}
			if cmd.Flags().Changed("bins") {
				p.Bins = &f.bins
			}
			var err error
			if f.day != "" {
				if p.Day, err = parseDay("--day", f.day); err != nil {
					return err
				}
			}
			return inSeason(cmd.Context(), f.seasonFlags, func(b *workbench.Bench) error {
				if f.undo {
					return b.UndoPick(cmd.Context(), f.act(), args[0], f.why)
				}
				_, err := b.PickBlock(cmd.Context(), f.act(), args[0], p)
				return err
			})
		},
	}
	f.add(cmd)
	fl := cmd.Flags()
	fl.StringVar(&f.day, "day", "", "the `DAY`; today when not given")
	decimalVar(fl, &f.bins, "bins", 0, "how many bins")
	fl.StringVar(&f.to, "to", "", "where they went: a room, a store, a buyer")
	fl.StringVar(&f.note, "note", "", "anything else worth keeping")
	fl.BoolVar(&f.part, "part", false, "more of the block is still to be picked")
	fl.BoolVar(&f.undo, "undo", false, "take the last such entry back")
	return cmd
}

func newBlockRetireCommand() *cobra.Command {
	var c correction
	var resume bool
	cmd := &cobra.Command{
		Use:   "retire BLOCK --why TEXT",
		Short: "Follow a block no longer, or again",
		Long: `Retire says that a block is no longer followed: it leaves outlook and plan, and its
history stays. With --resume it is followed again.
` + exitStatus,
		Example: `  traystage block retire "Brook 5" --why "frost took it" --by hm --season larkfield-2026
  traystage block retire "Brook 5" --resume --by hm --season larkfield-2026`,
		Args: oneArgument("the name of the block"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return inSeason(cmd.Context(), c.seasonFlags, func(b *workbench.Bench) error {
				return b.RetireBlock(cmd.Context(), c.act(), args[0], c.why, !resume)
			})
		},
	}
	c.add(cmd)
	cmd.Flags().BoolVar(&resume, "resume", false, "follow it again")
	return cmd
}

// state tells in the list of blocks how far one is through its season.
func (s speech) state(row workbench.BlockRow) string {
	switch {
	case row.State.Retired:
		return s.Text("command.block.retired")
	case row.State.Done():
		return s.Text("command.block.picked", note.Day("day", lastPick(row)))
	case len(row.State.Picks) > 0:
		return s.Text("command.block.partly", note.Day("day", lastPick(row)))
	}
	return none
}

func lastPick(row workbench.BlockRow) time.Time { return row.State.Picks[len(row.State.Picks)-1].Day }
