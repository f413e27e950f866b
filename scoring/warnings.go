package scoring

import (
	"math"

	"traystage/calibrate"
	"traystage/vision/note"
)

// warnings says what the reader must know beside the mean.
func warnings(s Summary, scored []Fruit, ref Reference) []note.Note {
	var uncalibrated note.Note
	if !ref.Calibrated {
		uncalibrated = note.New("mean.uncalibrated")
	}
	wide := tooWide(s)
	if wide.Code == setTooWide && !ref.Calibrated {
		wide = note.Note{} // said already
	}
	return note.Once(unsuited(scored, ref), fewFruit(s.N), uncalibrated, unscored(s.Unscored), atEnd(scored, ref.Scale), apart(s, scored), wide)
}

func fewFruit(n int) note.Note {
	switch {
	case n == 0:
		return note.New("mean.none")
	case n == 1:
		return note.New("mean.one_fruit", note.Count("fewest", FewestFruit))
	case n < FewestFruit:
		return note.New("mean.few_fruit", note.Count("n", n), note.Count("fewest", FewestFruit))
	}
	return note.Note{}
}

func unscored(numbers []int) note.Note {
	if len(numbers) == 0 {
		return note.Note{}
	}
	return note.New("mean.unscored", note.Counts("halves", numbers))
}

// atEnd warns when half the fruit or more lie where the scale no longer tells
// them apart: the mean then moves less than the block does.
func atEnd(scored []Fruit, scale calibrate.Scale) note.Note {
	for _, end := range []float64{scale.Stained, scale.Clear} {
		count := 0
		for _, f := range scored {
			if math.Abs(f.Stage()-end) <= scale.Step/2 {
				count++
			}
		}
		if count > 0 && 2*count >= len(scored) {
			return note.New("mean.at_end", note.Count("n", count), note.Count("of", len(scored)), note.Stage("end", end))
		}
	}
	return note.Note{}
}

func apart(s Summary, scored []Fruit) note.Note {
	if s.Outlier == nil {
		return note.Note{}
	}
	for _, f := range scored {
		if f.Number == s.Outlier.Number {
			return note.New("mean.apart", note.Count("fruit", f.Number), note.Stage("stage", f.Stage()))
		}
	}
	return note.Note{}
}

// setTooWide: the error that all stages share is too wide by itself.
const setTooWide note.Code = "mean.set_too_wide"

// tooWide says what would make the mean as sure as was asked for.
func tooWide(s Summary) note.Note {
	wanted := note.Stage("wanted", s.Wanted)
	switch {
	case !s.HasInterval() || s.Needed != 0 && s.Needed <= s.N:
		return note.Note{}
	case s.Needed == 0 && s.Common*tQuantile(0.5+Confidence/2, math.Inf(1)) >= s.Wanted:
		return note.New(setTooWide, wanted)
	case s.Needed == 0:
		return note.New("mean.fruit_too_wide", wanted)
	}
	return note.New("mean.needs_fruit", wanted, note.Count("n", s.Needed))
}
