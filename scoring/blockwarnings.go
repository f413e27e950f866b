package scoring

import (
	"slices"
	"time"

	"traystage/scoring/instrument"
	"traystage/vision/note"
)

const (
	// leastWait: the pattern is not there at once.
	// Source: KOB Bavendorf, Erntebestimmung von Äpfeln nach Streif (1 to 2 minutes).
	leastWait = time.Minute
	// oldSample: a block that is sampled once or twice a week has moved on by then.
	// Common practice, no source.
	oldSample = 7
)

// warnings says what the reader of a block report must know beside its verdict:
// first what touches the stages, then the fruit, then the instruments.
func (r BlockReport) warnings(season []evidence) []note.Note {
	e := season[len(season)-1]
	out := append(slices.Clone(e.stage.Warnings),
		noStages(e), mixedSets(season), agedFruit(e.sample), youngStain(e.sample), staleSample(e.sample, r.Origin.Day),
		r.noTrend(), fewRead(e.pressed), fewRead(e.solids), unread(e), uncut(e))
	for _, t := range e.sample.Trays {
		for _, remark := range t.Remarks {
			out = append(out, note.New("block.photo", note.Name("photo", t.Photo), note.Notes("what", remark)))
		}
	}
	for _, s := range r.Statistics {
		if s.Outlier != nil {
			out = append(out, note.New("block.apart", note.Count("fruit", s.Outlier.Number), note.Term("quantity", "quantity", s.Quantity)))
		}
	}
	out = slices.Concat(out, instrument.Odd(e.sample.Readings), instrument.Remarks(e.sample.Readings),
		instrument.CheckRemarks(e.sample.tested(), r.Checks, e.sample.Readings))
	return note.Once(out...)
}

// unread names the fruit that nothing was read off though others were.
func unread(e evidence) note.Note {
	var without []int
	for _, row := range e.rows {
		if row.Reading == nil {
			without = append(without, row.Fruit)
		}
	}
	if len(without) == 0 || len(e.sample.Readings) == 0 {
		return note.Note{}
	}
	return note.New("block.unread", note.Counts("fruit", without))
}

// uncut names the fruit that were read and have no half: they count in firmness and
// sugar, and not in the stage.
func uncut(e evidence) note.Note {
	var without []int
	for _, row := range e.rows {
		if row.Half == nil {
			without = append(without, row.Fruit)
		}
	}
	if len(without) == 0 || len(e.sample.Trays) == 0 {
		return note.Note{}
	}
	return note.New("block.uncut", note.Counts("fruit", without))
}

func noStages(e evidence) note.Note {
	if len(e.sample.Trays) > 0 {
		return note.Note{}
	}
	return note.New("block.no_tray")
}

// mixedSets warns when the samples of a season, or the trays of one, were scored
// on more than one set or version.
func mixedSets(season []evidence) note.Note {
	var sets []note.Note
	for _, e := range season {
		for _, ref := range e.sets {
			sets = append(sets, note.New("block.set", note.Name("set", ref.Name), note.Name("version", ref.Version),
				note.Name("scale", scaleName(ref.Scale.Stained, ref.Scale.Clear))))
		}
	}
	if sets = note.Once(sets...); len(sets) < 2 {
		return note.Note{}
	}
	return note.New("block.mixed_sets", note.Count("n", len(sets)), note.Notes("sets", sets...))
}

func agedFruit(s Sample) note.Note {
	days := daysBetween(s.Picked, s.tested())
	if days <= 1 {
		return note.Note{}
	}
	return note.New("block.aged_fruit", note.Count("n", days))
}

func youngStain(s Sample) note.Note {
	if s.Wait <= 0 || s.Wait >= leastWait {
		return note.Note{}
	}
	return note.New("block.young_stain", note.Count("n", int(s.Wait.Seconds())))
}

func staleSample(s Sample, today time.Time) note.Note {
	days := daysBetween(s.Picked, today)
	if days <= oldSample {
		return note.Note{}
	}
	return note.New("block.stale", note.Count("n", days))
}

// noTrend says why there is no window, where a standard asks for one.
func (r BlockReport) noTrend() note.Note {
	if r.Verdict.Standard == nil || r.Window != nil {
		return note.Note{}
	}
	for _, s := range r.Season {
		if !s.NoTrend.IsZero() && (s.Opens.Set || s.Closes.Set) {
			return s.NoTrend
		}
	}
	return note.Note{}
}

func fewRead(s Statistic) note.Note {
	if s.N == 0 || s.N >= FewestFruit {
		return note.Note{}
	}
	return note.New("block.few_read", note.Count("n", s.N), note.Term("quantity", "quantity", s.Quantity), note.Count("fewest", FewestFruit))
}
