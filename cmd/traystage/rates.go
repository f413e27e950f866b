package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/workbench"
	"traystage/scoring"
)

func newRatesCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "rates",
		Short: "Learn how fast your own blocks usually ripen, and show it",
		Long: `Rates are how fast your blocks of a variety usually go, learnt from seasons that
are over. Trends lean on them where a report is asked for with --usual, and say so.
` + exitStatus,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(newRatesLearnCommand(), newRatesListCommand())
	return cmd
}

func newRatesLearnCommand() *cobra.Command {
	var f seasonFlags
	cmd := &cobra.Command{
		Use:   "learn SEASON...",
		Short: "Learn usual rates from closed seasons",
		Long: `Learn reads the seasons in these folders and keeps, for every variety, how fast
the stage, firmness and sugar of a block go and how much blocks and years differ.
` + exitStatus,
		Example: `  traystage rates learn larkfield-2024 larkfield-2025 --by hm --season larkfield-2026`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return fault.Usagef("%s takes the folders of closed seasons", cmd.CommandPath())
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			return inSeason(cmd.Context(), f, func(b *workbench.Bench) error {
				learnt, err := b.LearnRates(cmd.Context(), f.act(), args)
				if err != nil {
					return err
				}
				if err := listRates(cmd.OutOrStdout(), learnt.Rates); err != nil || len(learnt.Skipped) == 0 {
					return err
				}
				_, err = fmt.Fprintf(cmd.OutOrStdout(), "\nNothing was learnt from: %s.\n", strings.Join(learnt.Skipped, ", "))
				return err
			})
		},
	}
	f.addSeason(cmd.Flags())
	f.addBy(cmd)
	return cmd
}

func newRatesListCommand() *cobra.Command {
	var f seasonFlags
	cmd := &cobra.Command{
		Use:     "list",
		Short:   "List the usual rates of the season",
		Long:    "List tells the rates that traystage rates learn kept last.\n" + exitStatus,
		Example: `  traystage rates list --season larkfield-2026`,
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return inSeason(cmd.Context(), f, func(b *workbench.Bench) error {
				rates, err := b.Rates(cmd.Context())
				if err != nil {
					return err
				}
				return listRates(cmd.OutOrStdout(), rates)
			})
		},
	}
	f.addSeason(cmd.Flags())
	return cmd
}

func listRates(stdout io.Writer, rates []scoring.UsualRate) error {
	if len(rates) == 0 {
		_, err := fmt.Fprintln(stdout, "The season has no usual rates yet. Learn them with traystage rates learn.")
		return err
	}
	w := tabwriter.NewWriter(stdout, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "variety\twhat\tunit\ta day\tblocks differ by\tblocks\tseasons")
	for _, r := range rates {
		fmt.Fprintf(w, "%s\t%s\t%s\t%+.2f\t%.0f %%\t%d\t%d\n", r.Variety, r.Quantity, r.Unit, r.PerDay, 100*r.Spread, r.Blocks, r.Seasons)
	}
	return w.Flush()
}
