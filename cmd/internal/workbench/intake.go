package workbench

import (
	"context"
	"slices"
	"time"

	"traystage/cmd/internal/fault"
	"traystage/scoring"
	"traystage/scoring/ledger"
)

// SampleTray says which sample the photos of a tray belong to, and how it was taken.
type SampleTray struct {
	Block  string
	By     string        // initials of who has it scored
	Set    string        // reference set; that of the block when empty
	Picked time.Time     // day; zero: the day on which the first photo was taken
	Tester string        // initials of who tested the fruit; By when empty
	Wait   time.Duration // from staining to photo; zero when not recorded
	First  int           // number of the first fruit; 0: 1 or the next one of the sample
}

// Intake is one sample's way into the season: its photos are scored on the block's
// set and kept one after the other.
type Intake struct {
	*Scorer
	Block scoring.Block
	tray  SampleTray

	digest string // of the set
}

// Intake makes ready to score photos into the sample of a block.
func (b *Bench) Intake(ctx context.Context, t SampleTray) (*Intake, error) {
	var err error
	if t.By, err = signed(t.By); err != nil {
		return nil, err
	}
	block, err := b.Block(ctx, t.Block)
	if err != nil {
		return nil, err
	}
	if t.Set == "" {
		t.Set = block.Set
	}
	if t.Tester == "" {
		t.Tester = t.By
	}
	in := &Intake{Block: block, tray: t}
	if in.Scorer, err = b.Scorer(t.Set, Labels{Block: block.Name, Variety: block.Variety}); err != nil {
		return nil, err
	}
	if in.digest, err = in.Set.Digest(); err != nil {
		return nil, err
	}
	if in.labels.Orchard, err = b.Orchard(ctx); err != nil {
		return nil, err
	}
	standards, err := b.Standards(ctx)
	in.targets = scoring.StageTargets(block, standards, in.Set.Scale)
	return in, err
}

// Kept is a tray that is in the season.
type Kept struct {
	Block  string
	Picked time.Time
	Report scoring.Report // its fruit numbered as in the sample
	ledger.Kept
}

// Store scores a photo and keeps it in the sample of a block.
func (b *Bench) Store(ctx context.Context, t SampleTray, p Photo) (Kept, error) {
	in, err := b.Intake(ctx, t)
	if err != nil {
		return Kept{}, err
	}
	done := in.Score(ctx, p)
	if done.Err != nil {
		return Kept{}, done.Err
	}
	return in.Keep(ctx, done)
}

// Keep stores one scored photo in the sample of its day. The photos of an intake are
// kept one after the other, in the order in which their fruit are numbered.
func (in *Intake) Keep(ctx context.Context, done Scored) (Kept, error) {
	r := done.Report
	if in.tray.Picked.IsZero() {
		if r.Taken.IsZero() {
			return Kept{}, fault.Usagef("%s: does not say when it was taken; give the day the fruit were picked with --picked", r.Photo)
		}
		in.tray.Picked = dayOf(r.Taken)
	}
	margins := map[int]ledger.Margin{}
	for i, f := range r.Fruit {
		if m := done.margins[i]; m != (ledger.Margin{}) {
			margins[f.Number] = m
		}
	}
	kept, err := in.bench.Season.StoreTray(ctx, ledger.Tray{
		Block: in.Block.Name, Picked: in.tray.Picked, By: in.tray.By,
		Head:  &scoring.Sample{Tester: in.tray.Tester, Wait: in.tray.Wait},
		Photo: done.Photo, Report: r, SetDigest: in.digest, Margins: margins,
		Number: &ledger.Numbering{First: in.tray.First},
	})
	if err != nil {
		return Kept{}, err
	}
	if in.tray.First > 0 {
		in.tray.First = 1 + slices.Max(kept.Numbers) // the next photo goes on from here
	}
	r.Fruit = slices.Clone(r.Fruit)
	for i, n := range kept.Numbers {
		r.Fruit[i].Number = n
	}
	r.Summary = scoring.Summarize(r.Fruit, r.Reference, 0)
	return Kept{in.Block.Name, in.tray.Picked, r, kept}, nil
}
