package report

import (
	"math"
	"time"

	"traystage/scoring"
	"traystage/scoring/report/document"
	"traystage/scoring/trend"
	"traystage/vision/note"
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

// point is a fitted mean on one day.
type point struct {
	day time.Time
	trend.Estimate
}

// window is when a block's window opens and closes, in the words of a report.
// The zero window tells nothing.
type window struct {
	opens, closes turn
	notes         []note.Note
}

// turn is a day on which the window opens or closes.
type turn struct {
	day       time.Time // zero when it is not known or does not come in time
	low, high time.Time // 90 % interval of day; zero is an end left open
	with      string    // what makes it turn, or why there is no day; empty for nothing asked
}

// newWindow puts a window into words. One that closes before it opens has no
// days.
func (p pen) newWindow(w trend.Window) window {
	out := window{opens: p.newTurn(w.Opens), closes: p.newTurn(w.Closes)}
	if w.Backwards() && !w.Never {
		out.notes = append(out.notes, note.New("window.backwards", chance(w.Ever)))
	}
	if w.Never {
		out.notes = append(out.notes, note.New("window.never"))
	} else if w.State != trend.CannotTell {
		out.notes = append(out.notes, note.New("window.state", note.Term("state", "window_state", w.State), note.Day("day", w.On), chance(w.Chance)))
	}
	untold := append(w.Opens.Untold[:len(w.Opens.Untold):len(w.Opens.Untold)], w.Closes.Untold...)
	if len(untold) > 0 {
		out.notes = append(out.notes, note.New("window.untold", note.Terms("quantities", "quantity", once(untold))))
	}
	if w.Opens.Usual || w.Closes.Usual {
		out.notes = append(out.notes, note.New("window.usual"))
	}
	if !w.Days() {
		out.opens.day, out.closes.day = time.Time{}, time.Time{}
	}
	return out
}

// chance is a probability in whole per cent; nothing is certain.
func chance(p float64) note.Value {
	return note.Count("chance", int(math.Round(100*min(p, mostSure))))
}

// mostSure is the greatest chance that is told.
const mostSure = 0.99

func (p pen) newTurn(e trend.Edge) turn {
	if e.By == "" || e.Reach == "" {
		return turn{}
	}
	q := scoring.Quantity(e.By)
	with := p.quantity(q) + " " + p.Number(e.Target, digits(q, ""))
	if e.Reach != trend.Reached {
		return turn{with: with + ": " + p.Term("reach", string(e.Reach))}
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

// inWords is the window in one line; empty where nothing is known.
func (p pen) inWords(w window) string {
	opens, closes := !w.opens.day.IsZero(), !w.closes.day.IsZero()
	switch {
	case opens && closes:
		return p.Text("window.both", note.Day("opens", w.opens.day), note.Day("closes", w.closes.day))
	case opens:
		return p.Text("window.opens", note.Day("day", w.opens.day))
	case closes:
		return p.Text("window.closes", note.Day("day", w.closes.day))
	}
	return ""
}

func (p pen) windowTable(w window) document.Table {
	t := document.Table{
		Key: "window", Caption: p.Text("caption.window"), Cards: true,
		Columns: []document.Column{
			{Key: "turn", Head: p.Text("head.turn"), Kind: document.Words},
			{Key: "day", Head: p.Text("head.on")},
			{Key: "interval", Head: p.Text("head.interval"), Kind: document.Interval},
			{Key: "with", Head: p.Text("head.with"), Kind: document.Words},
		},
	}
	for _, end := range []struct {
		name, code string
		turn
	}{{p.Text("head.opens"), "opens", w.opens}, {p.Text("head.closes"), "closes", w.closes}} {
		if end.turn != (turn{}) {
			t.Rows = append(t.Rows, []document.Cell{
				document.Term(end.name, end.code), document.Strong(document.Day(end.day)), end.interval(), document.Word(end.with),
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
