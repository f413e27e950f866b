package main

import (
	"strconv"
	"time"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/workbench"
	"traystage/scoring"
)

func newBlockCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "block",
		Short: "Name the blocks of a season: what is picked as one",
		Long:  "A block is a part of the orchard, of one variety, that is picked as one.\n" + exitStatus,
		Args:  noArguments,
		RunE:  func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(newBlockAddCommand(), newBlockChangeCommand(), newBlockListCommand(), newBlockBloomCommand(), newBlockPickedCommand(), newBlockRetireCommand())
	return cmd
}

// blockFlags say what is known of a block.
type blockFlags struct {
	seasonFlags
	name, variety, market, harvest, set, note string
}

func (f *blockFlags) add(cmd *cobra.Command) {
	f.addSeason(cmd.Flags())
	f.addBy(cmd)
	fl := cmd.Flags()
	fl.StringVar(&f.variety, "variety", "", "cultivar, as the standards name it")
	fl.StringVar(&f.market, "market", "", "what the fruit is meant for, as traystage standards list names it")
	fl.StringVar(&f.harvest, "harvest", "", "expected harvest, a `DAY` such as 2026-09-20")
	fl.StringVar(&f.set, "set", "", "reference set to call on; the built-in one when not given")
	fl.StringVar(&f.note, "note", "", "anything else worth keeping")
}

// fill puts what the flags say into a block and leaves the rest as it was.
func (f blockFlags) fill(cmd *cobra.Command, b *scoring.Block) error {
	for flag, to := range map[string]*string{"name": &b.Name, "variety": &b.Variety, "market": &b.Market, "set": &b.Set, "note": &b.Note} {
		if given := cmd.Flags().Lookup(flag); given != nil && given.Changed {
			*to = given.Value.String()
		}
	}
	if !cmd.Flags().Changed("harvest") {
		return nil
	}
	if f.harvest == "" {
		b.Harvest = time.Time{}
		return nil
	}
	var err error
	b.Harvest, err = parseDay("--harvest", f.harvest)
	return err
}

func newBlockAddCommand() *cobra.Command {
	var f blockFlags
	cmd := &cobra.Command{
		Use:     "add NAME",
		Short:   "Add a block to the season",
		Long:    "Add names a block, its variety and what its fruit is meant for.\n" + exitStatus,
		Example: `  traystage block add "Brook 5" --variety Gala --market "long CA" --harvest 2026-09-10 --by hm --season larkfield-2026`,
		Args:    oneArgument("the name of the block"),
		RunE: func(cmd *cobra.Command, args []string) error {
			block := scoring.Block{Name: args[0]}
			if err := f.fill(cmd, &block); err != nil {
				return err
			}
			return inSeason(cmd.Context(), f.seasonFlags, func(b *workbench.Bench) error {
				return b.AddBlock(cmd.Context(), f.act(), block)
			})
		},
	}
	f.add(cmd)
	return cmd
}

func newBlockChangeCommand() *cobra.Command {
	var f blockFlags
	cmd := &cobra.Command{
		Use:   "change NAME",
		Short: "Change what is known of a block",
		Long: `Change writes a new entry for the block, with what the flags name. What was
written before is kept.
` + exitStatus,
		Example: `  traystage block change "Brook 5" --harvest 2026-09-14 --by hm --season larkfield-2026`,
		Args:    oneArgument("the name of the block"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return inSeason(cmd.Context(), f.seasonFlags, func(b *workbench.Bench) error {
				return b.ChangeBlock(cmd.Context(), f.act(), args[0], func(block *scoring.Block) error { return f.fill(cmd, block) })
			})
		},
	}
	f.add(cmd)
	cmd.Flags().StringVar(&f.name, "name", "", "another name for the block")
	return cmd
}

func newBlockListCommand() *cobra.Command {
	var f seasonFlags
	cmd := &cobra.Command{
		Use:     "list",
		Short:   "List the blocks of the season and their samples",
		Long:    "List tells the blocks of the season, and for each how many samples there are and when the last was picked.\n" + exitStatus,
		Example: `  traystage block list --season larkfield-2026`,
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return inSeason(cmd.Context(), f, func(b *workbench.Bench) error {
				blocks, err := b.Blocks(cmd.Context())
				if err != nil {
					return err
				}
				return listBlocks(speechOf(cmd), blocks)
			})
		},
	}
	f.addSeason(cmd.Flags())
	return cmd
}

func listBlocks(say speech, blocks []workbench.BlockRow) error {
	if len(blocks) == 0 {
		return say.tell("command.blocks.none")
	}
	t := say.table("column.block", "column.variety", "column.market", "column.expected", "column.set", "column.samples", "column.last_sample", "column.state")
	for _, b := range blocks {
		set := b.Set
		if set == "" {
			set = say.Text("command.set.builtin")
		}
		t.row(b.Name, b.Variety, b.Market, dayOrNone(b.Harvest), set, strconv.Itoa(b.Samples), dayOrNone(b.Last), say.state(b))
	}
	return t.Flush()
}
