package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"time"

	"traystage/calibrate"
	"traystage/scoring"
	"traystage/scoring/ledger"
	"traystage/scoring/report"
	"traystage/vision"
)

// intake is one sample's way into the season: its photos are scored on the
// block's set and kept one after the other.
type intake struct {
	caller
	season *ledger.Season
	block  scoring.Block
	by     string
	picked time.Time // zero: the day of the first photo
	tester string
	wait   time.Duration
	first  int    // number of the first fruit of the first photo; 0 to go on counting
	digest string // of the set
}

// newIntake makes ready to score photos of a block on a set; ref names another
// set than the block's, or is empty.
func newIntake(ctx context.Context, s *ledger.Season, block, by, ref string) (*intake, error) {
	b, err := blockOf(ctx, s, block)
	if err != nil {
		return nil, err
	}
	if ref == "" {
		ref = b.Set
	}
	in := &intake{season: s, block: b, by: by, tester: by}
	if in.set, err = setOf(s, ref); err != nil {
		return nil, err
	}
	if in.path, err = calibrate.Fit(in.set); err != nil {
		return nil, fmt.Errorf("reference set %s: %w", in.set.Name, err)
	}
	if in.digest, err = in.set.Digest(); err != nil {
		return nil, err
	}
	in.labels = labels{block: b.Name, variety: b.Variety}
	if in.labels.orchard, err = orchardOf(ctx, s); err != nil {
		return nil, err
	}
	standards, err := standardsOf(ctx, s)
	in.targets = scoring.StageTargets(b, standards, in.set.Scale)
	return in, err
}

// runIntake scores photos into the sample of a block.
func runIntake(ctx context.Context, s *ledger.Season, opt scoreOptions, photos []string, stdout, stderr io.Writer) error {
	in, err := opt.intake(ctx, s)
	if err != nil {
		return err
	}
	var reports []scoring.Report
	var failed severalErrors
	bar := newProgress(stderr, len(photos))
	for done := range scoreAll(ctx, plan(photos, ""), in.caller) {
		bar.step()
		if len(failed) > 0 {
			continue // its fruit would get the numbers of those that failed
		}
		if done.err != nil {
			failed = append(failed, done.err)
			continue
		}
		r, outcome, err := in.keep(ctx, done)
		if err != nil {
			failed = append(failed, err)
			continue
		}
		reports = append(reports, r)
		if !opt.json {
			bar.clear()
			if err := tellKept(stdout, in, r, outcome); err != nil {
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
	if len(failed) == 0 {
		return nil
	}
	if left := len(photos) - len(reports) - 1; left > 0 {
		failed = append(failed, fmt.Errorf("%d more photos were not kept, as their fruit would have got wrong numbers; score them again with the one that failed", left))
	}
	return failed
}

// intake makes ready to keep what the options say.
func (opt scoreOptions) intake(ctx context.Context, s *ledger.Season) (*intake, error) {
	if opt.out != "" {
		return nil, usageError{errors.New("--out does not go with a season: traystage report writes the report of the block")}
	}
	by, err := opt.initials()
	if err != nil {
		return nil, err
	}
	in, err := newIntake(ctx, s, opt.block, by, opt.set)
	if err != nil {
		return nil, err
	}
	if opt.picked != "" {
		if in.picked, err = parseDay("--picked", opt.picked); err != nil {
			return nil, err
		}
	}
	if opt.tester != "" {
		in.tester = opt.tester
	}
	in.wait, in.first = opt.wait, opt.first
	return in, nil
}

// keep stores one scored photo in the sample of its day and gives the report
// with the numbers that the fruit have in the sample.
func (in *intake) keep(ctx context.Context, done scored) (scoring.Report, ledger.Outcome, error) {
	r := done.report
	if in.picked.IsZero() {
		if r.Taken.IsZero() {
			return r, "", usageError{fmt.Errorf("%s: does not say when it was taken; give the day the fruit were picked with --picked", r.Photo)}
		}
		y, m, d := r.Taken.Date()
		in.picked = time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	}
	sample, err := sampleOf(ctx, in.season, in.block.Name, in.picked)
	if err != nil && !errors.Is(err, errNoSample) {
		return r, "", err
	}
	shift := in.shift(sample, r)
	margins := map[int]ledger.Margin{}
	for i := range r.Fruit {
		r.Fruit[i].Number += shift
		if m := done.margins[i]; m != (ledger.Margin{}) {
			margins[r.Fruit[i].Number] = m
		}
	}
	r.Summary = scoring.Summarize(r.Fruit, r.Reference, 0)
	outcome, err := in.season.StoreTray(ctx, ledger.Tray{
		Block: in.block.Name, Picked: in.picked, By: in.by,
		Head:  &scoring.Sample{Tester: in.tester, Wait: in.wait},
		Photo: done.photo, Report: r, SetDigest: in.digest, Margins: margins,
	})
	return r, outcome, err
}

// shift is what has to be added to the place on the tray to give the number of
// the fruit: a photo that is there already keeps its numbers, another goes on
// after the last one.
func (in *intake) shift(s scoring.Sample, r scoring.Report) int {
	last := 0
	for _, t := range s.Trays {
		for i, f := range t.Fruit {
			if t.PhotoHash == r.PhotoHash && i == 0 && in.first == 0 {
				return f.Number - 1
			}
			last = max(last, f.Number)
		}
	}
	if in.first > 0 {
		last = in.first - 1
		in.first += len(r.Fruit) // the next photo goes on from here
	}
	return last
}

// errNoSample says that a block has no sample, or none of a day.
var errNoSample = errors.New("has no sample")

// sampleOf gives the sample of a day, or the last one where the day is zero.
func sampleOf(ctx context.Context, s *ledger.Season, block string, picked time.Time) (scoring.Sample, error) {
	samples, err := s.Load(ctx, block)
	if err != nil {
		return scoring.Sample{}, err
	}
	if len(samples) == 0 {
		return scoring.Sample{}, fmt.Errorf("block %q: %w yet; traystage score --block takes the first", block, errNoSample)
	}
	if picked.IsZero() {
		return samples[len(samples)-1], nil
	}
	for _, sample := range samples {
		if sample.Picked.Equal(picked) {
			return sample, nil
		}
	}
	return scoring.Sample{}, fmt.Errorf("block %q: %w of %s; the last was picked on %s",
		block, errNoSample, picked.Format(time.DateOnly), samples[len(samples)-1].Picked.Format(time.DateOnly))
}

// marginsOf gives, for each half of a tray, its stained fraction with the
// threshold a quarter up and down.
func marginsOf(tray vision.Tray) []ledger.Margin {
	out := make([]ledger.Margin, len(tray.Halves))
	for i, h := range tray.Halves {
		if _, ok := h.Stained(); ok {
			out[i] = ledger.Margin{Low: h.FractionLow, High: h.FractionHigh}
		}
	}
	return out
}

// tellKept prints a kept tray and where it is.
func tellKept(w io.Writer, in *intake, r scoring.Report, outcome ledger.Outcome) error {
	if err := report.WriteText(w, r); err != nil {
		return err
	}
	_, err := fmt.Fprintf(w, "\n%s as fruit %d to %d of %s, picked %s: %s.\n", r.Photo,
		r.Fruit[0].Number, r.Fruit[len(r.Fruit)-1].Number, in.block.Name, in.picked.Format(time.DateOnly), outcome)
	return err
}
