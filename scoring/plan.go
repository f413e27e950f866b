package scoring

import (
	"cmp"
	"slices"
	"time"

	"traystage/scoring/trend"
	"traystage/vision/note"
)

// Errand is one sample that wants taking.
type Errand struct {
	Block Block
	Due   time.Time // midnight UTC
	Last  time.Time // day of the last sample; zero for none
	Fruit int       // how many to take
	Why   note.Note // what makes it due
}

// Errands lists the samples to take, those overdue first: one for each block
// that still wants sampling. within is how closely the day of the window's next
// end shall be known after it, days either way; 0 asks for the least sample.
func Errands(reports []BlockReport, today time.Time, within float64) []Errand {
	var out []Errand
	for _, r := range reports {
		due := r.nextSample(today)
		if due.IsZero() {
			continue
		}
		e := Errand{Block: r.Block, Due: due, Fruit: r.fruitFor(due, within), Why: r.whyDue(due, today)}
		if r.Sample != nil {
			e.Last = r.Sample.Picked
		}
		out = append(out, e)
	}
	slices.SortStableFunc(out, func(a, b Errand) int {
		return cmp.Or(a.Due.Compare(b.Due), compareDays(a.Block.Harvest, b.Block.Harvest), cmp.Compare(a.Block.Name, b.Block.Name))
	})
	return out
}

// fruitFor is how many fruit the next sample takes: enough for the day of the
// next end of the window, or else for the mean stage, as far as a hundred fruit
// can do it.
func (r BlockReport) fruitFor(on time.Time, within float64) int {
	if within <= 0 || r.Sample == nil {
		return FewestFruit
	}
	for _, s := range r.Season {
		if s.Quantity != StageOf || s.Trend == nil {
			continue
		}
		target := s.Opens
		if r.Now == Open || r.Now == Closing {
			target = s.Closes
		}
		if !target.Set {
			break
		}
		if n, ok := s.Trend.FruitFor(target.Value, on, r.Stage.SD, within); ok {
			return n
		}
	}
	return min(max(r.Stage.Needed, FewestFruit), trend.MostFruit)
}

func (r BlockReport) whyDue(due, today time.Time) note.Note {
	why := r.whyThen()
	if late := daysBetween(due, today); late > 0 {
		return note.New("due.overdue", note.Count("n", late), note.Notes("why", why))
	}
	return why
}

// whyThen says why a sample is due on its day.
func (r BlockReport) whyThen() note.Note {
	switch {
	case r.Sample == nil && r.Block.Harvest.IsZero():
		return note.New("due.no_harvest")
	case r.Sample == nil:
		return note.New("due.first", note.Day("harvest", r.Block.Harvest))
	case r.Now == Open, r.Now == Closing:
		return note.New("due.state", note.Term("state", "state", r.Now))
	case r.Now == Past: // not surely: else none is due
		return note.New("due.past")
	case r.Window != nil && r.Window.Days() && r.Window.Opens.Reach == trend.Reached:
		return note.New("due.opens", note.Day("day", r.Window.Opens.Day))
	case !r.Block.Harvest.IsZero():
		return note.New("due.harvest", note.Day("harvest", r.Block.Harvest))
	}
	return note.New("due.weekly")
}
