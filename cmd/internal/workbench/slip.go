package workbench

import (
	"math"
	"time"

	"traystage/scoring"
	"traystage/vision/note"
)

// What the bench objects. Each has words in every language, and advice.
const (
	PickedAfterPhoto note.Code = "slip.day.after_photo"
	PickedLongBefore note.Code = "slip.day.long_before"
	PickedOtherYear  note.Code = "slip.day.other_year"
	PickedLater      note.Code = "slip.day.not_yet"
	PickedBackwards  note.Code = "slip.day.backwards"
	StageFalls       note.Code = "slip.stage.falls"
	StageJumps       note.Code = "slip.stage.jumps"
	SameFruit        note.Code = "slip.tray.same_fruit"
	MoreThanSheet    note.Code = "slip.tray.more_than_sheet"
	ReviewsLost      note.Code = "slip.tray.reviews_lost"
	SheetStray       note.Code = "slip.sheet.stray"
	SheetMissing     note.Code = "slip.sheet.missing"
	SheetAgain       note.Code = "slip.sheet.again"
	SheetOfOther     note.Code = "slip.sheet.of_other"
	SheetSwapped     note.Code = "slip.sheet.swapped"
	SheetFar         note.Code = "slip.sheet.far"
	MarketUnknown    note.Code = "slip.block.market"
	MarketOfNobody   note.Code = "slip.block.market_alone" // of a block without a variety
	NameNear         note.Code = "slip.block.near"
	PickBeforeSample note.Code = "slip.pick.before_sample"
	PickAgain        note.Code = "slip.pick.again"
	BloomLater       note.Code = "slip.bloom.not_yet"
	BloomOtherYear   note.Code = "slip.bloom.other_year"
	BloomAfterSample note.Code = "slip.bloom.after_sample"
	HarvestOtherYear note.Code = "slip.harvest.other_year"
)

// longBefore is from how many days before the photo a pick day looks like a slip:
// fruit older than that is no sample of the block.
const longBefore = 10

// dayObjections hold the day that fruit were picked against the photo's own day and
// against the block's other samples.
func dayObjections(picked time.Time, r scoring.Report, others []scoring.Sample, today time.Time) []note.Note {
	var out []note.Note
	taken := time.Time{}
	if !r.Taken.IsZero() {
		taken = dayOf(r.Taken)
	}
	day := note.Day("picked", picked)
	switch {
	case picked.After(today) && picked.After(taken):
		out = append(out, note.New(PickedLater, day, note.Day("today", today)))
	case taken.IsZero():
		if year, ok := yearOf(others); ok && year != picked.Year() {
			out = append(out, note.New(PickedOtherYear, day, note.Day("other", others[0].Picked)))
		}
	case taken.Year() != picked.Year():
		out = append(out, note.New(PickedOtherYear, day, note.Day("other", taken)))
	case picked.After(taken):
		out = append(out, note.New(PickedAfterPhoto, day, note.Day("taken", taken)))
	case daysBetween(picked, taken) > longBefore:
		out = append(out, note.New(PickedLongBefore, day, note.Day("taken", taken), note.Count("n", daysBetween(picked, taken))))
	}
	if len(out) > 0 || taken.IsZero() {
		return out
	}
	for _, s := range others {
		for _, t := range s.Trays {
			if t.Taken.IsZero() || t.PhotoHash == r.PhotoHash {
				continue
			}
			its := dayOf(t.Taken)
			if picked.Before(s.Picked) && taken.After(its) || picked.After(s.Picked) && taken.Before(its) {
				return append(out, note.New(PickedBackwards, day, note.Day("taken", taken), note.Day("other", s.Picked), note.Day("its", its)))
			}
		}
	}
	return out
}

// yearOf is the year of samples, where all are of one.
func yearOf(samples []scoring.Sample) (int, bool) {
	for _, s := range samples {
		if s.Picked.Year() != samples[0].Picked.Year() {
			return 0, false
		}
	}
	if len(samples) == 0 {
		return 0, false
	}
	return samples[0].Picked.Year(), true
}

func daysBetween(from, to time.Time) int { return int(math.Round(to.Sub(from).Hours() / 24)) }

// How far a block's mean stage may move from one sample to the next, as shares of
// the scale, beyond what its intervals explain. Fruit do not take up starch again;
// half a stage on 1 to 8 is left for uneven samples. In a day a variety clears a
// thirtieth of the scale at its fastest; twice that is a slip.
const (
	mayFall  = 1.0 / 14
	mayJump  = 1.0 / 7
	jumpADay = 1.0 / 15
	fewFruit = 3 // fewer tell nothing
)

// stageObjections hold the mean stage of a tray against the block's samples before
// and after its day.
func stageObjections(picked time.Time, r scoring.Report, others []scoring.Sample) []note.Note {
	before, after := neighbours(picked, others)
	now, ok := positionOf(r.Fruit, r.Reference)
	if !ok {
		return nil
	}
	if p, ok := samplePosition(before, r.Reference); ok {
		if n, bad := compare(p, now, before.Picked, picked, now, p, before.Picked); bad {
			return []note.Note{n}
		}
	}
	if p, ok := samplePosition(after, r.Reference); ok {
		if n, bad := compare(now, p, picked, after.Picked, now, p, after.Picked); bad {
			return []note.Note{n}
		}
	}
	return nil
}

// neighbours are the samples nearest to a day on either side; zero for none.
func neighbours(picked time.Time, others []scoring.Sample) (before, after scoring.Sample) {
	for _, s := range others { // in order of day
		switch {
		case s.Picked.Before(picked):
			before = s
		case s.Picked.After(picked) && after.Picked.IsZero():
			after = s
		}
	}
	return before, after
}

// position is a mean stage as a share of the way from all stained to clear.
type position struct{ stage, at, half float64 }

func positionOf(fruit []scoring.Fruit, ref scoring.Reference) (position, bool) {
	s := scoring.Summarize(fruit, ref, 0)
	if s.N < fewFruit || !s.HasInterval() {
		return position{}, false
	}
	length := ref.Scale.Clear - ref.Scale.Stained
	return position{s.Mean, (s.Mean - ref.Scale.Stained) / length, math.Abs((s.High - s.Low) / 2 / length)}, true
}

func samplePosition(s scoring.Sample, ref scoring.Reference) (position, bool) {
	if len(s.Trays) == 0 || s.Trays[0].Reference.Name != ref.Name || s.Trays[0].Reference.Scale != ref.Scale {
		return position{}, false
	}
	return positionOf(s.Fruit(), ref)
}

// compare says whether the stage cannot have gone from one position to the next.
func compare(a, b position, from, to time.Time, now, other position, day time.Time) (note.Note, bool) {
	rise, sure := b.at-a.at, a.half+b.half
	with := []note.Value{note.Stage("stage", now.stage), note.Stage("other", other.stage), note.Day("day", day)}
	switch {
	case -rise > mayFall+sure:
		return note.New(StageFalls, with...), true
	case rise > mayJump+sure+jumpADay*float64(daysBetween(from, to)):
		return note.New(StageJumps, with...), true
	}
	return note.Note{}, false
}
