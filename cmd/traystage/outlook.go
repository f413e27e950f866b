package main

import (
	"context"
	"errors"
	"io"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/workbench"
	"traystage/scoring/report"
)

func newOutlookCommand() *cobra.Command {
	var f seasonFlags
	var out outFlags
	cmd := &cobra.Command{
		Use:   "outlook",
		Short: "Put all blocks in picking order, with the days of their windows",
		Long: `Outlook tells which block wants picking first: how each stands to its market
today, between which days its window is expected to lie, what has changed since
the sample before, and what it would still serve when picked late.
` + exitStatus,
		Example: `  traystage outlook --season larkfield-2026
  traystage outlook --out reports --today 2026-09-21 --season larkfield-2026`,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return inSeason(cmd.Context(), f, func(b *workbench.Bench) error {
				return runOutlook(cmd.Context(), b, f, out, cmd.OutOrStdout())
			})
		},
	}
	f.addSeason(cmd.Flags())
	f.addToday(cmd)
	out.add(cmd)
	return cmd
}

func runOutlook(ctx context.Context, b *workbench.Bench, f seasonFlags, out outFlags, stdout io.Writer) error {
	opt, err := out.options(f)
	if err != nil {
		return err
	}
	o, trouble := b.Outlook(ctx, opt)
	if !workbench.Stands(trouble) {
		return trouble
	}
	full := report.Outlook{Outlook: o, Program: program, Words: speaking(ctx)}
	d, err := full.Document()
	if err != nil {
		return err
	}
	return errors.Join(out.write(speech{speaking(ctx), stdout}, "outlook", d, full.Message()), trouble)
}
