package scoring

import (
	"cmp"
	"math"
	"slices"
	"time"

	"traystage/scoring/trend"
	"traystage/vision/note"
)

// Rank puts the blocks of the orchard into the order in which they want picking
// on a day, the day of the reports: those whose window closes, those past it that
// still serve another market, those that are open, those that are not ready, and
// last those that nothing can be said of or done for. Within each comes first
// what closes first, of those not ready what opens first; without a trend what
// was expected first.
func Rank(reports []BlockReport, today time.Time) Outlook {
	out := Outlook{Day: today}
	for _, r := range reports {
		if out.Orchard == "" {
			out.Orchard = r.Orchard
		}
		out.Blocks = append(out.Blocks, r.prospect(today))
	}
	slices.SortStableFunc(out.Blocks, func(a, b Prospect) int {
		return cmp.Or(
			cmp.Compare(a.urgency(), b.urgency()),
			compareDays(a.deadline(), b.deadline()),
			compareDays(a.Block.Harvest, b.Block.Harvest),
			cmp.Compare(a.Block.Name, b.Block.Name),
		)
	})
	return out
}

// prospect is what an outlook tells of the block.
func (r BlockReport) prospect(today time.Time) Prospect {
	p := Prospect{
		Block: r.Block, Order: r.Order(), State: r.Now, Sure: r.NowSure, Window: r.Window,
		Scale: r.Scale, Stage: r.Stage, Serves: r.Verdict.Serves, Warnings: r.Warnings,
		Changes: r.changes(), Next: r.nextSample(today),
	}
	if r.Sample != nil {
		p.Sampled = r.Sample.Picked
		p.Days = daysBetween(r.Sample.Picked, today)
	}
	return p
}

// urgency is smaller for what wants picking sooner.
func (p Prospect) urgency() int {
	serving := slices.ContainsFunc(p.Serves, func(s Service) bool { return s.Now == Open || s.Now == Closing })
	switch {
	case p.State == Closing:
		return 0
	case p.State == Past && serving:
		return 1
	case p.State == Open:
		return 2
	case p.State == TooEarly:
		return 3
	case p.State == Past:
		return 4
	}
	return 5
}

// deadline is the day that orders blocks which are equally urgent: that of the
// opening of those not ready, else that of the close; zero when it is not known.
func (p Prospect) deadline() time.Time {
	switch {
	case p.Window == nil:
		return time.Time{}
	case p.State == TooEarly:
		return p.Window.Opens.Day
	}
	return p.Window.Closes.Day
}

// compareDays orders days; a day that is not known comes last.
func compareDays(a, b time.Time) int {
	if a.IsZero() != b.IsZero() {
		if a.IsZero() {
			return 1
		}
		return -1
	}
	return a.Compare(b)
}

// nextSample is the day on which the next sample is due; zero when the block is
// past and none is needed. A day before today says that it is overdue.
func (r BlockReport) nextSample(today time.Time) time.Time {
	if note.Has(r.Warnings, TroubleCode) {
		return time.Time{} // to be put right first
	}
	w := trend.Window{On: today}
	if r.Window != nil {
		w = *r.Window
	}
	switch {
	case r.Now == Past && r.NowSure:
		w.State = trend.Past
	case r.Now == Open, r.Now == Closing, r.Now == Past, r.nearlyOpen():
		w.State = trend.Open // sampled as often as an open one; what is not sure to be past is to be confirmed
	}
	if r.Sample == nil {
		return trend.Next(time.Time{}, r.Block.Harvest, w)
	}
	return r.beforeClose(trend.Next(r.Sample.Picked, r.Block.Harvest, w), today)
}

// beforeClose brings a sample forward that would come after the day by which an open
// block is to be picked: to the day before that, or to today.
func (r BlockReport) beforeClose(due, today time.Time) time.Time {
	if r.Now != Open && r.Now != Closing || r.Window == nil || r.Window.Closes.Reach != trend.Reached || due.IsZero() {
		return due
	}
	last := r.Window.Closes.Day.AddDate(0, 0, -1)
	if !due.After(last) {
		return due
	}
	if last.Before(today) {
		return today
	}
	return last
}

// nearlyOpen says whether a block that is too early may be open within the week:
// its mean stage lies within a seventh of the scale of its target, one stage on
// 1 to 8. Common practice, no source.
func (r BlockReport) nearlyOpen() bool {
	for _, c := range r.Verdict.Criteria {
		if c.isStage() && c.Side == TooEarly {
			span := r.Scale.Span()
			if c.Unit == percentUnit {
				span = 100
			}
			return -c.Margin <= span/7
		}
	}
	return false
}

// changes tells what is new since the sample before.
func (r BlockReport) changes() []note.Note {
	if r.Before == nil {
		return nil
	}
	days := daysBetween(r.Before.Day, r.Sample.Picked)
	var out []note.Note
	if was := r.Before.Verdict.State; was != r.Verdict.State {
		out = append(out, note.New("change.state", note.Term("now", "state", r.Verdict.State), note.Term("before", "state", was)))
	}
	if r.Before.Scale == r.Scale && r.Before.Stage.N > 0 && r.Stage.N > 0 {
		out = append(out, moved(StageOf, "", r.Before.Stage.Mean, r.Stage.Mean, days))
	}
	for _, s := range r.Statistics {
		for _, b := range r.Before.Statistics {
			if m := moved(s.Quantity, s.Unit, b.Mean, s.Mean, days); s.Quantity == b.Quantity && s.Unit == b.Unit && m.Code != ChangeSame {
				out = append(out, m)
			}
		}
	}
	out = append(out, r.forecastMoved()...)
	was, is := r.Before.Verdict.Markets(), r.Verdict.Markets()
	if lost := without(was, is); len(lost) > 0 {
		out = append(out, note.New("change.lost", note.Names("markets", lost)))
	}
	if won := without(is, was); len(won) > 0 {
		out = append(out, note.New("change.won", note.Names("markets", won)))
	}
	return note.Once(out...)
}

// moved tells how a mean has moved in so many days.
func moved(q Quantity, unit string, before, now float64, days int) note.Note {
	code := ChangeSame
	switch by := now - before; {
	case Tenth(math.Abs(by)) == Tenth(0):
	case by > 0:
		code = ChangeUp
	default:
		code = ChangeDown
	}
	return note.New(code, note.Term("quantity", "quantity", q), note.Figure("value", now, 1, unit),
		note.Figure("by", math.Abs(now-before), 1, ""), note.Count("n", days))
}

// Codes of how a mean has moved since the sample before.
const (
	ChangeUp   note.Code = "change.up"
	ChangeDown note.Code = "change.down"
	ChangeSame note.Code = "change.same"
)

// without gives the words of a that are not in b.
func without(a, b []string) []string {
	return slices.DeleteFunc(slices.Clone(a), func(word string) bool { return slices.Contains(b, word) })
}
