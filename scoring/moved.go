package scoring

import (
	"cmp"
	"slices"
	"time"

	"traystage/scoring/trend"
	"traystage/vision/note"
)

// forecastMoved tells how the days of the window have moved since the sample
// before, and what moved them: what the last sample read against what was
// expected of it. Nothing else moves a forecast; weather is not asked.
func (r BlockReport) forecastMoved() []note.Note {
	before, now := r.Before.Window, r.Window
	if before == nil || now == nil {
		return nil
	}
	out := note.Once(windowMoved(*before, *now)...)
	if len(out) == 0 {
		return nil
	}
	return note.Once(append(out, r.surprise())...)
}

// windowMoved tells how the days moved. Those of a window that is likelier to close before it
// opens mean nothing: that it is such a one, or no more, is what has changed.
func windowMoved(before, now trend.Window) []note.Note {
	both := now.Opens.Reach == trend.Reached && now.Closes.Reach == trend.Reached
	switch {
	case before.Days() && now.Days():
		return []note.Note{dayMoved(changeOpen, before.Opens, now.Opens), dayMoved(changeClose, before.Closes, now.Closes)}
	case before.Days():
		return []note.Note{note.New("change.backwards")}
	case now.Days() && both:
		return []note.Note{note.New("change.forwards", note.Day("opens", now.Opens.Day), note.Day("closes", now.Closes.Day))}
	}
	return nil
}

// Codes of how a day of the window has moved.
const (
	changeOpen  note.Code = "change.open"
	changeClose note.Code = "change.close"
)

func dayMoved(code note.Code, before, now trend.Edge) note.Note {
	if before.Day.IsZero() || now.Day.IsZero() || daysBetween(before.Day, now.Day) == 0 {
		return note.Note{}
	}
	return note.New(code, note.Day("now", now.Day), note.Day("before", before.Day))
}

// surprise is how far a mean that was read lay from what was expected of it.
type surprise struct {
	Series
	read     DayMean
	expected trend.Estimate
}

// size is in half intervals of what was expected.
func (s surprise) size() float64 {
	half := max((s.expected.High-s.expected.Low)/2, 1e-9)
	d := s.read.Mean - s.expected.Value
	return max(d, -d) / half
}

// surprise is the largest among what the standard asks for.
func (r BlockReport) surprise() note.Note {
	var found []surprise
	for _, was := range r.Before.Season {
		if was.Trend == nil || !r.Verdict.decides(was.Quantity) {
			continue
		}
		if read, ok := r.readOn(was, r.Sample.Picked); ok {
			found = append(found, surprise{was, read, was.Quantity.possible(was.Trend.At(r.Sample.Picked))})
		}
	}
	if len(found) == 0 {
		return note.Note{}
	}
	s := slices.MaxFunc(found, func(a, b surprise) int { return cmp.Compare(a.size(), b.size()) })
	d, unit := decimalsOf(s.Quantity), s.Unit
	if s.Quantity == StageOf || s.Quantity == StreifOf {
		unit = "" // goes without saying
	}
	return note.New("change.because", note.Term("quantity", "quantity", s.Quantity),
		note.Figure("read", s.read.Mean, d, unit), note.Figure("expected", s.expected.Value, d, ""),
		note.Figure("low", s.expected.Low, d, ""), note.Figure("high", s.expected.High, d, ""))
}

// readOn is what was read of a series on a day.
func (r BlockReport) readOn(was Series, day time.Time) (DayMean, bool) {
	for _, s := range r.Season {
		if s.Quantity != was.Quantity || s.Unit != was.Unit || len(s.Points) == 0 {
			continue
		}
		last := s.Points[len(s.Points)-1]
		return last, last.Day.Equal(day)
	}
	return DayMean{}, false
}

// decimalsOf is how many decimals a quantity is told with.
func decimalsOf(q Quantity) int {
	switch q {
	case StainedOf, ClearOf, RedOf:
		return 0
	case StreifOf:
		return 2
	}
	return 1
}

// decides says whether the state for the block's own market hangs on a quantity.
func (v Verdict) decides(q Quantity) bool {
	return slices.ContainsFunc(v.Criteria, func(c Criterion) bool {
		return c.Judged && (c.Quantity == q || c.Quantity == ClearOf && q == StainedOf)
	})
}
