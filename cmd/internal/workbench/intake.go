package workbench

import (
	"context"
	"errors"
	"maps"
	"slices"
	"time"

	"traystage/cmd/internal/fault"
	"traystage/scoring"
	"traystage/scoring/ledger"
	"traystage/vision/note"
)

// SampleTray says which sample the photos of a tray belong to, and how it was taken.
type SampleTray struct {
	Act
	Block   string
	Set     string        // reference set; that of the block when empty
	Picked  time.Time     // day; zero: the day on which the first photo was taken
	Tester  string        // initials of who tested the fruit; By when empty
	Wait    time.Duration // from staining to photo; that of the settings when zero
	First   int           // number of the first fruit; 0: 1 or the next one of the sample
	Halves  int           // that each photo shows; 0 when nobody counted
	Without []int         // numbers of fruit that were not cut: they stay free
}

// Intake is one sample's way into the season: its photos are scored on the block's
// set and kept one after the other.
type Intake struct {
	*Scorer
	Block scoring.Block
	tray  SampleTray

	digest string // of the set
	coming int    // photos to be kept still, this one among them
	since  int    // number of the first half that was kept; 0 before
}

// Intake makes ready to score photos into the sample of a block.
func (b *Bench) Intake(ctx context.Context, t SampleTray) (*Intake, error) {
	var err error
	if t.Act, err = b.signed(ctx, t.Act); err != nil {
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
	if t.Wait == 0 {
		settings, err := b.Settings(ctx)
		if err != nil {
			return nil, err
		}
		t.Wait = settings.Wait
	}
	in := &Intake{Block: block, tray: t}
	if in.Scorer, err = b.Scorer(t.Set, Labels{Block: block.Name, Variety: block.Variety}); err != nil {
		return nil, err
	}
	in.Expect(t.Halves)
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

// Coming says how many photos are to be kept; one where nobody says.
func (in *Intake) Coming(photos int) { in.coming = photos }

// Kept is a tray that is in the season.
type Kept struct {
	Block  string
	Picked time.Time
	Report scoring.Report // its fruit numbered as in the sample
	ledger.Kept
	// Waiting are the days of sheets of the block that wait for a tray still.
	Waiting []time.Time
	Remarks []note.Note // on where the tray was put
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
// kept one after the other, in the order in which their fruit are numbered. It is a
// Refusal where day, stage or fruit look like a slip, and a Miscounted where another
// number of halves was found than was said.
func (in *Intake) Keep(ctx context.Context, done Scored) (Kept, error) {
	if err := in.settleDay(done.Report); err != nil {
		return Kept{}, err
	}
	if err := done.Counted(in.tray.Halves); err != nil {
		return Kept{}, err
	}
	next, err := in.bench.turn(ctx)
	if err != nil {
		return Kept{}, err
	}
	defer next()
	objections, err := in.objections(ctx, done.Report)
	if err != nil {
		return Kept{}, err
	}
	s, err := in.bench.writing(in.tray.Act, done.Report.Photo, objections...)
	if err != nil {
		return Kept{}, err
	}
	if err := in.bench.borrow(in.Set, in.file); err != nil && (in.tray.Anyway == "" || !errors.Is(err, errOtherSet)) {
		return Kept{}, err
	}
	kept, err := s.StoreTray(ctx, in.ledgerTray(done))
	if err != nil {
		return Kept{}, err
	}
	in.coming--
	if in.since == 0 {
		in.since = slices.Min(kept.Numbers)
	}
	if in.tray.First > 0 {
		in.tray.First = 1 + slices.Max(kept.Numbers) // the next photo goes on from here
	}
	r := done.Report
	r.Fruit = slices.Clone(r.Fruit)
	for i, n := range kept.Numbers {
		r.Fruit[i].Number = n
	}
	r.Summary = scoring.Summarize(r.Fruit, r.Reference, 0)
	waiting, err := in.bench.waiting(ctx, in.Block.Name)
	remarks, trouble := in.bench.PlaceRemarks(ctx, in.Block.Name)
	return Kept{in.Block.Name, in.tray.Picked, r, kept, slices.SortedFunc(maps.Keys(waiting), time.Time.Compare), remarks}, errors.Join(err, trouble)
}

// settleDay takes the day of the first photo where none was given.
func (in *Intake) settleDay(r scoring.Report) error {
	if !in.tray.Picked.IsZero() {
		return nil
	}
	if r.Taken.IsZero() {
		return fault.Usagef("%s: does not say when it was taken; give the day the fruit were picked with --picked", r.Photo)
	}
	in.tray.Picked = dayOf(r.Taken)
	return nil
}

func (in *Intake) ledgerTray(done Scored) ledger.Tray {
	margins := map[int]ledger.Margin{}
	for i, f := range done.Report.Fruit {
		if m := done.margins[i]; m != (ledger.Margin{}) {
			margins[f.Number] = m
		}
	}
	return ledger.Tray{
		Block: in.Block.Name, Picked: in.tray.Picked, By: in.tray.By,
		Head:  &scoring.Sample{Tester: in.tray.Tester, Wait: in.tray.Wait},
		Photo: done.Photo, Report: done.Report, SetDigest: in.digest, Margins: margins,
		Number: &ledger.Numbering{First: in.tray.First, Without: in.tray.Without, Last: in.coming <= 1, Since: in.since},
	}
}

// objections say what looks like a slip in a tray that is to be stored. One that is
// in the sample already has passed; scored again, it must not lose reviews.
func (in *Intake) objections(ctx context.Context, r scoring.Report) ([]note.Note, error) {
	samples, err := in.bench.Season.Load(ctx, in.Block.Name)
	if err != nil {
		return nil, err
	}
	for _, s := range samples {
		for _, t := range s.Trays {
			if t.PhotoHash == r.PhotoHash {
				return reviewObjections(t, r), nil
			}
		}
	}
	out := append(dayObjections(in.tray.Picked, r, samples, in.bench.Today()), stageObjections(in.tray.Picked, r, samples)...)
	waiting, err := in.bench.waiting(ctx, in.Block.Name)
	if err != nil {
		return nil, err
	}
	if rows := waiting[in.tray.Picked]; rows > 0 && len(r.Fruit) > rows {
		out = append(out, note.New(MoreThanSheet, note.Count("halves", len(r.Fruit)), note.Count("rows", rows)))
	}
	same, err := in.bench.sameFruit(ctx, r)
	return append(out, same...), err
}

// reviewObjections name the reviews that would not hold for another scoring of a tray.
func reviewObjections(was, now scoring.Report) []note.Note {
	var lost []int
	for _, c := range ledger.Lost(was, now) {
		lost = append(lost, c.Was)
	}
	if len(lost) == 0 {
		return nil
	}
	slices.Sort(lost)
	return []note.Note{note.New(ReviewsLost, note.Counts("fruit", lost), note.Name("set", now.Reference.Name))}
}

// Carry is a review that did or did not go over to another scoring of its tray.
type Carry = ledger.Carry
