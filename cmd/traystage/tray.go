package main

import (
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/workbench"
	"traystage/vision/note"
)

func newTrayCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "tray",
		Short: "List trays, and put right those that are in the wrong place",
		Long: `A tray is one photo in the sample of a block. One that was sent to the wrong block
or day is moved, one of the wrong photo is struck. What was there before stays in
the history. PHOTO is the name of its file, or the first characters of its hash
as traystage tray list tells it.
` + exitStatus,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(newTrayListCommand(), newTrayMoveCommand(), newTrayStrikeCommand(), newTrayRestoreCommand(), newTrayRenumberCommand())
	return cmd
}

func newTrayListCommand() *cobra.Command {
	var f seasonFlags
	cmd := &cobra.Command{
		Use:     "list BLOCK",
		Short:   "List the trays of a block, struck ones too",
		Long:    "List tells the trays of a block in the order in which they were stored.\n" + exitStatus,
		Example: `  traystage tray list "Brook 5" --season larkfield-2026`,
		Args:    oneArgument("the name of the block"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return inSeason(cmd.Context(), f, func(b *workbench.Bench) error {
				rows, err := b.Trays(cmd.Context(), args[0])
				if err != nil {
					return err
				}
				return listTrays(speechOf(cmd), rows)
			})
		},
	}
	f.addSeason(cmd.Flags())
	return cmd
}

func listTrays(say speech, rows []workbench.TrayRow) error {
	if len(rows) == 0 {
		return say.tell("command.trays.none")
	}
	t := say.table("column.picked", "column.photo", "column.hash", "column.fruit", "column.set", "column.by", "column.counts")
	for _, r := range rows {
		t.row(dayOrNone(r.Picked), r.Photo, fmt.Sprintf("%.8s", r.Hash), say.Counts(r.Numbers),
			fmt.Sprintf("%s.v%s", r.Set.Name, r.Set.Version), r.By, say.yesNo(r.Counts))
	}
	return t.Flush()
}

// correction are the flags of what puts something right.
type correction struct {
	seasonFlags
	why string
}

func (c *correction) add(cmd *cobra.Command) {
	c.addSeason(cmd.Flags())
	c.addBy(cmd)
	cmd.Flags().StringVar(&c.why, "why", "", "what was wrong, for the history")
}

func newTrayMoveCommand() *cobra.Command {
	var c correction
	var to, day string
	cmd := &cobra.Command{
		Use:   "move BLOCK PHOTO --to BLOCK --why TEXT",
		Short: "Move a tray to another block or day",
		Long: `Move takes a tray with its calls and reviews to the sample of another block, of
another day, or both. Its fruit go on after those that are there.
` + exitStatus,
		Example: `  traystage tray move "Brook 5" tray.jpg --to "Mill Row" --why "sent to the wrong block" --by hm --season larkfield-2026`,
		Args:    someArguments(2, "a block and a photo"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if to == "" && day == "" {
				return fault.Usagef("where to? give the block with --to, the day with --day, or both")
			}
			var picked time.Time
			var err error
			if day != "" {
				if picked, err = parseDay("--day", day); err != nil {
					return err
				}
			}
			return inSeason(cmd.Context(), c.seasonFlags, func(b *workbench.Bench) error {
				m, err := b.MoveTray(cmd.Context(), c.act(), args[0], args[1], to, picked, c.why)
				if err != nil {
					return err
				}
				return speechOf(cmd).tell("command.tray.moved", note.Name("photo", m.Photo), note.Counts("fruit", m.Numbers), note.Name("block", m.Block), note.Day("picked", m.Picked))
			})
		},
	}
	c.add(cmd)
	cmd.Flags().StringVar(&to, "to", "", "the `BLOCK` that its fruit are of; its own when not given")
	cmd.Flags().StringVar(&day, "day", "", "the `DAY` that its fruit were picked; its own when not given")
	return cmd
}

