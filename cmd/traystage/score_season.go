package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/files"
	"traystage/cmd/internal/workbench"
	"traystage/scoring"
	"traystage/scoring/report"
	"traystage/scoring/words"
)

// sampleTray is what the flags say of the sample that photos belong to.
func (opt scoreOptions) sampleTray() (t workbench.SampleTray, err error) {
	if opt.out != "" {
		return t, fault.Usagef("--out does not go with a season: traystage report writes the report of the block")
	}
	t = workbench.SampleTray{
		Act: opt.act(), Block: opt.labels.Block, Set: opt.set,
		Tester: opt.tester, First: opt.first, Halves: opt.halves, Without: opt.without,
	}
	if opt.wait != "" {
		if t.Wait, err = workbench.ParseWait(opt.wait); err != nil {
			return t, fault.Usagef("--wait: %w", err)
		}
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
			failed = append(failed, withCount(err, photos))
			continue
		}
		reports = append(reports, kept.Report)
		if !opt.json {
			bar.clear()
			if err := tellKept(stdout, kept, speaking(ctx, b)); err != nil {
				return err
			}
		}
	}
	bar.clear()
	if opt.json {
		if err := printReports(stdout, reports, opt, len(photos), speaking(ctx, b)); err != nil {
			return err
		}
	}
	if left := len(photos) - len(reports) - 1; len(failed) > 0 && left > 0 {
		failed = append(failed, fmt.Errorf("%d more photos were not kept, as their fruit would have got wrong numbers; score them again with the one that failed", left))
	}
	return failed.Err()
}

// tellKept prints a kept tray and where it is.
func tellKept(w io.Writer, k workbench.Kept, in *words.Catalogue) error {
	if err := report.WriteText(w, k.Report, in); err != nil {
		return err
	}
	fruit := k.Report.Fruit
	_, err := fmt.Fprintf(w, "\n%s as fruit %d to %d of %s, picked %s: %s.\n", k.Report.Photo,
		fruit[0].Number, fruit[len(fruit)-1].Number, k.Block, k.Picked.Format(time.DateOnly), k.Outcome)
	if err != nil {
		return err
	}
	if len(k.Carried) > 0 {
		fmt.Fprintf(w, "What was said of fruit %s holds for the new calls.\n", scoring.Numbers(fruitOf(k.Carried)))
	}
	if len(k.Lost) > 0 {
		fmt.Fprintf(w, "What was said of fruit %s does not hold for the new calls: look at them again.\n", scoring.Numbers(fruitOf(k.Lost)))
	}
	for _, day := range k.Waiting {
		fmt.Fprintf(w, "note: a sheet of %s still waits for its tray.\n", day.Format(time.DateOnly))
	}
	return nil
}

func fruitOf(reviews []workbench.Carry) []int {
	var out []int
	for _, c := range reviews {
		out = append(out, c.Was)
	}
	slices.Sort(out)
	return out
}

// withCount writes the picture of the halves that were found, where another number
// of them was counted, beside the photo.
func withCount(err error, photos []string) error {
	var m workbench.Miscounted
	if !errors.As(err, &m) || len(m.Picture) == 0 {
		return err
	}
	for _, p := range photos {
		if filepath.Base(p) != m.Photo {
			continue
		}
		picture := strings.TrimSuffix(p, filepath.Ext(p)) + "_numbering.jpg"
		if files.Write(picture, m.Picture) == nil {
			return fault.WithHint(err, fmt.Sprintf("see %s for the halves that were found; photograph again, or leave out --halves and put it right with traystage tray", picture))
		}
	}
	return err
}
