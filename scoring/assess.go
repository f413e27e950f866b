package scoring

import (
	"slices"
	"time"

	"traystage/scoring/instrument"
	"traystage/scoring/trend"
	"traystage/vision/note"
)

// Options say how a block is assessed.
type Options struct {
	Orchard string
	Today   time.Time       // the day that the report is made for, midnight UTC
	Unit    instrument.Unit // that firmness is shown in; empty for the unit it was read in last
	Wanted  float64         // half width of the interval of the mean that is asked for, stages; see Summarize
	Brief   bool            // for an outlook: no Looks, and trends only through what standards ask for
	// Usual is a usual rate of the stage that its trend leans on, marked where it
	// is used; nil for none, so that the samples stand alone.
	Usual *trend.Prior
	// Rates are a grower's own usual rates; trends lean on them, marked, where Lean
	// says so.
	Rates   []UsualRate
	Lean    bool
	Program string // name and version, kept in the report
}

// Assess tells how a block stands to its market on one day.
//
// samples are those of the season, in any order; those of other blocks and of
// later days are left out. standards are in order of preference (see Prefer);
// checks are those of the season's instruments. A block without a sample gets a
// report without a verdict. It fails where two halves have one number, trays of one
// sample were scored on different scales, or a stage that a person gave is not on
// the scale; the error names the block and the day of the sample. Troubled makes a
// report of that.
func Assess(block Block, samples []Sample, standards []Standard, checks []instrument.Check, opt Options) (BlockReport, error) {
	r := BlockReport{Orchard: opt.Orchard, Block: block, Origin: Origin{Program: opt.Program, Day: opt.Today}}
	season := ofBlock(samples, block.Name, opt.Today)
	if len(season) == 0 {
		r.Verdict = Verdict{State: NoVerdict, Why: []note.Note{note.New("verdict.no_sample")}}
		r.Now = NoVerdict
		return r, nil
	}
	unit := opt.Unit
	if unit == "" {
		unit = lastUnit(season)
	}
	all := make([]evidence, len(season))
	pressed := pressingError(season, checks, unit)
	for i, s := range season {
		var err error
		if all[i], err = examine(s, unit, pressed, opt.Wanted); err != nil {
			return BlockReport{}, err
		}
		all[i].checked(checks)
	}
	r.describe(all[len(all)-1])
	now := follow(all, opt.Today, block.Variety, opt.leaning())
	r.Verdict, r.Window = now.decide(block, standards, true)
	r.Verdict.late(r.Window)
	r.Verdict.unlessSuited(all[len(all)-1].sample)
	r.Now, r.NowSure = r.Verdict.State, r.Verdict.Sure
	if !opt.Brief {
		r.Looks = now.looks(block, standards, r.Verdict)
	}
	r.Season = now.series(r.Verdict, opt.Brief)
	if len(all) > 1 {
		r.Before = standingOf(all[:len(all)-1], block, standards, opt.leaning())
	}
	r.Checks = checksUpTo(checks, all[len(all)-1].sample.tested())
	r.Warnings = r.warnings(all)
	return r, nil
}

// TroubleCode is the code of the warning of a block that cannot be assessed.
const TroubleCode note.Code = "block.trouble"

// Troubled is the report on a block that cannot be assessed: no verdict, and why, so
// that one wrong thing never hides the other blocks.
func Troubled(block Block, why error, opt Options) BlockReport {
	trouble := note.New(TroubleCode, note.Notes("why", note.Quote(why.Error())))
	return BlockReport{
		Orchard: opt.Orchard, Block: block, Origin: Origin{Program: opt.Program, Day: opt.Today},
		Verdict: Verdict{State: NoVerdict, Why: []note.Note{trouble}}, Now: NoVerdict, Warnings: []note.Note{trouble},
	}
}

// standingOf is how the block stood on the day of the last of these samples.
func standingOf(season []evidence, block Block, standards []Standard, usual Leaning) *Standing {
	e := season[len(season)-1]
	then := follow(season, e.sample.Picked, block.Variety, usual)
	s := Standing{Day: e.sample.Picked, Scale: e.scale, Stage: e.stage, Statistics: e.statistics()}
	s.Verdict, s.Window = then.decide(block, standards, true)
	s.Verdict.unlessSuited(e.sample)
	s.Season = then.series(s.Verdict, true)
	return &s
}

// leaning is what rates trends lean on.
func (o Options) leaning() Leaning {
	if !o.Lean {
		return Leaning{Stage: o.Usual}
	}
	return Leaning{o.Usual, o.Rates}
}

// describe fills in what one sample says.
func (r *BlockReport) describe(e evidence) {
	r.Sample, r.Rows = &e.sample, e.rows
	r.Scale, r.Stage, r.Stained = e.scale, e.stage, e.stained
	r.Statistics = e.statistics()
	r.Streif = e.streif(e.unit)
	r.Origin.Sets = e.sets
	for _, t := range e.sample.Trays {
		r.Origin.Photos = append(r.Origin.Photos, Photo{Name: t.Photo, Hash: t.PhotoHash, Taken: t.Taken})
	}
}

// ofBlock gives the samples of one block up to a day, by day.
func ofBlock(samples []Sample, block string, today time.Time) []Sample {
	var out []Sample
	for _, s := range samples {
		if s.Block == block && !s.Picked.After(today) {
			out = append(out, s)
		}
	}
	slices.SortStableFunc(out, func(a, b Sample) int { return a.Picked.Compare(b.Picked) })
	return out
}

// lastUnit is the unit that firmness was read in last; newton where none was.
func lastUnit(season []Sample) instrument.Unit {
	for _, s := range slices.Backward(season) {
		for _, r := range slices.Backward(s.Readings) {
			if r.Firmness != nil && len(r.Firmness.Sides) > 0 {
				return r.Firmness.Sides[0].Unit
			}
		}
	}
	return instrument.Newton
}

// tested is the day on which the fruit were tested.
func (s Sample) tested() time.Time {
	if s.Tested.IsZero() {
		return s.Picked
	}
	return s.Tested
}

// checksUpTo gives the checks made up to the end of a day, the latest first.
func checksUpTo(checks []instrument.Check, day time.Time) []instrument.Check {
	var out []instrument.Check
	for _, c := range checks {
		if daysBetween(c.Day, day) >= 0 {
			out = append(out, c)
		}
	}
	slices.SortStableFunc(out, func(a, b instrument.Check) int { return b.Day.Compare(a.Day) })
	return out
}

// daysBetween is how many midnights UTC lie between two times.
func daysBetween(from, to time.Time) int {
	const day = 24 * time.Hour
	return int(to.UTC().Truncate(day).Sub(from.UTC().Truncate(day)) / day)
}
