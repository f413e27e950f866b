package workbench

import (
	"context"
	"time"

	"traystage/scoring"
	"traystage/scoring/ledger"
	"traystage/vision/note"
)

// How many days from every sample of the season a day looks like one of another year. A
// season may begin in one year and end in the next: it blooms in October and is picked in February.
const (
	otherHarvest = 183
	otherBloom   = 270
)

// pickObjections hold the day that a block was picked against the clock, the season and what is
// known of the block. A part of it may be picked before its last sample.
func (b *Bench) pickObjections(ctx context.Context, block string, p Picking) ([]note.Note, error) {
	samples, err := b.Season.LoadAll(ctx)
	if err != nil {
		return nil, err
	}
	states, err := b.Season.States(ctx)
	if err != nil {
		return nil, err
	}
	ahead, err := b.ahead(ctx, p.Day)
	if err != nil {
		return nil, err
	}
	day := note.Day("picked", p.Day)
	var out []note.Note
	if ahead {
		out = append(out, note.New(PickedLater, day, note.Day("today", b.Today())))
	} else if other, far := farFrom(samples, p.Day, otherHarvest); far {
		out = append(out, note.New(PickedOtherYear, day, note.Day("other", other)))
	}
	if last := lastOf(samples, block); len(out) == 0 && !p.Part && p.Day.Before(last) {
		out = append(out, note.New(PickBeforeSample, day, note.Day("sampled", last)))
	}
	if whole, ok := wholePick(states[block]); ok {
		out = append(out, note.New(PickAgain, note.Day("before", whole.Day)))
	}
	return out, nil
}

// wholePick is the pick that a block was picked to the end with, where there is one.
func wholePick(s ledger.BlockState) (Picking, bool) {
	for _, p := range s.Picks {
		if !p.Part {
			return p, true
		}
	}
	return Picking{}, false
}

// bloomObjections hold the day of full bloom against the clock and the samples.
func (b *Bench) bloomObjections(ctx context.Context, block string, day time.Time) ([]note.Note, error) {
	if day.IsZero() {
		return nil, nil
	}
	samples, err := b.Season.LoadAll(ctx)
	if err != nil {
		return nil, err
	}
	ahead, err := b.ahead(ctx, day)
	if err != nil {
		return nil, err
	}
	bloom := note.Day("day", day)
	if ahead {
		return []note.Note{note.New(BloomLater, bloom, note.Day("today", b.Today()))}, nil
	}
	if other, far := farFrom(samples, day, otherBloom); far {
		return []note.Note{note.New(BloomOtherYear, bloom, note.Day("other", other))}, nil
	}
	if own := ofBlock(samples, block); len(own) > 0 && !day.Before(own[0].Picked) {
		return []note.Note{note.New(BloomAfterSample, bloom, note.Day("sampled", own[0].Picked))}, nil
	}
	return nil, nil
}

// harvestObjections hold the day on which harvest is expected against the season's samples.
func (b *Bench) harvestObjections(ctx context.Context, day time.Time) ([]note.Note, error) {
	if day.IsZero() {
		return nil, nil
	}
	samples, err := b.Season.LoadAll(ctx)
	if other, far := farFrom(samples, day, otherHarvest); far {
		return []note.Note{note.New(HarvestOtherYear, note.Day("day", day), note.Day("other", other))}, err
	}
	return nil, err
}

// farFrom says whether a day is further than so many days from every sample, and gives the day of
// the nearest. Without a sample nothing is far.
func farFrom(samples []scoring.Sample, day time.Time, most int) (nearest time.Time, far bool) {
	least := 0
	for i, s := range samples {
		if d := max(daysBetween(s.Picked, day), daysBetween(day, s.Picked)); i == 0 || d < least {
			least, nearest = d, s.Picked
		}
	}
	return nearest, least > most
}

// lastOf is the day of a block's last sample; zero for none.
func lastOf(samples []scoring.Sample, block string) time.Time {
	own := ofBlock(samples, block)
	if len(own) == 0 {
		return time.Time{}
	}
	return own[len(own)-1].Picked
}
