package scoring

import (
	"cmp"
	"slices"

	"traystage/vision/note"
)

// settle gives the state of a block from its criteria on a row, and whether the
// means behind it leave no other. closing is told apart from open only here.
//
// What is past cannot come back, so one criterion past decides; else one that is
// too early does. A row that asks for a stage opens nothing without one.
func (s Standard) settle(cs []Criterion) (State, bool) {
	var past, early, judged, closing bool
	unread, may := false, sides{open: true}
	for _, c := range cs {
		if !c.Judged {
			unread = unread || !c.target.extra
			continue
		}
		judged = true
		past = past || c.Side == Past
		early = early || c.Side == TooEarly
		closing = closing || c.nearlyOver()
		may = may.and(c.may())
	}
	stageUnread := s.asksStage() && !slices.ContainsFunc(cs, func(c Criterion) bool { return c.Judged && c.isStage() })
	sure := may.count() == 1
	switch {
	case past:
		return Past, sure
	case early:
		return TooEarly, sure
	case !judged || stageUnread:
		return NoVerdict, false
	}
	sure = sure && !unread && (s.tellsMaturity() || s.Stored)
	if closing {
		return Closing, sure
	}
	return Open, sure
}

// and says how a block may stand that may stand so to one target and so to
// another: past if it is past either, too early if it is not past and too early
// for either.
func (s sides) and(o sides) sides {
	notPast := (s.early || s.open) && (o.early || o.open)
	return sides{
		past:  s.past || o.past,
		early: notPast && (s.early || o.early),
		open:  s.open && o.open,
	}
}

// isStage says whether the criterion tells mature fruit from immature by starch.
func (c Criterion) isStage() bool {
	return c.Quantity == StageOf || c.Quantity == StainedOf || c.Quantity == ClearOf
}

// StandardsVary closes every verdict that a standard gave.
const StandardsVary note.Code = "verdict.standards_vary"

// decide holds a sample against the standards of the block's variety.
func decide(block Block, standards []Standard, e evidence) Verdict {
	rows, general := ofVariety(standards, block.Variety)
	own := rowFor(rows, block.Market)
	if own == nil && general {
		rows = nil // a general row holds only for the market that it names
	}
	v := Verdict{State: NoVerdict, Standard: own, General: own != nil && general}
	extras := slices.DeleteFunc(slices.Clone(rows), func(s Standard) bool { return s.Market != "" })
	if own != nil {
		v.Criteria = own.withExtras(extras, e)
		v.State, v.Sure = own.settle(v.Criteria)
	} else {
		v.Criteria = Standard{}.withExtras(extras, e)
	}
	v.Serves = serves(rows, own, extras, e)
	v.Why = v.reasons(block, rows)
	return v
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
func (s Standard) withExtras(extras []Standard, e evidence) []Criterion {
	out := s.criteria(e, false)
	for _, extra := range extras {
		for _, c := range extra.criteria(e, true) {
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
func serves(rows []Standard, own *Standard, extras []Standard, e evidence) []Service {
	var out []Service
	for _, s := range rows {
		isOwn := own != nil && s.key() == own.key()
		if s.Market == "" || !isOwn && (s.Stored || !s.tellsMaturity()) {
			continue
		}
		cs := s.withExtras(extras, e)
		state, sure := s.settle(cs)
		if state == NoVerdict && !isOwn {
			continue
		}
		out = append(out, Service{Market: s.Market, Standard: s, State: state, Sure: sure, Why: decisive(cs), criteria: cs})
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
// what is missing, what is unsure or nearly over, what is met; of each first
// what is sure.
func byWeight(cs []Criterion) []Criterion {
	weight := func(c Criterion) int {
		switch {
		case c.Judged && c.Side == Past:
			return 0
		case c.Judged && c.Side == TooEarly:
			return 1
		case !c.Judged && !c.target.extra:
			return 2
		case c.Judged && (c.Outcome == Unsure || c.nearlyOver()):
			return 3
		case c.Judged:
			return 4
		}
		return 5
	}
	sorted := slices.Clone(cs)
	slices.SortStableFunc(sorted, func(a, b Criterion) int {
		return cmp.Or(
			cmp.Compare(weight(a), weight(b)),
			cmp.Compare(order(a.Outcome), order(b.Outcome)),
		)
	})
	return sorted
}

// order puts what is missed before what may be.
func order(o Outcome) int {
	if o == Missed {
		return 0
	}
	return 1
}

// reasons tells why the verdict is what it is, most weighty first.
func (v Verdict) reasons(block Block, rows []Standard) []note.Note {
	if v.Standard == nil {
		return []note.Note{noStandard(block, rows)}
	}
	var out []note.Note
	if v.has(Past) && v.has(TooEarly) {
		out = append(out, note.New("verdict.never", note.Name("market", v.Standard.Market)))
	}
	for _, c := range byWeight(v.Criteria) {
		out = append(out, c.Why)
	}
	if !v.Standard.tellsMaturity() && !v.Standard.Stored {
		out = append(out, note.New("verdict.no_maturity"))
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
