package scoring

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"traystage/scoring/trend"
)

// Errand is one sample that wants taking.
type Errand struct {
	Block Block
	Due   time.Time // midnight UTC
	Last  time.Time // day of the last sample; zero for none
	Fruit int       // how many to take
	Why   string    // what makes it due, in words
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

func (r BlockReport) whyDue(due, today time.Time) string {
	late := daysBetween(due, today)
	reason := ""
	switch {
	case r.Sample == nil && r.Block.Harvest.IsZero():
		reason = "no sample yet, and no day of harvest is known"
	case r.Sample == nil:
		reason = fmt.Sprintf("first sample, three weeks before %s", r.Block.Harvest.Format(plainDay))
	case r.Now == Open, r.Now == Closing:
		reason = "it is " + string(r.Now)
	case r.Window != nil && !r.Window.Never && r.Window.Opens.Reach == trend.Reached:
		reason = "its window is expected to open on " + r.Window.Opens.Day.Format(plainDay)
	case !r.Block.Harvest.IsZero():
		reason = "harvest is expected on " + r.Block.Harvest.Format(plainDay)
	default:
		reason = "weekly"
	}
	switch {
	case late == 1:
		return "overdue by a day; " + reason
	case late > 1:
		return fmt.Sprintf("overdue by %d days; %s", late, reason)
	}
	return reason
}
