package scoring

import (
	"time"

	"traystage/scoring/instrument"
	"traystage/scoring/trend"
)

// seasonOf gives every quantity of the block through its samples, with what the
// verdict's standard asks of it. Stages and indices on another scale than the
// last sample's are left out: they cannot be drawn on one axis.
//
// followed says which quantities get a trend; usual is a rate that the stage's
// leans on, nil for none.
func seasonOf(season []evidence, v Verdict, followed func(Quantity) bool, usual *trend.Prior) []Series {
	last := season[len(season)-1]
	scale := scaleName(last.scale.Stained, last.scale.Clear)
	var out []Series
	add := func(q Quantity, unit string, of func(evidence) (estimate, int)) {
		s := Series{Quantity: q, Unit: unit}
		var means []trend.Sample
		common := 0.0
		for _, e := range season {
			found, n := of(e)
			if !found.known {
				continue
			}
			s.Points = append(s.Points, found.point(e.sample.Picked, n))
			if found.hasInterval {
				means = append(means, trend.Sample{Day: e.sample.Picked, Value: found.value, Standard: found.standard, N: n})
				common = max(common, found.common)
			}
		}
		if len(s.Points) > 0 {
			s.Opens, s.Closes = v.asks(q, unit)
			if followed(q) {
				s.fit(last.scale, means, trend.Options{Common: common, Prior: usual})
			}
			out = append(out, s)
		}
	}
	sameScale := func(e evidence) bool { return e.scale == last.scale }
	add(StageOf, scale, func(e evidence) (estimate, int) {
		if !sameScale(e) {
			return estimate{}, 0
		}
		return e.stage.estimate(), e.stage.N
	})
	statistic := func(q Quantity, unit string, of func(evidence) Statistic) {
		add(q, unit, func(e evidence) (estimate, int) { s := of(e); return s.estimate(), s.N })
	}
	statistic(StainedOf, percentUnit, func(e evidence) Statistic { return e.stained })
	statistic(FirmnessOf, string(last.unit), func(e evidence) Statistic { return e.firmness })
	statistic(SolidsOf, brixUnit, func(e evidence) Statistic { return e.solids })
	statistic(RedOf, percentUnit, func(e evidence) Statistic { return e.red })
	for _, unit := range groundScales(season) {
		statistic(GroundOf, unit, func(e evidence) Statistic { return e.groundOn(unit) })
	}
	unit := v.streifUnit(last.unit)
	add(StreifOf, streifName(unit, scale), func(e evidence) (estimate, int) {
		s := e.streif(unit)
		if s == nil || !sameScale(e) {
			return estimate{}, 0
		}
		return s.estimate(), s.OfFruit.N
	})
	return out
}

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
