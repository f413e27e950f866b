package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/files"
	"traystage/cmd/internal/workbench"
	"traystage/scoring"
	"traystage/scoring/report"
	"traystage/vision/note"
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
	in.Coming(len(photos))
	var reports []scoring.Report
	var failed fault.Several
	bar := newProgress(speech{speaking(ctx), stderr}, len(photos))
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
			failed = append(failed, withCount(err, photos, "photograph again, or leave out --halves and put it right with traystage tray"))
			continue
		}
		reports = append(reports, kept.Report)
		if !opt.json {
			bar.clear()
			if err := tellKept(speech{speaking(ctx), stdout}, kept); err != nil {
				return err
			}
		}
	}
	bar.clear()
	if opt.json {
		if err := printReports(stdout, reports, opt, len(photos), speaking(ctx)); err != nil {
			return err
		}
	}
	if left := len(photos) - len(reports) - 1; len(failed) > 0 && left > 0 {
		failed = append(failed, fmt.Errorf("%d more photos were not kept, as their fruit would have got wrong numbers; score them again with the one that failed", left))
	}
	return failed.Err()
}

// tellKept prints a kept tray and where it is.
func tellKept(say speech, k workbench.Kept) error {
	if err := report.WriteText(say.w, k.Report, say.Catalogue); err != nil {
		return err
	}
	fmt.Fprintln(say.w)
	numbers := make([]int, len(k.Report.Fruit))
	for i, f := range k.Report.Fruit {
		numbers[i] = f.Number
	}
	told := []error{say.tell("command.tray.kept", note.Name("photo", k.Report.Photo), note.Counts("fruit", numbers),
		note.Name("block", k.Block), note.Day("picked", k.Picked), note.Term("outcome", "kept", k.Outcome))}
	if len(k.Carried) > 0 {
		told = append(told, say.tell("command.tray.carried", note.Counts("fruit", fruitOf(k.Carried))))
	}
	if len(k.Lost) > 0 {
		told = append(told, say.tell("command.tray.lost", note.Counts("fruit", fruitOf(k.Lost))))
	}
	for _, n := range k.Remarks {
		told = append(told, say.tell("command.remark", note.Notes("what", n), note.Name("advice", say.Advice(n))))
	}
	for _, day := range k.Waiting {
		told = append(told, say.tell("command.tray.sheet_waits", note.Day("day", day)))
	}
	return errors.Join(told...)
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
// of them was counted, beside the photo, and says what to do.
func withCount(err error, photos []string, todo string) error {
	var m workbench.Miscounted
	if !errors.As(err, &m) || len(m.Picture) == 0 {
		return err
	}
	for _, p := range photos {
		if filepath.Base(p) != m.Photo {
			continue
		}
		picture := strings.TrimSuffix(p, filepath.Ext(p)) + "_numbering.jpg"
		return withPicture(err, picture, m.Picture, "for the halves that were found; "+todo)
	}
	return err
}
