package scoring

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"traystage/scoring/trend"
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
		Block: r.Block, State: r.Now, Sure: r.NowSure, Window: r.Window,
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
	w := trend.Window{On: today}
	if r.Window != nil {
		w = *r.Window
	}
	switch {
	case r.Verdict.State == Past:
		w.State = trend.Past
	case r.Now == Open, r.Now == Closing, r.Now == Past, r.nearlyOpen():
		w.State = trend.Open // sampled as often as an open one; past by the trend alone is to be confirmed
	}
	if r.Sample == nil {
		return trend.Next(time.Time{}, r.Block.Harvest, w)
	}
	return trend.Next(r.Sample.Picked, r.Block.Harvest, w)
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
func (r BlockReport) changes() []string {
	if r.Before == nil {
		return nil
	}
	days := daysBetween(r.Before.Day, r.Sample.Picked)
	var out []string
	if was := r.Before.Verdict.State; was != r.Verdict.State {
		out = append(out, fmt.Sprintf("%s, was %s", r.Verdict.State, was))
	}
	if r.Before.Scale == r.Scale && r.Before.Stage.N > 0 && r.Stage.N > 0 {
		out = append(out, fmt.Sprintf("stage %s, %s in %d days", Tenth(r.Stage.Mean), moved(r.Stage.Mean-r.Before.Stage.Mean), days))
	}
	for _, s := range r.Statistics {
		for _, b := range r.Before.Statistics {
			if s.Quantity == b.Quantity && s.Unit == b.Unit {
				figure := strings.TrimSpace(Tenth(s.Mean) + " " + s.Unit)
				out = append(out, fmt.Sprintf("%s %s, %s in %d days", s.Quantity, figure, moved(s.Mean-b.Mean), days))
			}
		}
	}
	if days, ok := closeMoved(r.Before.Window, r.Window); ok {
		out = append(out, days)
	}
	was, is := r.Before.Verdict.Markets(), r.Verdict.Markets()
	if lost := without(was, is); len(lost) > 0 {
		out = append(out, "no longer serves "+list(lost))
	}
	if won := without(is, was); len(won) > 0 {
		out = append(out, "now serves "+list(won))
	}
	return out
}

// closeMoved tells how the forecast of the window's close has moved.
func closeMoved(before, now *trend.Window) (string, bool) {
	if before == nil || now == nil || before.Closes.Day.IsZero() || now.Closes.Day.IsZero() {
		return "", false
	}
	was, is := before.Closes.Day.Format(plainDay), now.Closes.Day.Format(plainDay)
	if was == is {
		return "", false
	}
	return fmt.Sprintf("now expected to close on %s, was %s", is, was), true
}

func moved(by float64) string {
	switch text := Tenth(math.Abs(by)); {
	case text == Tenth(0):
		return "unchanged"
	case by > 0:
		return "up " + text
	default:
		return "down " + text
	}
}

// without gives the words of a that are not in b.
func without(a, b []string) []string {
	return slices.DeleteFunc(slices.Clone(a), func(word string) bool { return slices.Contains(b, word) })
}
