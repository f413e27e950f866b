package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/files"
	"traystage/cmd/internal/workbench"
	"traystage/scoring/report"
	"traystage/scoring/report/document"
	"traystage/scoring/words"
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
			if !(opt.within > 0) {
				return fault.Usagef("--within %g: give days either way, above 0, such as 1.5", opt.within)
			}
			return inSeason(cmd.Context(), opt.seasonFlags, func(b *workbench.Bench) error {
				return runPlan(cmd.Context(), b, opt, cmd.OutOrStdout())
			})
		},
	}
	opt.addSeason(cmd.Flags())
	opt.addToday(cmd)
	opt.outFlags.add(cmd)
	decimalVar(cmd.Flags(), &opt.within, "within", 2, "how closely the day of the window shall be known, `DAYS` either way: more fruit for a closer day")
	return cmd
}

func runPlan(ctx context.Context, b *workbench.Bench, opt planOptions, stdout io.Writer) error {
	how, err := opt.options(opt.seasonFlags)
	if err != nil {
		return err
	}
	p, trouble := b.Plan(ctx, opt.within, how)
	if !workbench.Stands(trouble) {
		return trouble
	}
	list := report.Plan{Orchard: p.Orchard, Day: p.Day, Program: p.Program, Words: speaking(ctx)}
	for _, e := range p.Errands {
		list.Errands = append(list.Errands, e.Errand)
	}
	if err := opt.write(speech{speaking(ctx), stdout}, "plan", list.Document(), list.Message()); err != nil || opt.out == "" {
		return errors.Join(err, trouble)
	}
	for _, e := range p.Errands {
		if e.Fruit == 0 {
			continue // cannot be assessed
		}
		if err := writeSheetFor(e, p, opt.out, list.Words); err != nil {
			return err
		}
	}
	return trouble
}

// writeSheetFor writes the sheet to fill in for one sample.
func writeSheetFor(e workbench.Errand, p workbench.Plan, folder string, in *words.Catalogue) error {
	sheet := report.FieldSheet{
		Orchard: p.Orchard, Block: e.Block, Day: e.Due, Printed: p.Day,
		Fruit: e.Fruit, Unit: e.Unit, Program: p.Program, Words: in,
	}
	var b bytes.Buffer
	if err := document.WritePDF(&b, sheet.Document()); err != nil {
		return fmt.Errorf("sheet of %s: %w", e.Block.Name, err)
	}
	return files.Write(filepath.Join(folder, "sheet_"+files.Stem(e.Block.Name)+".pdf"), b.Bytes())
}
