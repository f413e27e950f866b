package scoring

import (
	"cmp"
	"slices"
	"time"

	"traystage/scoring/trend"
	"traystage/vision/note"
)

// settled is how a block stands to one row on a day.
type settled struct {
	state  State
	chance float64
	sure   bool
	window trend.Window // its days mean nothing where no trend tells any
	told   bool
}

// settle tells how a block stands to a row from its criteria: the state, its
// chance and the window come from one joint computation. A row that limits the
// stage opens nothing without one; an optimum limits nothing. days asks for the
// window's days too.
func (s Standard) settle(cs []Criterion, on time.Time, days bool) settled {
	var opens, closes []trend.Criterion
	var out settled
	unread, closing := false, false
	for _, c := range cs {
		if !c.Judged {
			unread = unread || !c.target.extra
			continue
		}
		from, to := c.ends()
		opens, closes = append(opens, from...), append(closes, to...)
		out.told = out.told || len(from)+len(to) > 0 && !c.follows.Held()
		closing = closing || c.nearlyOver()
		unread = unread || !c.HasInterval && !c.target.point()
	}
	between := trend.On
	if days {
		between = trend.Between
	}
	w, err := between(opens, closes, on)
	if err != nil {
		return settled{state: NoVerdict}
	}
	out.window, out.state, out.chance = w, stateOf(w.State), w.Chance
	out.sure = w.Sure && !onlySingles(cs) && !doubtful(cs, out.state)
	stage := slices.ContainsFunc(cs, func(c Criterion) bool { return c.Judged && c.isStage() })
	switch out.state {
	case Open, Closing:
		if s.limitsStage() && !stage {
			return settled{state: NoVerdict, window: w, told: out.told}
		}
		out.sure = out.sure && !unread && (s.tellsMaturity() || s.Stored)
		if !out.told && closing {
			out.state = Closing
		}
	case NoVerdict:
		out.sure = false
	}
	return out
}

// onlySingles says whether everything that was judged rests on single fruit.
func onlySingles(cs []Criterion) bool {
	return !slices.ContainsFunc(cs, func(c Criterion) bool { return c.Judged && c.HasInterval && !c.target.point() })
}

// doubtful says whether a state rests on what an instrument showed that had failed its
// check. What another criterion misses for sure on that side stands without it.
func doubtful(cs []Criterion, state State) bool {
	doubted := slices.ContainsFunc(cs, func(c Criterion) bool { return c.Judged && !c.doubt.IsZero() })
	without := slices.ContainsFunc(cs, func(c Criterion) bool { return c.Outcome == Missed && c.Side == state })
	return doubted && !without
}

func stateOf(s trend.State) State {
	switch s {
	case trend.NotYet:
		return TooEarly
	case trend.Open:
		return Open
	case trend.Closing:
		return Closing
	case trend.Past:
		return Past
	}
	return NoVerdict
}

// isStage says whether the criterion tells mature fruit from immature by starch.
func (c Criterion) isStage() bool {
	return c.Quantity == StageOf || c.Quantity == StainedOf || c.Quantity == ClearOf
}

// StandardsVary closes every verdict that a standard gave.
const StandardsVary note.Code = "verdict.standards_vary"

// decide holds a block's season against the standards of its variety. days asks
// for the days of windows: that of the block's own market is given back, nil
// where there is none.
func (f *following) decide(block Block, standards []Standard, days bool) (Verdict, *trend.Window) {
	rows, general := ofVariety(standards, block.Variety)
	own := rowFor(rows, block.Market)
	if own == nil && general {
		rows = nil // a general row holds only for the market that it names
	}
	v := Verdict{State: NoVerdict, Standard: own, General: own != nil && general}
	extras := slices.DeleteFunc(slices.Clone(rows), func(s Standard) bool { return s.Market != "" })
	var window *trend.Window
	if own != nil {
		v.Criteria = own.withExtras(extras, f)
		st := own.settle(v.Criteria, f.on, days)
		v.State, v.Chance, v.Sure, v.never = st.state, st.chance, st.sure, days && st.window.Never
		if st.told && days {
			window = &st.window
		}
	} else {
		v.Criteria = Standard{}.withExtras(extras, f)
	}
	v.Serves = serves(rows, own, extras, f)
	v.Why = v.reasons(block, rows)
	return v, window
}

// rowFor is the row for a market; nil when there is none or no market is named.
func rowFor(rows []Standard, market string) *Standard {
	for _, s := range rows {
		if s.Market != "" && plain(s.Market) == plain(market) {
			return &s
		}
	}
	return nil
}

