package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/files"
	"traystage/cmd/internal/workbench"
	"traystage/scoring"
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
				return listStandards(cmd.OutOrStdout(), rows, variety)
			})
		},
	}
	f.addSeason(cmd.Flags())
	cmd.Flags().StringVar(&variety, "variety", "", "only the rows of this cultivar and the general ones")
	return cmd
}

func listStandards(stdout io.Writer, rows []scoring.Standard, variety string) error {
	w := tabwriter.NewWriter(stdout, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "variety\tmarket\tscale\tstage\tfirmness\tsolids\tsource")
	n := 0
	for _, r := range rows {
		if variety != "" && !strings.EqualFold(r.Variety, variety) && r.Variety != scoring.AnyVariety {
			continue
		}
		n++
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\t%s\t%s\n", r.Variety, r.Market, r.Scale,
			rangeWords(r.Opens, r.Closes), withUnit(rangeWords(r.Firmness.From, r.Firmness.To), string(r.FirmnessUnit)),
			withUnit(rangeWords(r.Solids.From, r.Solids.To), "°Brix"), r.Source)
	}
	if n == 0 {
		_, err := fmt.Fprintf(stdout, "There is no standard for %s. traystage standards save writes the table to add one to.\n", variety)
		return err
	}
	if err := w.Flush(); err != nil {
		return err
	}
	_, err := fmt.Fprintln(stdout, "\nStandards vary by year and place: what your marketer and local adviser say comes first.")
	return err
}

// rangeWords is a target as people write it; empty when it asks nothing.
func rangeWords(from, to scoring.Limit) string {
	switch {
	case from.Set && to.Set:
		return fmt.Sprintf("%g to %g", from.Value, to.Value)
	case from.Set:
		return fmt.Sprintf("from %g", from.Value)
	case to.Set:
		return fmt.Sprintf("to %g", to.Value)
	}
	return ""
}

func withUnit(words, unit string) string {
	if words == "" {
		return ""
	}
	return words + " " + unit
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
				if err := files.WriteNew(args[0], table); err != nil {
					return fmt.Errorf("%s: not written over: %w; choose another name", args[0], err)
				}
				return nil
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
				_, err = fmt.Fprintf(cmd.OutOrStdout(), "%d standards of your own count from now on.\n", rows)
				return err
			})
		},
	}
	f.addSeason(cmd.Flags())
	f.addBy(cmd)
	return cmd
}
