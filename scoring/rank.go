package scoring

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"
)

// Rank puts the blocks of the orchard into the order in which they want picking
// on a day: those whose window closes, those past it that still serve another
// market, those that are open, those that are not ready, and last those that
// nothing can be said of or done for. Within each, the block that was expected
// to be ripe first comes first.
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
			compareDays(a.Block.Harvest, b.Block.Harvest),
			cmp.Compare(a.Block.Name, b.Block.Name),
		)
	})
	return out
}

// prospect is what an outlook tells of the block.
func (r BlockReport) prospect(today time.Time) Prospect {
	p := Prospect{
		Block: r.Block, State: r.Verdict.State, Sure: r.Verdict.Sure,
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
	serving := slices.ContainsFunc(p.Serves, func(s Service) bool { return s.State == Open || s.State == Closing })
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

// Days between samples. Source: common practice, no source: from three weeks
// before the expected harvest once a week, twice a week when it comes near.
const (
	firstSample = 21 // before the expected harvest
	weekly      = 7
	often       = 3
)

// nextSample is the day on which the next sample is due; zero when the block is
// past and none is needed. A day before today says that it is overdue.
func (r BlockReport) nextSample(today time.Time) time.Time {
	if r.Sample == nil {
		if r.Block.Harvest.IsZero() {
			return today
		}
		return r.Block.Harvest.AddDate(0, 0, -firstSample)
	}
	switch {
	case r.Verdict.State == Past:
		return time.Time{}
	case r.Verdict.State == Open, r.Verdict.State == Closing, r.nearlyOpen():
		return r.Sample.Picked.AddDate(0, 0, often)
	}
	return r.Sample.Picked.AddDate(0, 0, weekly)
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
				out = append(out, fmt.Sprintf("%s %s %s, %s in %d days", s.Quantity, Tenth(s.Mean), s.Unit, moved(s.Mean-b.Mean), days))
			}
		}
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
