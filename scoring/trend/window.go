package trend

import (
	"fmt"
	"time"
)

// Criterion is one target that opens or closes a window.
type Criterion struct {
	Name   string  // such as "stage", "firmness"
	Target float64 // on the scale or in the unit of Trend
	Trend  *Trend  // nil when there is none: the criterion is then listed as untold
}

// State is where a day lies in a window.
type State string

const (
	NotYet     State = "not open yet"
	Open       State = "open"
	Closing    State = "closing" // open for no more than ClosingDays
	Past       State = "past"
	CannotTell State = "cannot be told"
)

// ClosingDays is how near the close a window is closing. With samples twice a
// week, as they are due by then (Next), the next one comes up to four days
// later: too late to learn of the close from it.
const ClosingDays = 4

// Edge is one end of a window.
type Edge struct {
	By       string // name of the criterion that decides; empty when there is none
	Forecast        // of the deciding criterion, but Low and High are those of the edge, which all criteria have a say in; Reach is empty when nothing was asked or told
	Untold   []string
}

// Window holds the days between which a block meets its standard.
type Window struct {
	Opens, Closes Edge
	On            time.Time // the day asked about
	State         State     // of that day
	// Chance is how likely State is right, [0, 1], Open and Closing taken as one.
	// Sure is whether that is nine in ten and nothing was left untold.
	Chance float64
	Sure   bool
	// Never says that the window closes before it opens: as the trends run, the
	// block will not meet this standard on any day.
	Never bool
}

// Between finds the window that opens on the day by which all of opens are
// reached, and closes on the day by which the first of closes is, both days
// included. A standard's first stage and least soluble solids open a window; its
// last stage and least firmness close it. Later samples tighten it, because they
// tighten the trends. The criteria are taken to err independently of each other.
//
// A target that its trend cannot have is an error.
func Between(opens, closes []Criterion, on time.Time) (Window, error) {
	w := Window{On: on, State: CannotTell}
	opened, err := newEdge(opens, true)
	if err != nil {
		return w, err
	}
	closed, err := newEdge(closes, false)
	if err != nil {
		return w, err
	}
	w.Opens, w.Closes = opened.edge(), closed.edge()
	if len(opened.told)+len(closed.told) > 0 {
		w.judge(opened.chance(on), closed.chance(on))
	}
	return w, nil
}

// judge sets the state from the days, and how sure it is from the chances that
// the window has opened and closed by the day.
func (w *Window) judge(opened, closed float64) {
	w.Never = w.Opens.Reach == NeverQuite ||
		w.Opens.Reach == Reached && w.Closes.Reach == Reached && w.Closes.Day.Before(w.Opens.Day)
	switch {
	case w.Closes.Reach == AtStart, w.Closes.Reach == Reached && civil(w.Closes.Day).Before(civil(w.On)):
		w.State, w.Chance = Past, closed
	case w.Opens.Reach == NotInTime, w.Opens.Reach == NeverQuite,
		w.Opens.Reach == Reached && civil(w.Opens.Day).After(civil(w.On)):
		w.State, w.Chance = NotYet, 1-opened
	case w.Closes.Reach == Reached && civil(w.Closes.Day).Sub(civil(w.On)) <= ClosingDays*day:
		w.State, w.Chance = Closing, opened*(1-closed)
	default:
		w.State, w.Chance = Open, opened*(1-closed)
	}
	w.Sure = w.Chance >= Confidence && len(w.Opens.Untold)+len(w.Closes.Untold) == 0
}

const day = 24 * time.Hour

// civil is midnight UTC of the day.
func civil(t time.Time) time.Time { return t.UTC().Truncate(day) }

// told is a criterion with its forecast.
type told struct {
	Criterion
	forecast Forecast
}

// bound is one end of a window in the making.
type bound struct {
	all    bool // reached when all are; else when one is
	told   []told
	untold []string
}

func newEdge(criteria []Criterion, all bool) (bound, error) {
	b := bound{all: all}
	for _, c := range criteria {
		if c.Trend == nil {
			b.untold = append(b.untold, c.Name)
			continue
		}
		f, err := c.Trend.Forecast(c.Target)
		if err != nil {
			return bound{}, fmt.Errorf("%s: %w", c.Name, err)
		}
		b.told = append(b.told, told{c, f})
	}
	return b, nil
}

// edge finds the criterion that decides and the interval of the day.
func (b bound) edge() Edge {
	e := Edge{Untold: b.untold}
	for i, c := range b.told {
		if i == 0 || c.forecast.laterThan(e.Forecast) == b.all {
			e.By, e.Forecast = c.Name, c.forecast
		}
	}
	if len(b.told) < 2 {
		return e
	}
	t := b.told[0].Trend
	by := func(x float64) float64 { return b.chance(t.date(x)) }
	e.Low, e.High = t.limits(by)
	for _, c := range b.told {
		e.Usual = e.Usual || c.forecast.Usual
	}
	return e
}

// laterThan says whether f's target is reached after the other's.
func (f Forecast) laterThan(than Forecast) bool {
	if f.Reach == Reached && than.Reach == Reached {
		return f.Day.After(than.Day)
	}
	order := map[Reach]int{AtStart: 0, Reached: 1, NotInTime: 2, NeverQuite: 3}
	return order[f.Reach] > order[than.Reach]
}

// chance is that of the end having been reached by the beginning of a day: where
// nothing is asked 1 for opening and 0 for closing.
func (b bound) chance(on time.Time) float64 {
	all, none := 1.0, 1.0
	for _, c := range b.told {
		p := c.Trend.by(c.Target)(c.Trend.days(on))
		all *= p
		none *= 1 - p
	}
	if b.all {
		return all
	}
	return 1 - none
}
