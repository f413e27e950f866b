package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/workbench"
	"traystage/scoring"
	"traystage/vision/note"
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
				return listComparison(speechOf(cmd), c)
			})
		},
	}
	f.addSeason(cmd.Flags())
	return cmd
}

func listComparison(say speech, c scoring.Comparison) error {
	for i, q := range c.Quantities {
		if i > 0 {
			fmt.Fprintln(say.w)
		}
		key := "command.compare.now"
		if c.FromBloom {
			key = "command.compare.now_from_bloom"
		}
		if err := say.tell(key, note.Name("block", c.Block.Name), note.Term("quantity", "quantity", q.Quantity), note.Figure("now", q.Value, 2, q.Unit)); err != nil {
			return err
		}
		t := say.table("column.season", "column.samples", "column.first", "column.last", "column.a_day", "column.reached", "column.interval_90", "column.ahead")
		for n, y := range q.Years {
			on := dayIn(say, c, y)
			point := func(p scoring.YearPoint) string {
				return say.Text("command.compare.point", note.Figure("mean", p.Mean, 1, ""), note.Name("day", on(p.Day)))
			}
			t.row(y.Season, strconv.Itoa(len(y.Points)), point(y.Points[0]), point(y.Points[len(y.Points)-1]), say.rate(y), say.reached(y, n == 0, on))
		}
		if err := t.Flush(); err != nil {
			return err
		}
	}
	return nil
}

// dayIn tells the days of a season: as they count from full bloom, else by the
// calendar.
func dayIn(say speech, c scoring.Comparison, y scoring.YearCurve) func(day float64) string {
	first := y.Points[0]
	return func(day float64) string {
		if c.FromBloom {
			return say.Number(day, 0)
		}
		return say.ShortDay(first.DayMean.Day.AddDate(0, 0, int(math.Round(day-first.Day))))
	}
}

func (s speech) rate(y scoring.YearCurve) string {
	if !y.HasRate {
		return none
	}
	return s.Signed(y.Rate.Value, 2)
}

// reached are the last three columns: the day, its interval, ahead or behind.
func (s speech) reached(y scoring.YearCurve, now bool, on func(day float64) string) string {
	cells := []string{on(y.Reached), "", ""}
	days := int(math.Round(math.Abs(y.Ahead)))
	switch {
	case now:
		return strings.Join(cells, "\t")
	case !y.Known:
		return none + "\t\t"
	case days == 0:
		cells[2] = s.Text("command.compare.same")
	case y.Ahead > 0:
		cells[2] = s.Text("command.compare.ahead", note.Count("n", days))
	default:
		cells[2] = s.Text("command.compare.behind", note.Count("n", days))
	}
	cells[1] = s.between(on(y.Low), on(y.High))
	return strings.Join(cells, "\t")
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
