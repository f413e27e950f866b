package trend

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// joint is a window in the making: the gates that a block must have passed, or
// not have passed, each on a trend of its own.
type joint struct {
	on    time.Time
	gates []gate
	told  bool // a trend tells a day
}

// gate is all that is asked of one trend: the block is in it while it has
// reached the last of opens and none of closes.
type gate struct {
	trend         *Trend
	opens, closes []aim
}

// aim is a criterion with its target as the branches see it.
type aim struct {
	Criterion
	goal goal
}

// add takes criteria in; those without a trend are untold.
func (j *joint) add(cs []Criterion, opens bool, e *Edge) error {
	for _, c := range cs {
		if c.Trend == nil {
			e.Untold = append(e.Untold, c.Name)
			continue
		}
		if err := c.Trend.measure.course.checkValue("target", c.Target); err != nil {
			return fmt.Errorf("%s: %w", c.Name, err)
		}
		i := slices.IndexFunc(j.gates, func(g gate) bool { return g.trend == c.Trend })
		if i < 0 {
			i = len(j.gates)
			j.gates = append(j.gates, gate{trend: c.Trend})
		}
		m := c.Trend.measure
		at, slack := m.progress(c.Target), m.spread(c.Slack, c.Target)
		if g := &j.gates[i]; opens {
			g.opens = append(g.opens, aim{c, c.Trend.goal(at - slack)})
		} else {
			g.closes = append(g.closes, aim{c, c.Trend.goal(at + slack)})
		}
		j.told = j.told || !c.Trend.held
	}
	return nil
}

// reached is the chance that a trend has reached an aim by a day. What is held
// stays as it is on the day that is asked about.
func (j *joint) reached(a aim, on time.Time) float64 {
	if a.Trend.held {
		on = j.on
	}
	return a.Trend.beyond(a.Trend.days(on), a.goal)
}

// passed gives the chances that a gate has opened and that it has closed by a day.
func (j *joint) passed(g gate, on time.Time) (opened, closed float64) {
	opened = 1
	for _, a := range g.opens {
		opened = math.Min(opened, j.reached(a, on)) // on one trend, all is the last
	}
	for _, a := range g.closes {
		closed = math.Max(closed, j.reached(a, on)) // and any the first
	}
	return opened, closed
}

// opened is the chance that all that opens has been reached by a day.
func (j *joint) opened(on time.Time) float64 {
	p := 1.0
	for _, g := range j.gates {
		if len(g.opens) > 0 {
			opened, _ := j.passed(g, on)
			p *= opened
		}
	}
	return p
}

// closed is the chance that something that closes has been reached by a day.
func (j *joint) closed(on time.Time) float64 {
	p := 1.0
	for _, g := range j.gates {
		if len(g.closes) > 0 {
			_, closed := j.passed(g, on)
			p *= 1 - closed
		}
	}
	return 1 - p
}

func (j *joint) chances(on time.Time) Chances {
	c := Chances{Open: 1, Past: 1}
	for _, g := range j.gates {
		opened, closed := j.passed(g, on)
		c.Open *= math.Max(opened-closed, 0)
		c.Past *= 1 - closed
	}
	c.Past = 1 - c.Past
	c.Early = math.Max(1-c.Open-c.Past, 0)
	return c
}

// span are the days within which edges are looked for.
func (j *joint) span() (from, to time.Time) {
	for _, g := range j.gates {
		if g.trend.held {
			continue
		}
		first, last := g.trend.Samples[0].Day.Add(-Horizon*day), g.trend.origin.Add(Horizon*day)
		if from.IsZero() || first.Before(from) {
			from = first
		}
		if last.After(to) {
			to = last
		}
	}
	return civil(from), civil(to)
}

// edges finds both ends with their intervals, in civil days.
func (j *joint) edges(w *Window) {
	if slices.ContainsFunc(j.gates, func(g gate) bool { return len(g.opens) > 0 }) {
		j.edge(&w.Opens, j.opened, evens-hair, 0)
	}
	if slices.ContainsFunc(j.gates, func(g gate) bool { return len(g.closes) > 0 }) {
		j.edge(&w.Closes, j.closed, evens, -1)
	}
}

