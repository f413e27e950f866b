package main

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/files"
	"traystage/cmd/internal/workbench"
	"traystage/scoring"
	"traystage/vision/note"
)

func newStandardsCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "standards",
		Short: "Show and edit the targets by variety and market",
		Long: `Standards are the targets that a block is held against: stage, firmness and
sugar by variety and market. Those that come with the program are published ones.
They vary by year and place: what your marketer and local adviser say comes first.
` + exitStatus,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(newStandardsListCommand(), newStandardsSaveCommand(), newStandardsUseCommand())
	return cmd
}

func newStandardsListCommand() *cobra.Command {
	var f seasonFlags
	var variety string
	cmd := &cobra.Command{
		Use:   "list",
		Short: "List the standards that count",
		Long:  "List tells the targets that count: your own rows first, then the published ones.\n" + exitStatus,
		Example: `  traystage standards list --variety Gala
  traystage standards list --season larkfield-2026`,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return atBench(cmd.Context(), f, func(b *workbench.Bench) error {
				rows, err := b.Standards(cmd.Context())
				if err != nil {
					return err
				}
				return listStandards(speechOf(cmd), rows, variety)
			})
		},
	}
	f.addSeason(cmd.Flags())
	cmd.Flags().StringVar(&variety, "variety", "", "only the rows of this cultivar and the general ones")
	return cmd
}

func listStandards(say speech, rows []scoring.Standard, variety string) error {
	t := say.table("column.variety", "column.market", "column.scale", "column.stage", "column.firmness", "column.solids", "column.source")
	n := 0
	for _, r := range rows {
		if variety != "" && !strings.EqualFold(r.Variety, variety) && r.Variety != scoring.AnyVariety {
			continue
		}
		n++
		t.row(r.Variety, r.Market, string(r.Scale), say.limits(r.Opens, r.Closes, ""), say.limits(r.Firmness.From, r.Firmness.To, string(r.FirmnessUnit)),
			say.limits(r.Solids.From, r.Solids.To, "°Brix"), r.Source)
	}
	if n == 0 {
		return say.tell("command.standards.none", note.Name("variety", variety))
	}
	if err := t.Flush(); err != nil {
		return err
	}
	fmt.Fprintln(say.w)
	return say.tell("command.standards.first")
}

func newStandardsSaveCommand() *cobra.Command {
	var f seasonFlags
	cmd := &cobra.Command{
		Use:   "save FILE.csv",
		Short: "Save the table of standards to edit it",
		Long: `Save writes the season's own standards, or the published ones where there are
none yet, as a CSV file. Edit or add rows, say in source where a row comes from,
and give it back with traystage standards use.
` + exitStatus,
		Example: `  traystage standards save standards.csv --season larkfield-2026`,
		Args:    oneArgument("the file to write"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return atBench(cmd.Context(), f, func(b *workbench.Bench) error {
				table, err := b.StandardsTable(cmd.Context())
				if err != nil {
					return err
				}
				err = files.WriteNew(args[0], table)
				if errors.Is(err, fs.ErrExist) {
					return fmt.Errorf("%s: is there already and is not written over; choose another name", args[0])
				}
				return err
			})
		},
	}
	f.addSeason(cmd.Flags())
	return cmd
}

func newStandardsUseCommand() *cobra.Command {
	var f seasonFlags
	cmd := &cobra.Command{
		Use:   "use FILE.csv",
		Short: "Take a table of standards into the season",
		Long: `Use takes your own table. A row of it counts before the published row of the
same variety and market; rows that it leaves out stay as published. The tables
taken before are kept.
` + exitStatus,
		Example: `  traystage standards use own.csv --by hm --season larkfield-2026`,
		Args:    oneArgument("the file with your standards"),
		RunE: func(cmd *cobra.Command, args []string) error {
			table, err := files.Read(args[0])
			if err != nil {
				return err
			}
			return inSeason(cmd.Context(), f, func(b *workbench.Bench) error {
				rows, err := b.UseStandards(cmd.Context(), f.act(), args[0], table)
				if err != nil {
					return err
				}
				return speechOf(cmd).tell("command.standards.taken", note.Count("n", rows))
			})
		},
	}
	f.addSeason(cmd.Flags())
	f.addBy(cmd)
	return cmd
}
