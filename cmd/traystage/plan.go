package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"path/filepath"

	"github.com/spf13/cobra"

	"traystage/scoring"
	"traystage/scoring/instrument"
	"traystage/scoring/ledger"
	"traystage/scoring/report"
	"traystage/scoring/report/document"
)

type planOptions struct {
	seasonFlags
	outFlags
	within float64
}

func newPlanCommand() *cobra.Command {
	var opt planOptions
	cmd := &cobra.Command{
		Use:   "plan",
		Short: "List the samples to take, and print sheets to fill in beside the tray",
		Long: `Plan tells which blocks want a sample and how many fruit: from three weeks before
the expected harvest once a week, twice a week as the window nears. With --out it
also writes one sheet for each, to print and fill in by hand, with the rules of
sampling.
` + exitStatus,
		Example: `  traystage plan --season larkfield-2026
  traystage plan --out sheets --within 1.5 --season larkfield-2026`,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return withSeason(cmd.Context(), opt.seasonFlags, func(s *ledger.Season) error {
				return runPlan(cmd.Context(), s, opt, cmd.OutOrStdout())
			})
		},
	}
	opt.addSeason(cmd.Flags())
	opt.addToday(cmd)
	opt.outFlags.add(cmd)
	cmd.Flags().Float64Var(&opt.within, "within", 2, "how closely the day of the window shall be known, `DAYS` either way: more fruit for a closer day")
	return cmd
}

func runPlan(ctx context.Context, s *ledger.Season, opt planOptions, stdout io.Writer) error {
	if err := opt.check(); err != nil {
		return err
	}
	a, err := newAssessor(ctx, s, opt.seasonFlags, opt.outFlags)
	if err != nil {
		return err
	}
	reports, err := a.all(ctx)
	if err != nil {
		return err
	}
	p := report.Plan{
		Orchard: a.opt.Orchard, Day: a.opt.Today, Program: a.opt.Program,
		Errands: scoring.Errands(reports, a.opt.Today, opt.within),
	}
	if err := opt.write(stdout, "plan", p.Document()); err != nil || opt.out == "" {
		return err
	}
	for _, e := range p.Errands {
		if err := writeSheetFor(e, a, opt.out); err != nil {
			return err
		}
	}
	return nil
}

// writeSheetFor writes the sheet to fill in for one sample.
func writeSheetFor(e scoring.Errand, a assessor, folder string) error {
	unit := a.opt.Unit
	if unit == "" {
		unit = lastUnit(a.byBlock[e.Block.Name])
	}
	sheet := report.FieldSheet{
		Orchard: a.opt.Orchard, Block: e.Block, Day: e.Due, Printed: a.opt.Today,
		Fruit: e.Fruit, Unit: unit, Program: a.opt.Program,
	}
	var b bytes.Buffer
	if err := document.WritePDF(&b, sheet.Document()); err != nil {
		return fmt.Errorf("sheet of %s: %w", e.Block.Name, err)
	}
	return writeFile(filepath.Join(folder, "sheet_"+fileStem(e.Block.Name)+".pdf"), b.Bytes())
}

// lastUnit is the unit in which firmness was last read on a block; empty for none.
func lastUnit(samples []scoring.Sample) (unit instrument.Unit) {
	for _, s := range samples {
		for _, r := range s.Readings {
			if r.Firmness != nil && len(r.Firmness.Sides) > 0 {
				unit = r.Firmness.Sides[0].Unit
			}
		}
	}
	return unit
}
