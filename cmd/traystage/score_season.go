package main

import (
	"context"
	"fmt"
	"io"
	"time"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/files"
	"traystage/cmd/internal/workbench"
	"traystage/scoring"
	"traystage/scoring/report"
)

// sampleTray is what the flags say of the sample that photos belong to.
func (opt scoreOptions) sampleTray() (t workbench.SampleTray, err error) {
	if opt.out != "" {
		return t, fault.Usagef("--out does not go with a season: traystage report writes the report of the block")
	}
	t = workbench.SampleTray{
		Block: opt.labels.Block, By: opt.initials(), Set: opt.set,
		Tester: opt.tester, Wait: opt.wait, First: opt.first,
	}
	if opt.picked != "" {
		t.Picked, err = parseDay("--picked", opt.picked)
	}
	return t, err
}

// runIntake scores photos into the sample of a block.
func runIntake(ctx context.Context, b *workbench.Bench, opt scoreOptions, photos []string, stdout, stderr io.Writer) error {
	t, err := opt.sampleTray()
	if err != nil {
		return err
	}
	in, err := b.Intake(ctx, t)
	if err != nil {
		return err
	}
	var reports []scoring.Report
	var failed fault.Several
	bar := newProgress(stderr, len(photos))
	for done := range in.Each(ctx, photosOf(files.Jobs(photos, "")), nil) {
		bar.step()
		if len(failed) > 0 {
			continue // its fruit would get the numbers of those that failed
		}
		if done.Err != nil {
			failed = append(failed, done.Err)
			continue
		}
		kept, err := in.Keep(ctx, done)
		if err != nil {
			failed = append(failed, err)
			continue
		}
		reports = append(reports, kept.Report)
		if !opt.json {
			bar.clear()
			if err := tellKept(stdout, kept); err != nil {
				return err
			}
		}
	}
	bar.clear()
	if opt.json {
		if err := printReports(stdout, reports, opt, len(photos)); err != nil {
			return err
		}
	}
	if left := len(photos) - len(reports) - 1; len(failed) > 0 && left > 0 {
		failed = append(failed, fmt.Errorf("%d more photos were not kept, as their fruit would have got wrong numbers; score them again with the one that failed", left))
	}
	return failed.Err()
}

// tellKept prints a kept tray and where it is.
func tellKept(w io.Writer, k workbench.Kept) error {
	if err := report.WriteText(w, k.Report); err != nil {
		return err
	}
	fruit := k.Report.Fruit
	_, err := fmt.Fprintf(w, "\n%s as fruit %d to %d of %s, picked %s: %s.\n", k.Report.Photo,
		fruit[0].Number, fruit[len(fruit)-1].Number, k.Block, k.Picked.Format(time.DateOnly), k.Outcome)
	return err
}
