package main

import (
	"fmt"
	"strconv"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/workbench"
	"traystage/scoring"
	"traystage/vision/note"
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
				say := speechOf(cmd)
				if err := listRates(say, learnt.Rates); err != nil || len(learnt.Skipped) == 0 {
					return err
				}
				fmt.Fprintln(say.w)
				return say.tell("command.rates.skipped", note.Names("folders", learnt.Skipped))
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
				return listRates(speechOf(cmd), rates)
			})
		},
	}
	f.addSeason(cmd.Flags())
	return cmd
}

func listRates(say speech, rates []scoring.UsualRate) error {
	if len(rates) == 0 {
		return say.tell("command.rates.none")
	}
	t := say.table("column.variety", "column.what", "column.unit", "column.a_day", "column.spread", "column.blocks", "column.seasons")
	for _, r := range rates {
		t.row(r.Variety, say.Term("quantity", string(r.Quantity)), r.Unit, say.Signed(r.PerDay, 2), say.Percent(r.Spread), strconv.Itoa(r.Blocks), strconv.Itoa(r.Seasons))
	}
	return t.Flush()
}
