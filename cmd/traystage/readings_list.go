package main

import (
	"strconv"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/workbench"
	"traystage/vision/note"
)

func newReadingsListCommand() *cobra.Command {
	var f seasonFlags
	cmd := &cobra.Command{
		Use:   "list BLOCK",
		Short: "List the sheets and single readings that were entered for a block",
		Long: `List tells what was entered at one go for a block, sheets and readings by hand,
each with the number by which it is struck or moved.
` + exitStatus,
		Example: `  traystage readings list "Brook 5" --season larkfield-2026`,
		Args:    oneArgument("the name of the block"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return inSeason(cmd.Context(), f, func(b *workbench.Bench) error {
				batches, err := b.Batches(cmd.Context(), args[0])
				if err != nil {
					return err
				}
				return listBatches(speechOf(cmd), batches)
			})
		},
	}
	f.addSeason(cmd.Flags())
	return cmd
}

func listBatches(say speech, batches []workbench.Batch) error {
	t := say.table("column.sheet", "column.picked", "column.from", "column.fruit", "column.by", "column.entered", "column.counts")
	for _, b := range batches {
		from := b.Source
		if from == "" {
			from = say.Text("command.by_hand")
		}
		t.row(strconv.FormatInt(b.ID, 10), dayOrNone(b.Picked), from, say.Counts(b.Fruit), b.By, b.At.Local().Format(minute), say.yesNo(!b.Struck))
	}
	return t.Flush()
}

func newReadingsMoveCommand() *cobra.Command {
	var c correction
	var sheet int64
	var day string
	var shift int
	cmd := &cobra.Command{
		Use:   "move BLOCK --sheet NUMBER --picked DAY --why TEXT",
		Short: "Move a sheet to another block, day or fruit",
		Long: `Move takes what was entered at one go to the sample of the block and day that it is
of. --shift adds to the numbers of its fruit, where it was entered one row off.
` + exitStatus,
		Example: `  traystage readings move "Brook 5" --sheet 2 --picked 2026-09-14 --why "entered for the wrong day" --by hm --season larkfield-2026`,
		Args:    oneArgument("the block that it is of"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if sheet == 0 || day == "" {
				return fault.Usagef("which one, and to which day? give --sheet, as traystage readings list tells it, and --picked")
			}
			picked, err := parseDay("--picked", day)
			if err != nil {
				return err
			}
			return inSeason(cmd.Context(), c.seasonFlags, func(b *workbench.Bench) error {
				if err := b.MoveSheet(cmd.Context(), c.act(), sheet, args[0], picked, shift, c.why); err != nil {
					return err
				}
				return speechOf(cmd).tell("command.readings.moved", note.Name("block", args[0]), note.Day("picked", picked))
			})
		},
	}
	c.add(cmd)
	cmd.Flags().Int64Var(&sheet, "sheet", 0, "`NUMBER` of the sheet, from traystage readings list")
	cmd.Flags().StringVar(&day, "picked", "", "`DAY` of the sample it is of")
	cmd.Flags().IntVar(&shift, "shift", 0, "what to add to the numbers of its fruit")
	return cmd
}