func newTrayStrikeCommand() *cobra.Command {
	var c correction
	var fruit []int
	cmd := &cobra.Command{
		Use:   "strike BLOCK PHOTO --why TEXT",
		Short: "Take a tray back, or halves on it that are none",
		Long: `Strike takes a tray back, so that it counts no longer; its photo may be stored
again where it belongs. With --fruit only these of its halves are taken back, such
as a knife that was taken for one; the others keep their numbers.
` + exitStatus,
		Example: `  traystage tray strike "Brook 5" tray.jpg --fruit 7 --why "a knife" --by hm --season larkfield-2026
  traystage tray strike "Brook 5" tray.jpg --why "fruit from the store" --by hm --season larkfield-2026`,
		Args: someArguments(2, "a block and a photo"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return inSeason(cmd.Context(), c.seasonFlags, func(b *workbench.Bench) error {
				if len(fruit) > 0 {
					t, err := b.StrikeHalves(cmd.Context(), c.act(), args[0], args[1], fruit, c.why)
					return tellTray(cmd, "command.tray.without", t, fruit, err)
				}
				t, err := b.StrikeTray(cmd.Context(), c.act(), args[0], args[1], c.why)
				return tellTray(cmd, "command.tray.struck", t, t.Numbers, err)
			})
		},
	}
	c.add(cmd)
	numbersVar(cmd.Flags(), &fruit, "fruit", "`NUMBERS` of the halves to take back; the whole tray when not given")
	return cmd
}

func newTrayRestoreCommand() *cobra.Command {
	var c correction
	cmd := &cobra.Command{
		Use:     "restore BLOCK PHOTO",
		Short:   "Put a struck tray back",
		Long:    "Restore puts a struck tray back into its sample.\n" + exitStatus,
		Example: `  traystage tray restore "Brook 5" tray.jpg --why "right after all" --by hm --season larkfield-2026`,
		Args:    someArguments(2, "a block and a photo"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return inSeason(cmd.Context(), c.seasonFlags, func(b *workbench.Bench) error {
				t, err := b.RestoreTray(cmd.Context(), c.act(), args[0], args[1], c.why)
				return tellTray(cmd, "command.tray.put_back", t, t.Numbers, err)
			})
		},
	}
	c.add(cmd)
	return cmd
}

func newTrayRenumberCommand() *cobra.Command {
	var c correction
	var first int
	var without []int
	cmd := &cobra.Command{
		Use:   "renumber BLOCK PHOTO --first NUMBER --without NUMBERS --why TEXT",
		Short: "Give the fruit of a tray other numbers",
		Long: `Renumber numbers the halves of a tray anew in reading order, from --first on and
leaving out the numbers of fruit that were not cut. Reviews stay with their halves;
readings keep their own numbers.
` + exitStatus,
		Example: `  traystage tray renumber "Brook 5" tray.jpg --without 7,12 --why "7 and 12 were not cut" --by hm --season larkfield-2026`,
		Args:    someArguments(2, "a block and a photo"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return inSeason(cmd.Context(), c.seasonFlags, func(b *workbench.Bench) error {
				t, err := b.RenumberTray(cmd.Context(), c.act(), args[0], args[1], first, without, c.why)
				return tellTray(cmd, "command.tray.renumbered", t, t.Numbers, err)
			})
		},
	}
	c.add(cmd)
	cmd.Flags().IntVar(&first, "first", 0, "number of the first half; the one it has when not given")
	numbersVar(cmd.Flags(), &without, "without", "`NUMBERS` of fruit that were not cut")
	return cmd
}

// tellTray says what became of a tray and which fruit it is about.
func tellTray(cmd *cobra.Command, key string, t workbench.TrayRow, fruit []int, err error) error {
	if err != nil {
		return err
	}
	return speechOf(cmd).tell(key, note.Name("photo", t.Photo), note.Name("block", t.Block), note.Day("picked", t.Picked), note.Counts("fruit", fruit))
}