// withExtras gives the row's criteria, and those of the rows for all markets
// where the row itself asks nothing.
func (s Standard) withExtras(extras []Standard, f *following) []Criterion {
	out := s.criteria(f, false)
	for _, extra := range extras {
		for _, c := range extra.criteria(f, true) {
			asked := func(o Criterion) bool { return o.Quantity == c.Quantity }
			if !slices.ContainsFunc(out, asked) {
				out = append(out, c)
			}
		}
	}
	return out
}

// serves tells how the block stands to each market of its variety. Besides the
// block's own, only those for fruit of the harvest that ask for starch count:
// firmness or sugar alone do not tell that fruit are mature.
func serves(rows []Standard, own *Standard, extras []Standard, f *following) []Service {
	var out []Service
	for _, s := range rows {
		isOwn := own != nil && s.key() == own.key()
		if s.Market == "" || !isOwn && (s.Stored || !s.tellsMaturity()) {
			continue
		}
		cs := s.withExtras(extras, f)
		st := s.settle(cs, f.on, false)
		if st.state == NoVerdict && !isOwn {
			continue
		}
		out = append(out, Service{Market: s.Market, Standard: s, State: st.state, Now: st.state, Sure: st.sure, Why: decisive(cs), criteria: cs, told: st.told})
	}
	return out
}

// decisive is what decides a state: the first of the reasons.
func decisive(cs []Criterion) note.Note {
	if sorted := byWeight(cs); len(sorted) > 0 {
		return sorted[0].Why
	}
	return note.Note{}
}

// byWeight orders criteria as reasons are given: what is past, what is too early,
// what is missing, what is met. Of each comes first what is least likely met: it
// decides, or is the nearest to turning.
func byWeight(cs []Criterion) []Criterion {
	weight := func(c Criterion) int {
		switch {
		case c.Judged && c.Side == Past:
			return 0
		case c.Judged && c.Side == TooEarly:
			return 1
		case !c.Judged && !c.target.extra:
			return 2
		case c.Judged:
			return 3
		}
		return 4
	}
	sorted := slices.Clone(cs)
	slices.SortStableFunc(sorted, func(a, b Criterion) int {
		return cmp.Or(cmp.Compare(weight(a), weight(b)), cmp.Compare(a.Chance, b.Chance))
	})
	return sorted
}

// reasons tells why the verdict is what it is, most weighty first.
func (v Verdict) reasons(block Block, rows []Standard) []note.Note {
	if v.Standard == nil {
		return []note.Note{noStandard(block, rows)}
	}
	var out []note.Note
	if v.never && v.has(Past) && v.has(TooEarly) {
		out = append(out, note.New("verdict.never", note.Name("market", v.Standard.Market)))
	}
	for _, c := range byWeight(v.Criteria) {
		out = append(out, c.Why)
	}
	if !v.Standard.tellsMaturity() && !v.Standard.Stored {
		out = append(out, note.New("verdict.no_maturity"))
	}
	if slices.ContainsFunc(v.Criteria, func(c Criterion) bool { return c.target.point() }) {
		out = append(out, note.New("verdict.optimum"))
	}
	if v.State != NoVerdict {
		out = append(out, v.servesNote())
	}
	if v.General {
		out = append(out, note.New("verdict.general", note.Name("variety", block.Variety), note.Name("row", v.Standard.Row())))
	}
	return append(out, note.New(StandardsVary))
}

func (v Verdict) has(side State) bool {
	return slices.ContainsFunc(v.Criteria, func(c Criterion) bool { return c.Judged && c.Side == side })
}

func (v Verdict) servesNote() note.Note {
	markets := v.Markets()
	if len(markets) == 0 {
		return note.New("verdict.serves_none")
	}
	return note.New("verdict.serves", note.Names("markets", markets))
}

// noStandard tells why there is no verdict and what the grower can do.
func noStandard(block Block, rows []Standard) note.Note {
	var markets []string
	for _, s := range rows {
		if s.Market != "" {
			markets = append(markets, s.Market)
		}
	}
	switch {
	case len(markets) == 0:
		return note.New("verdict.no_standard", note.Notes("block", named(block)))
	case block.Market == "":
		return note.New("verdict.no_market", note.Name("variety", block.Variety), note.Names("markets", markets))
	}
	return note.New("verdict.other_markets", note.Notes("block", named(block)), note.Names("markets", markets))
}

// named is variety and market of a block as far as it has them.
func named(block Block) note.Note {
	switch {
	case block.Variety == "":
		return note.New("block.no_variety")
	case block.Market == "":
		return note.New("block.variety", note.Name("variety", block.Variety))
	}
	return note.New("block.variety_for", note.Name("variety", block.Variety), note.Name("market", block.Market))
}
