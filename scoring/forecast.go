package scoring

import (
	"errors"
	"slices"
	"time"

	"traystage/calibrate"
	"traystage/scoring/trend"
	"traystage/vision/note"
)

// fit lays the course of the quantity through its samples. Colours have none:
// the red of a block hangs on light and leaves, ground colour on the card.
func (s *Series) fit(scale calibrate.Scale, means []trend.Sample, opt trend.Options) {
	if s.Quantity != StageOf {
		opt.Prior = nil
	}
	var course trend.Course
	switch s.Quantity {
	case StageOf:
		course = trend.Stage(scale)
	case StainedOf:
		course = trend.Stage(calibrate.Scale{Stained: 100, Clear: 0, Step: 100 * scale.Step / scale.Span()})
	case SolidsOf:
		course = trend.Rising()
	case FirmnessOf:
		course = trend.Falling()
	case StreifOf:
		course = trend.Index()
	default:
		return
	}
	fitted, err := trend.Fit(course, means, opt)
	if err != nil {
		s.NoTrend = noTrend(err)
		return
	}
	s.Trend = fitted
}

// noTrend says why no course was laid.
func noTrend(err error) note.Note {
	if errors.Is(err, trend.ErrNoTrend) {
		return note.New("trend.one_day")
	}
	return note.Quote(err.Error())
}

// trendOf gives the trend that a criterion is followed by, and its limits in the
// figures of that trend; nil when there is none.
func (c Criterion) trendOf(season []Series) (followed *trend.Trend, opens, closes Limit) {
	for _, s := range season {
		switch {
		case s.Quantity == c.Quantity && s.Unit == c.Unit:
			return s.Trend, c.Opens, c.Closes
		case s.Quantity == StainedOf && c.Quantity == ClearOf:
			return s.Trend, c.Opens.complement(), c.Closes.complement()
		}
	}
	return nil, c.Opens, c.Closes
}

// windowOf is the window of a market as the trends run; nil where no trend tells
// of any of its criteria. Optima are left out: a single figure opens no window.
func windowOf(cs []Criterion, season []Series, on time.Time) *trend.Window {
	var opens, closes []trend.Criterion
	told := false
	for _, c := range cs {
		followed, from, to := c.trendOf(season)
		if c.target.point() || followed == nil && c.target.extra {
			continue
		}
		told = told || followed != nil
		if from.Set {
			opens = append(opens, trend.Criterion{Name: string(c.Quantity), Target: from.Value, Trend: followed})
		}
		if to.Set {
			closes = append(closes, trend.Criterion{Name: string(c.Quantity), Target: to.Value, Trend: followed})
		}
	}
	if !told {
		return nil
	}
	w, err := trend.Between(opens, closes, on)
	if err != nil {
		return nil // a target that the quantity cannot have has no day
	}
	return &w
}

// forecast follows the block from its last sample to the day of the report, and
// to the end of its own market's window.
func (r *BlockReport) forecast() {
	day := r.Origin.Day
	r.Now, r.NowSure = r.Verdict.State, r.Verdict.Sure
	if r.Verdict.Standard != nil {
		r.Window = windowOf(r.Verdict.Criteria, r.Season, day)
		r.Now, r.NowSure = r.movedOn(r.Verdict.State, r.Verdict.Sure, r.Window)
	}
	end, ends := lastDay(r.Window)
	for i := range r.Verdict.Serves {
		s := &r.Verdict.Serves[i]
		s.Window = windowOf(s.criteria, r.Season, day)
		s.Now, _ = r.movedOn(s.State, s.Sure, s.Window)
		if ends && s.Window != nil {
			if late := windowOf(s.criteria, r.Season, end.AddDate(0, 0, 1)); late != nil {
				s.Late = laterOf(s.Now, stateOf(late.State))
			}
		}
	}
}

// lastDay is the day on which a window closes, if it is still to come.
func lastDay(w *trend.Window) (time.Time, bool) {
	if w == nil || w.Closes.Reach != trend.Reached || daysBetween(w.On, w.Closes.Day) < 0 {
		return time.Time{}, false
	}
	return w.Closes.Day.UTC().Truncate(24 * time.Hour), true
}

// movedOn is the state on the day of the report. Fruit do not go back, so a
// trend can only move on what the last sample said; and on the day of the sample
// it says no more than that a window is closing.
func (r *BlockReport) movedOn(sampled State, sure bool, w *trend.Window) (State, bool) {
	if w == nil || sampled == NoVerdict {
		return sampled, sure
	}
	now := laterOf(sampled, stateOf(w.State))
	fresh := daysBetween(r.Sample.Picked, r.Origin.Day) == 0
	switch {
	case now == sampled:
		return sampled, sure
	case fresh && (sampled != Open || now != Closing):
		return sampled, sure
	}
	return now, w.Sure
}

func stateOf(s trend.State) State {
	switch s {
	case trend.NotYet:
		return TooEarly
	case trend.Open:
		return Open
	case trend.Closing:
		return Closing
	case trend.Past:
		return Past
	}
	return NoVerdict
}

// laterOf is the later of two states that fruit pass through; NoVerdict is none.
func laterOf(a, b State) State {
	passed := []State{NoVerdict, TooEarly, Open, Closing, Past}
	if slices.Index(passed, b) > slices.Index(passed, a) {
		return b
	}
	return a
}

// decides says whether the state for the block's own market hangs on a quantity.
func (v Verdict) decides(q Quantity) bool { return asked(v.Criteria, q) }

// follows says whether the state for any market hangs on a quantity.
func (v Verdict) follows(q Quantity) bool {
	return v.decides(q) || slices.ContainsFunc(v.Serves, func(s Service) bool { return asked(s.criteria, q) })
}

func asked(cs []Criterion, q Quantity) bool {
	return slices.ContainsFunc(cs, func(c Criterion) bool {
		return c.Quantity == q || c.Quantity == ClearOf && q == StainedOf
	})
}
