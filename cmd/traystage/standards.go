package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"traystage/refimages"
	"traystage/scoring"
	"traystage/scoring/ledger"
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
			rows, err := f.standards(cmd.Context())
			if err != nil {
				return err
			}
			return listStandards(cmd.OutOrStdout(), rows, variety)
		},
	}
	f.addSeason(cmd.Flags())
	cmd.Flags().StringVar(&variety, "variety", "", "only the rows of this cultivar and the general ones")
	return cmd
}

// standards are those that count: of the season where there is one, else the published ones.
func (f seasonFlags) standards(ctx context.Context) (rows []scoring.Standard, err error) {
	if f.folder() == "" {
		return scoring.ReadStandards(refimages.Standards(), refimages.StandardsName)
	}
	err = withSeason(ctx, f, func(s *ledger.Season) error {
		rows, err = standardsOf(ctx, s)
		return err
	})
	return rows, err
}

// standardsOf are the season's own standards and, for what they leave out, the published ones.
func standardsOf(ctx context.Context, s *ledger.Season) ([]scoring.Standard, error) {
	shipped, err := scoring.ReadStandards(refimages.Standards(), refimages.StandardsName)
	if err != nil {
		return nil, err
	}
	sheets, err := s.Sheets(ctx, ledger.StandardsSheet)
	if err != nil || len(sheets) == 0 {
		return shipped, err
	}
	own, err := scoring.ReadStandards(strings.NewReader(sheets[len(sheets)-1].Text), "the season's standards")
	return scoring.Prefer(own, shipped), err
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
			text, err := io.ReadAll(refimages.Standards())
			if err != nil {
				return err
			}
			if f.folder() != "" {
				err = withSeason(cmd.Context(), f, func(s *ledger.Season) error {
					sheets, err := s.Sheets(cmd.Context(), ledger.StandardsSheet)
					if err == nil && len(sheets) > 0 {
						text = []byte(sheets[len(sheets)-1].Text)
					}
					return err
				})
				if err != nil {
					return err
				}
			}
			if err := writeNewFile(args[0], text); err != nil {
				return fmt.Errorf("%s: not written over: %w; choose another name", args[0], err)
			}
			return nil
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
			by, err := f.initials()
			if err != nil {
				return err
			}
			text, err := readFile(args[0])
			if err != nil {
				return err
			}
			rows, err := scoring.ReadStandards(bytes.NewReader(text), args[0])
			if err != nil {
				return err
			}
			return withSeason(cmd.Context(), f, func(s *ledger.Season) error {
				if err := s.PutSheet(cmd.Context(), by, ledger.StandardsSheet, string(text)); err != nil {
					return err
				}
				_, err := fmt.Fprintf(cmd.OutOrStdout(), "%d standards of your own count from now on.\n", len(rows))
				return err
			})
		},
	}
	f.addSeason(cmd.Flags())
	f.addBy(cmd)
	return cmd
}
