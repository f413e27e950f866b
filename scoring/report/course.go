package report

import (
	"fmt"
	"time"

	"traystage/scoring"
	"traystage/scoring/report/document"
	"traystage/scoring/trend"
)

// band is the fitted course of a quantity from its first sample to two weeks
// beyond the day of the report, day by day.
func band(s scoring.Series, today time.Time) []point {
	const beyond = 14 // days
	if s.Trend == nil || len(s.Points) == 0 {
		return nil
	}
	last := s.Points[len(s.Points)-1].Day
	if today.After(last) {
		last = today
	}
	last = last.AddDate(0, 0, beyond)
	var out []point
	for day := s.Points[0].Day; !day.After(last); day = day.AddDate(0, 0, 1) {
		at := s.Trend.At(day)
		// A straight line would lead below nothing.
		at.Value, at.Low, at.High = max(at.Value, 0), max(at.Low, 0), max(at.High, 0)
		out = append(out, point{day, at})
	}
	return out
}

// chance is a probability in whole per cent; nothing is certain.
func chance(p float64) string {
	if p > 0.99 {
		return "more than 99"
	}
	return scoring.Percent(p)
}

// point is a fitted mean on one day.
type point struct {
	day time.Time
	trend.Estimate
}

// window is when a block's window opens and closes, in the words of a report.
// The zero window tells nothing.
type window struct {
	opens, closes turn
	notes         []string
}

// turn is a day on which the window opens or closes.
type turn struct {
	day       time.Time // zero when it is not known or does not come in time
	low, high time.Time // 90 % interval of day; zero is an end left open
	with      string    // what makes it turn, or why there is no day; empty for nothing asked
}

// newWindow puts a window into words. One that closes before it opens has no
// days.
func newWindow(w trend.Window) window {
	out := window{opens: newTurn(w.Opens), closes: newTurn(w.Closes)}
	backwards := w.Opens.Reach == trend.Reached && w.Closes.Reach == trend.Reached && w.Opens.Day.After(w.Closes.Day)
	if backwards && !w.Never {
		out.notes = append(out.notes, fmt.Sprintf("it is likelier to close before it opens: that the block meets its standard on some day has a chance of %s in 100", chance(w.Ever)))
	}
	if w.Never {
		out.notes = append(out.notes, "as the trends run, it is all but ruled out that the block meets its standard on any day: the window closes before it opens")
	} else if w.State != trend.CannotTell {
		out.notes = append(out.notes, fmt.Sprintf("by the trends the window is %s on %s, with a chance of %s in 100", w.State, longDay(w.On), chance(w.Chance)))
	}
	untold := append(w.Opens.Untold[:len(w.Opens.Untold):len(w.Opens.Untold)], w.Closes.Untold...)
	if len(untold) > 0 {
		out.notes = append(out.notes, "nothing tells when the target is reached of: "+join(", ", once(untold)...))
	}
	if w.Opens.Usual || w.Closes.Usual {
		out.notes = append(out.notes, "the days lean on a usual rate of the variety, not on the samples alone")
	}
	if w.Never || backwards {
		out.opens.day, out.closes.day = time.Time{}, time.Time{}
	}
	return out
}

func newTurn(e trend.Edge) turn {
	if e.By == "" || e.Reach == "" {
		return turn{}
	}
	with := e.By + " " + document.Decimal(e.Target, digits(scoring.Quantity(e.By), ""))
	if e.Reach != trend.Reached {
		return turn{with: with + ": " + string(e.Reach)}
	}
	return turn{day: e.Day, low: e.Low, high: e.High, with: with}
}

// once gives each word once, in the order in which they came.
func once(words []string) []string {
	var out []string
	seen := map[string]bool{}
	for _, w := range words {
		if !seen[w] {
			out = append(out, w)
		}
		seen[w] = true
	}
	return out
}

// words is the window in one line; empty where nothing is known.
func (w window) words() string {
	opens, closes := !w.opens.day.IsZero(), !w.closes.day.IsZero()
	switch {
	case opens && closes:
		return "window " + w.opens.day.Format("2 Jan") + " to " + w.closes.day.Format("2 Jan 2006")
	case opens:
		return "opens " + w.opens.day.Format("2 Jan 2006")
	case closes:
		return "closes " + w.closes.day.Format("2 Jan 2006")
	}
	return ""
}

func (w window) table() document.Table {
	t := document.Table{
		Key: "window", Caption: "The window",
		Columns: []document.Column{
			{Key: "turn", Head: "it", Kind: document.Words},
			{Key: "day", Head: "on"},
			{Key: "interval", Head: "90 %", Kind: document.Interval},
			{Key: "with", Head: "with", Kind: document.Words},
		},
	}
	for _, end := range []struct {
		name string
		turn
	}{{"opens", w.opens}, {"closes", w.closes}} {
		if end.turn != (turn{}) {
			t.Rows = append(t.Rows, []document.Cell{
				document.Word(end.name), document.Strong(document.Day(end.day)), end.interval(), document.Word(end.with),
			})
		}
	}
	return t
}

// interval is where the day lies in nine cases of ten.
func (t turn) interval() document.Cell {
	if t.low.IsZero() && t.high.IsZero() {
		return document.Unknown()
	}
	return document.Between(document.ShortDay(t.low), document.ShortDay(t.high))
}
