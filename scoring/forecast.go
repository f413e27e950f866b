package scoring

import (
	"slices"
	"time"

	"traystage/scoring/trend"
)

// late tells how the block will stand to each market on the day after the window
// of its own closes, where that day is known and still to come.
func (v *Verdict) late(w *trend.Window) {
	if w == nil || w.Closes.Reach != trend.Reached || daysBetween(w.On, w.Closes.Day) < 0 {
		return
	}
	after := w.Closes.Day.UTC().Truncate(24*time.Hour).AddDate(0, 0, 1)
	for i := range v.Serves {
		if s := &v.Serves[i]; s.told {
			s.Late = laterOf(s.State, s.Standard.settle(s.criteria, after, false).state)
		}
	}
}

// laterOf is the later of two states that fruit pass through; NoVerdict is none.
func laterOf(a, b State) State {
	passed := []State{NoVerdict, TooEarly, Open, Closing, Past}
	if slices.Index(passed, b) > slices.Index(passed, a) {
		return b
	}
	return a
}
