package main

import (
	"fmt"
	"io"
	"math"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/workbench"
	"traystage/scoring"
)

func newSeasonCompareCommand() *cobra.Command {
	var f seasonFlags
	cmd := &cobra.Command{
		Use:   "compare BLOCK SEASON...",
		Short: "Lay a block's season over earlier ones",
		Long: `Compare lays the curves of a block over those of the same block in other seasons,
by days from full bloom where every season has the day (traystage block bloom),
else by the calendar, and tells how many days this year is ahead or behind.
` + exitStatus,
		Example: `  traystage season compare "Brook 5" larkfield-2024 larkfield-2025 --season larkfield-2026`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) < 2 {
				return fault.Usagef("%s takes the name of the block and the folders of other seasons; quote a name with spaces", cmd.CommandPath())
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			return inSeason(cmd.Context(), f, func(b *workbench.Bench) error {
				c, err := b.Compare(cmd.Context(), args[0], args[1:])
				if err != nil {
					return err
				}
				return listComparison(cmd.OutOrStdout(), c)
			})
		},
	}
	f.addSeason(cmd.Flags())
	return cmd
}

func listComparison(stdout io.Writer, c scoring.Comparison) error {
	from := "of the year"
	if c.FromBloom {
		from = "from full bloom"
	}
	for i, q := range c.Quantities {
		if i > 0 {
			fmt.Fprintln(stdout)
		}
		fmt.Fprintf(stdout, "%s, %s %s: %.2f now; days count %s\n", c.Block.Name, q.Quantity, q.Unit, q.Value, from)
		w := tabwriter.NewWriter(stdout, 0, 0, 2, ' ', 0)
		fmt.Fprintln(w, "season\tsamples\tfirst\tlast\ta day\tthere on day\t90 %\tthis year is")
		for n, y := range q.Years {
			first, last := y.Points[0], y.Points[len(y.Points)-1]
			fmt.Fprintf(w, "%s\t%d\t%.1f on %.0f\t%.1f on %.0f\t%s\t%s\n",
				y.Season, len(y.Points), first.Mean, first.Day, last.Mean, last.Day, rateWords(y), thereWords(y, n == 0))
		}
		if err := w.Flush(); err != nil {
			return err
		}
	}
	return nil
}

func rateWords(y scoring.YearCurve) string {
	if !y.HasRate {
		return "–"
	}
	return fmt.Sprintf("%+.2f", y.Rate.Value)
}

// thereWords are the last three columns: the day, its interval, ahead or behind.
func thereWords(y scoring.YearCurve, now bool) string {
	switch days := math.Round(math.Abs(y.Ahead)); {
	case now:
		return fmt.Sprintf("%.0f\t\t", y.Reached)
	case !y.Known:
		return "–\t\t"
	case days == 0:
		return fmt.Sprintf("%.0f\t%.0f to %.0f\tas it was", y.Reached, y.Low, y.High)
	case y.Ahead > 0:
		return fmt.Sprintf("%.0f\t%.0f to %.0f\t%.0f days ahead", y.Reached, y.Low, y.High, days)
	default:
		return fmt.Sprintf("%.0f\t%.0f to %.0f\t%.0f days behind", y.Reached, y.Low, y.High, days)
	}
}

func newBlockBloomCommand() *cobra.Command {
	var f seasonFlags
	cmd := &cobra.Command{
		Use:     "bloom NAME DAY",
		Short:   "Keep the day of a block's full bloom",
		Long:    "Bloom keeps the day on which the block was in full bloom: seasons are compared by days from it.\n" + exitStatus,
		Example: `  traystage block bloom "Brook 5" 2026-04-24 --by hm --season larkfield-2026`,
		Args:    someArguments(2, "the name of the block and the day of its full bloom"),
		RunE: func(cmd *cobra.Command, args []string) error {
			day, err := parseDay("the day of full bloom", args[1])
			if err != nil {
				return err
			}
			return inSeason(cmd.Context(), f, func(b *workbench.Bench) error {
				return b.SetBloom(cmd.Context(), f.act(), args[0], day)
			})
		},
	}
	f.addSeason(cmd.Flags())
	f.addBy(cmd)
	return cmd
}