// edge finds the first day whose beginning finds a chance at a half; before is
// -1 for the last on which it is not there yet.
func (j *joint) edge(e *Edge, chance func(time.Time) float64, half float64, before int) {
	from, to := j.span()
	at, found := firstDay(chance, half, from, to)
	switch {
	case found:
		e.Reach, e.Day = Reached, at.AddDate(0, 0, before)
	case chance(from) >= half:
		e.Reach, at = AtStart, from
	default:
		e.Reach, at = NotInTime, to
	}
	if low, ok := firstDay(chance, (1-Confidence)/2, from, to); ok {
		e.Low = low.AddDate(0, 0, -1) // the day within which it comes
	}
	if high, ok := firstDay(chance, (1+Confidence)/2, from, to); ok {
		e.High = high.AddDate(0, 0, before)
	}
	j.decides(e, at, before < 0)
}

// decides names the criterion that most likely makes the edge: the one least
// likely reached of all that must be, the likeliest of any that may.
func (j *joint) decides(e *Edge, at time.Time, closes bool) {
	best, reach := math.Inf(1), e.Reach
	for _, g := range j.gates {
		aims := g.opens
		if closes {
			aims = g.closes
		}
		for _, a := range aims {
			p := j.reached(a, at)
			if closes {
				p = 1 - p
			}
			e.Usual = e.Usual || a.Trend.Prior != nil
			if p < best {
				best, e.By, e.Target = p, a.Name, a.Target
				e.Distance = at.Sub(a.Trend.origin).Hours() / 24
				e.Reach = reach.why(a)
			}
		}
	}
}

// why is the reason that there is no day, where the criterion that decides tells one.
func (r Reach) why(a aim) Reach {
	switch {
	case r != NotInTime:
		return r
	case a.Trend.held:
		return NotTold
	case a.goal.never:
		return NeverQuite
	}
	return r
}

// firstDay is the first civil day whose beginning finds the chance at p or above;
// false when it is so from the start, or on none.
func firstDay(chance func(time.Time) float64, p float64, from, to time.Time) (time.Time, bool) {
	if chance(from) >= p || chance(to) < p {
		return time.Time{}, false
	}
	low, high := 0, int(to.Sub(from)/day)
	for high-low > 1 {
		mid := (low + high) / 2
		if chance(from.AddDate(0, 0, mid)) >= p {
			high = mid
		} else {
			low = mid
		}
	}
	return from.AddDate(0, 0, high), true
}

// ever is the chance that the window opens before it closes: that of being open
// at the start, and of each gate being the last to open while none has closed.
func (j *joint) ever(w Window) float64 {
	if !j.told {
		return w.Chances.Open
	}
	from, to := j.span()
	if !w.Opens.Low.IsZero() && !w.Opens.High.IsZero() { // as far again beyond the interval nothing is left
		wide := w.Opens.High.Sub(w.Opens.Low).Truncate(day) + 2*day
		from, to = w.Opens.Low.Add(-wide/2), w.Opens.High.Add(wide/2)
	}
	const steps = 24
	was, sum := j.states(from), 1.0
	for _, s := range was {
		sum *= s.meets
	}
	for i := 1; i <= steps; i++ {
		is := j.states(from.Add(to.Sub(from) * time.Duration(i) / steps))
		sum += openings(was, is)
		was = is
	}
	return math.Min(sum, 1)
}

// openings is the chance that the window opens between two moments.
func openings(was, is []gateChance) float64 {
	sum := 0.0
	for k := range is {
		p := math.Max(is[k].opened-was[k].opened, 0)
		for i := range is {
			if i != k {
				p *= (is[i].meets + was[i].meets) / 2
			}
		}
		sum += p
	}
	return sum
}

// gateChance is how likely a gate stands so at a moment.
type gateChance struct{ opened, meets float64 }

func (j *joint) states(at time.Time) []gateChance {
	out := make([]gateChance, len(j.gates))
	for i, g := range j.gates {
		opened, closed := j.passed(g, at)
		out[i] = gateChance{opened, math.Max(opened-closed, 0)}
	}
	return out
}
