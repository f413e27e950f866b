package workbench

import (
	"context"
	"time"

	"traystage/scoring"
	"traystage/vision/note"
)

// SampleChange says what of a sample is another; what is nil stays.
type SampleChange struct {
	Picked *time.Time
	Block  *string
	Tested *time.Time
	Tester *string
	Wait   *time.Duration
	Note   *string
	Why    string // for the history
}

// ChangedSample is a sample as it now is.
type ChangedSample struct {
	Block  string
	Picked time.Time
	Merged bool // it went into the sample that was there of that day
	Shift  int  // what was added to the numbers of its fruit then
}

// ChangeSample corrects the sample of a block and day, or the last one where the day
// is zero. Moved to a day that has a sample already it becomes one with that. The
// days of its photos are looked at as when a tray is stored.
func (b *Bench) ChangeSample(ctx context.Context, act Act, block string, picked time.Time, c SampleChange) (ChangedSample, error) {
	act, err := b.signed(ctx, act)
	if err != nil {
		return ChangedSample{}, err
	}
	was, err := b.Sample(ctx, block, picked)
	if err != nil {
		return ChangedSample{}, err
	}
	to := c.of(was)
	of, err := b.Block(ctx, to.Block)
	if err != nil {
		return ChangedSample{}, err
	}
	to.Block = of.Name
	out := ChangedSample{Block: to.Block, Picked: to.Picked}
	objections, there, err := b.changing(ctx, was, to)
	if err != nil {
		return out, err
	}
	s, err := b.writing(act, was.Block, objections...)
	if err != nil {
		return out, err
	}
	if there && to.Block == was.Block {
		out.Merged = true
		out.Shift, err = s.MergeSamples(ctx, act.By, was.Block, was.Picked, to.Picked, c.Why)
		return out, err
	}
	return out, s.ChangeSample(ctx, act.By, was.Block, was.Picked, to, c.Why)
}

// of gives the head of a sample as it is to be.
func (c SampleChange) of(was scoring.Sample) scoring.Sample {
	to := was
	to.Trays, to.Readings = nil, nil
	if c.Picked != nil {
		to.Picked = *c.Picked
	}
	if c.Block != nil {
		to.Block = *c.Block
	}
	if c.Tested != nil {
		to.Tested = *c.Tested
	}
	if c.Tester != nil {
		to.Tester = *c.Tester
	}
	if c.Wait != nil {
		to.Wait = *c.Wait
	}
	if c.Note != nil {
		to.Note = *c.Note
	}
	return to
}

// changing looks at the new day of a sample, and whether there is one of that day.
func (b *Bench) changing(ctx context.Context, was, to scoring.Sample) (objections []note.Note, there bool, err error) {
	if was.Picked.Equal(to.Picked) && was.Block == to.Block {
		return nil, false, nil
	}
	samples, err := b.Season.Load(ctx, to.Block)
	if err != nil {
		return nil, false, err
	}
	var others []scoring.Sample
	for _, s := range samples {
		if s.Block == was.Block && s.Picked.Equal(was.Picked) {
			continue
		}
		there = there || s.Picked.Equal(to.Picked)
		others = append(others, s)
	}
	for _, t := range was.Trays {
		if n := dayObjections(to.Picked, t, others, b.Today()); len(n) > 0 {
			objections = append(objections, n...)
			break
		}
	}
	if len(was.Trays) > 0 {
		whole := was.Trays[0]
		whole.Fruit = was.Fruit()
		objections = append(objections, stageObjections(to.Picked, whole, others)...)
	}
	return objections, there, nil
}

// StrikeSample takes the sample of a block and day back with its trays and readings,
// or the last one where the day is zero. The photos may be stored again where they
// belong.
func (b *Bench) StrikeSample(ctx context.Context, act Act, block string, picked time.Time, why string) (time.Time, error) {
	act, err := b.signed(ctx, act)
	if err != nil {
		return picked, err
	}
	was, err := b.Sample(ctx, block, picked)
	if err != nil {
		return picked, err
	}
	s, err := b.writing(act, was.Block)
	if err != nil {
		return picked, err
	}
	return was.Picked, s.StrikeSample(ctx, act.By, was.Block, was.Picked, why)
}

// RestoreSample puts the sample back that was struck last of a block and day.
func (b *Bench) RestoreSample(ctx context.Context, act Act, block string, picked time.Time, why string) error {
	act, of, err := b.acting(ctx, act, block)
	if err != nil {
		return err
	}
	s, err := b.writing(act, of)
	if err != nil {
		return err
	}
	return s.RestoreSample(ctx, act.By, of, picked, why)
}

// Samples gives the samples of a block that count, in order of the days they were
// picked.
func (b *Bench) Samples(ctx context.Context, block string) ([]scoring.Sample, error) {
	of, err := b.Block(ctx, block)
	if err != nil {
		return nil, err
	}
	return b.Season.Load(ctx, of.Name)
}
