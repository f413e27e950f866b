package scoring

import (
	"math"

	"traystage/scoring/instrument"
	"traystage/vision/note"
)

// target is one end or two of a standard for one quantity.
type target struct {
	quantity      Quantity
	unit          string
	opens, closes Limit           // in the order in which fruit pass them
	rising        bool            // whether the quantity rises as fruit ripen
	decimals      int             // that its figures are told with
	extra         bool            // from a row that holds for all markets
	force         instrument.Unit // of a Streif index
}

// hair is the part of a limit, or of one unit, by which a mean may miss it
// through rounding in the computer and still meet it: 16 lb asked, 16 lb read.
const hair = 1e-9

// ahead says how far v is beyond the limit on the way that fruit ripen; within a
// hair it is 0.
func (t target) ahead(v float64, limit Limit) float64 {
	d := v - limit.Value
	if math.Abs(d) <= hair*max(1, math.Abs(limit.Value)) {
		return 0
	}
	if !t.rising {
		return -d
	}
	return d
}

// side says how a value stands to the target.
func (t target) side(v float64) State {
	switch {
	case t.closes.Set && t.ahead(v, t.closes) > 0:
		return Past
	case t.opens.Set && t.ahead(v, t.opens) < 0:
		return TooEarly
	}
	return Open
}

// point says whether the target is a single figure, an optimum: no mean is
// exactly that, so it is met when the interval of the mean holds it.
func (t target) point() bool {
	return t.opens.Set && t.closes.Set && t.opens.Value == t.closes.Value
}

// judge holds an estimate against the target; without one, why says what is
// missing.
func (t target) judge(e estimate, why note.Note) Criterion {
	c := Criterion{Quantity: t.quantity, Unit: t.unit, Opens: t.opens, Closes: t.closes, target: t}
	c.Target = Range{From: t.opens, To: t.closes}
	if !t.rising {
		c.Target = Range{From: t.closes, To: t.opens}
	}
	if !e.known {
		c.Outcome, c.Side, c.Why = NotJudged, NoVerdict, why
		return c
	}
	c.Judged, c.Value = true, e.value
	c.HasInterval, c.Low, c.High = e.hasInterval, e.low, e.high
	c.Side = t.side(e.value)
	c.Margin = t.margin(e.value)
	may := c.may()
	switch {
	case t.point() && e.hasInterval && may.open:
		c.Side, c.Outcome = Open, Met
	case may.count() > 1:
		c.Outcome = Unsure
	case c.Side == Open:
		c.Outcome = Met
	default:
		c.Outcome = Missed
	}
	c.Why = c.why()
	return c
}

// margin is the distance to the nearest end that is set, negative outside.
func (t target) margin(v float64) float64 {
	margin := math.Inf(1)
	if t.opens.Set {
		margin = min(margin, t.ahead(v, t.opens))
	}
	if t.closes.Set {
		margin = min(margin, -t.ahead(v, t.closes))
	}
	return margin
}

// ripeness says whether the target is on a measure of ripeness, which opens and
// closes, rather than on one of quality, of which so much is asked.
func (t target) ripeness() bool {
	switch t.quantity {
	case StageOf, StainedOf, ClearOf, StreifOf:
		return true
	}
	return false
}

// sides are the ways in which a block may stand to a target.
type sides struct{ early, open, past bool }

func (s sides) count() int {
	n := 0
	for _, may := range []bool{s.early, s.open, s.past} {
		if may {
			n++
		}
	}
	return n
}

// may says how the block may stand to the target, as far as the mean is sure. A
// mean without an interval may be anywhere.
func (c Criterion) may() sides {
	t := c.target
	if !c.HasInterval {
		return sides{t.opens.Set, true, t.closes.Set}
	}
	low, high := t.side(c.Low), t.side(c.High)
	is := func(s State) bool { return low == s || high == s }
	return sides{is(TooEarly), is(Open) || low != high, is(Past)}
}

// nearlyOver says whether the block meets the target and may be at its closing
// end already.
func (c Criterion) nearlyOver() bool {
	t := c.target
	if !c.Judged || c.Side != Open || !t.closes.Set || t.point() {
		return false
	}
	return t.ahead(c.Value, t.closes) == 0 || c.HasInterval && c.may().past
}

// criteria holds what is known of a sample against what the row asks. extra
// marks a row that holds for all markets.
func (s Standard) criteria(e evidence, extra bool) []Criterion {
	var out []Criterion
	add := func(t target, found estimate, why note.Note) {
		t.extra = extra
		out = append(out, t.judge(found, why))
	}
	if s.asksStage() {
		t, found, why := s.stageTarget(e)
		add(t, found, why)
	}
	if s.Firmness.Set() {
		in := func(l Limit) Limit {
			l.Value = instrument.Force{Value: l.Value, Unit: s.FirmnessUnit}.In(e.unit)
			return l
		}
		t := target{quantity: FirmnessOf, unit: string(e.unit), opens: in(s.Firmness.To), closes: in(s.Firmness.From), decimals: 1}
		add(t, e.firmness.estimate(), e.whyNoFirmness())
	}
	if s.Solids.Set() {
		t := target{quantity: SolidsOf, unit: brixUnit, opens: s.Solids.From, closes: s.Solids.To, rising: true, decimals: 1}
		add(t, e.solids.estimate(), note.New("unjudged.no_solids"))
	}
	if s.Streif.Set() {
		found, why := s.streifOf(e)
		t := target{quantity: StreifOf, unit: streifName(s.StreifUnit, s.Scale), opens: s.Streif.To, closes: s.Streif.From, decimals: streifDecimals(s.StreifUnit), force: s.StreifUnit}
		add(t, found, why)
	}
	return out
}

// asksStage says whether the row asks for a stage, or a share of stain.
func (s Standard) asksStage() bool { return s.Opens.Set || s.Closes.Set }

// tellsMaturity says whether the row tells mature fruit from immature by starch.
func (s Standard) tellsMaturity() bool { return s.asksStage() || s.Streif.Set() }

// stageTarget is the row's target for the stage, or for the share of flesh that
// is stained or clear, and what the sample has of it.
func (s Standard) stageTarget(e evidence) (target, estimate, note.Note) {
	t := target{quantity: StageOf, unit: s.Scale, opens: s.Opens, closes: s.Closes, rising: true, decimals: 1}
	if stained, clear, ok := s.ends(); ok {
		t.rising = clear > stained
	}
	switch {
	case s.Scale == percentStained:
		t.quantity, t.unit, t.decimals = StainedOf, percentUnit, 0
		return t, e.stained.estimate(), note.New("unjudged.no_half")
	case s.Scale == percentClear:
		t.quantity, t.unit, t.decimals = ClearOf, percentUnit, 0
		return t, e.stained.estimate().complement(), note.New("unjudged.no_half")
	case e.stage.N == 0:
		return t, estimate{}, note.New("unjudged.no_stage")
	case !s.isScale(e.scale):
		return t, estimate{}, note.New("unjudged.other_scale", note.Name("standard", s.Scale), note.Name("block", scaleName(e.scale.Stained, e.scale.Clear)))
	}
	return t, e.stage.estimate(), note.Note{}
}
