package scoring

import (
	"time"

	"traystage/scoring/instrument"
)

func (e estimate) point(day time.Time, n int) DayMean {
	return DayMean{Day: day, N: n, Mean: e.value, HasInterval: e.hasInterval, Low: e.low, High: e.high}
}

// asks gives the limits of the criterion on a quantity, where its figures are in
// this unit. Those of the clear share are given for the stained one.
func (v Verdict) asks(q Quantity, unit string) (opens, closes Limit) {
	for _, c := range v.Criteria {
		switch {
		case c.Quantity == q && c.Unit == unit:
			return c.Opens, c.Closes
		case c.Quantity == ClearOf && q == StainedOf:
			return c.Opens.complement(), c.Closes.complement()
		}
	}
	return Limit{}, Limit{}
}

// streifUnit is the unit of firmness in the index that the standard asks for,
// else the one that firmness is shown in.
func (v Verdict) streifUnit(shown instrument.Unit) instrument.Unit {
	for _, c := range v.Criteria {
		if c.Judged && c.Quantity == StreifOf {
			return c.target.force
		}
	}
	return shown
}

// complement is the limit of the stained share from that of the clear one.
func (l Limit) complement() Limit {
	if !l.Set {
		return l
	}
	return At(100 - l.Value)
}

// groundScales are the scales on which ground colour was scored in a season, in
// the order in which they came.
func groundScales(season []evidence) []string {
	var out []string
	seen := map[string]bool{}
	for _, e := range season {
		for _, g := range e.ground {
			if !seen[g.Unit] {
				seen[g.Unit] = true
				out = append(out, g.Unit)
			}
		}
	}
	return out
}

func (e evidence) groundOn(scale string) Statistic {
	for _, g := range e.ground {
		if g.Unit == scale {
			return g
		}
	}
	return Statistic{}
}
