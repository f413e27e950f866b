package scoring

import (
	"math"
	"time"

	"traystage/scoring/instrument"
	"traystage/scoring/trend"
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

// slack is by how much a mean may miss a limit and still read as it: half of the
// last digit that it is told with. 16 lb asked, 16.0 lb told.
func (t target) slack() float64 { return 0.5 * math.Pow10(-t.decimals) }

// ahead says how far v is beyond the limit on the way that fruit ripen; 0 where
// it reads as the limit.
func (t target) ahead(v float64, limit Limit) float64 {
	const hair = 1e-9 // that the computer rounds
	d := v - limit.Value
	if math.Abs(d) < t.slack()-hair {
		return 0
	}
	if !t.rising {
		return -d
	}
	return d
}

// side says how a value stands to the target. An optimum is never missed.
func (t target) side(v float64) State {
	switch {
	case t.point():
	case t.closes.Set && t.ahead(v, t.closes) > 0:
		return Past
	case t.opens.Set && t.ahead(v, t.opens) < 0:
		return TooEarly
	}
	return Open
}

// point says whether the target is a single figure, an optimum: a preference
// inside a window and never a limit, since no mean is exactly that.
func (t target) point() bool {
	return t.opens.Set && t.closes.Set && t.opens.Value == t.closes.Value
}

// subject is what the target is followed by: the clear share by the stained one.
func (t target) subject() subject {
	if t.quantity == ClearOf {
		return subject{quantity: StainedOf, unit: percentUnit}
	}
	return subject{t.quantity, t.unit, t.force}
}

// limits are the target's ends in the figures of its subject.
func (t target) limits() (opens, closes Limit) {
	if t.quantity == ClearOf {
		return t.opens.complement(), t.closes.complement()
	}
	return t.opens, t.closes
}

// judge holds what is followed against the target on a day; where it was never
// read, or cannot be compared, why says what is missing.
func (t target) judge(f *followed, on time.Time, why note.Note) Criterion {
	c := Criterion{Quantity: t.quantity, Unit: t.unit, Opens: t.opens, Closes: t.closes, target: t}
	c.Target = Range{From: t.opens, To: t.closes}
	if !t.rising {
		c.Target = Range{From: t.closes, To: t.opens}
	}
	if f == nil || f.keeps == nil || !why.IsZero() {
		c.Outcome, c.Side, c.Why = NotJudged, NoVerdict, why
		return c
	}
	c.Judged, c.follows = true, f.keeps
	c.stands(f)
	c.Side = t.side(c.Value)
	c.Margin = t.margin(c.Value)
	c.settle(on)
	c.doubt = f.doubt
	if !c.doubt.IsZero() && (c.Outcome == Met || c.Outcome == Missed) {
		c.Outcome = Unsure
	}
	c.Why = c.why()
	return c
}

// stands takes over what was read last and what stands on the day.
func (c *Criterion) stands(f *followed) {
	last := f.last()
	c.Read, c.Day, c.HasInterval = last.Mean, last.Day, last.HasInterval
	c.Value, c.Low, c.High = f.at.Value, f.at.Low, f.at.High
	if c.Quantity == ClearOf {
		c.Read, c.Value, c.Low, c.High = 100-c.Read, 100-c.Value, 100-c.High, 100-c.Low
	}
}

// settle finds how likely the block stands so to the target, and from that the
// outcome.
func (c *Criterion) settle(on time.Time) {
	if c.target.point() {
		c.Outcome, c.Chance = Aside, 1
		if c.Low <= c.Opens.Value && c.Opens.Value <= c.High {
			c.Outcome = Met
		}
		return
	}
	opens, closes := c.ends()
	w, err := trend.On(opens, closes, on)
	if err != nil { // a target that the quantity cannot have
		c.Judged, c.Outcome, c.Side = false, NotJudged, NoVerdict
		return
	}
	c.Chances = w.Chances
	chance := map[State]float64{TooEarly: w.Chances.Early, Open: w.Chances.Open, Past: w.Chances.Past}[c.Side]
	c.Chance = w.Chances.Open
	switch {
	case chance < trend.Sureness || !c.HasInterval:
		c.Outcome = Unsure
	case c.Side == Open:
		c.Outcome = Met
	default:
		c.Outcome = Missed
	}
}

// ends are what the criterion asks of its trend.
func (c Criterion) ends() (opens, closes []trend.Criterion) {
	if c.target.point() {
		return nil, nil
	}
	from, to := c.target.limits()
	if from.Set {
		opens = append(opens, trend.Criterion{Name: string(c.Quantity), Target: from.Value, Trend: c.follows, Slack: c.target.slack()})
	}
	if to.Set {
		closes = append(closes, trend.Criterion{Name: string(c.Quantity), Target: to.Value, Trend: c.follows, Slack: c.target.slack()})
	}
	return opens, closes
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

// nearlyOver says whether the block meets the target and may well be at its
// closing end already: one case in four.
func (c Criterion) nearlyOver() bool {
	const may = 0.25
	return c.Judged && c.Side == Open && c.target.closes.Set && !c.target.point() &&
		(c.target.ahead(c.Value, c.target.closes) == 0 || c.HasInterval && c.Chances.Past > may)
}

// criteria holds a block's season against what the row asks. extra marks a row
// that holds for all markets.
func (s Standard) criteria(f *following, extra bool) []Criterion {
	var out []Criterion
	add := func(t target, why note.Note) {
		t.extra = extra
		var found *followed
		if why.IsZero() {
			if found = f.of(t.subject()); found == nil {
				why = f.missing(t.quantity)
			}
		}
		out = append(out, t.judge(found, f.on, why))
	}
	if s.asksStage() {
		t, why := s.stageTarget(f)
		add(t, why)
	}
	if s.Firmness.Set() {
		in := func(l Limit) Limit {
			l.Value = instrument.Force{Value: l.Value, Unit: s.FirmnessUnit}.In(f.unit)
			return l
		}
		add(target{quantity: FirmnessOf, unit: string(f.unit), opens: in(s.Firmness.To), closes: in(s.Firmness.From), decimals: 1}, note.Note{})
	}
	if s.Solids.Set() {
		add(target{quantity: SolidsOf, unit: brixUnit, opens: s.Solids.From, closes: s.Solids.To, rising: true, decimals: 1}, note.Note{})
	}
	if s.Streif.Set() {
		t := target{quantity: StreifOf, unit: streifName(s.StreifUnit, s.Scale), opens: s.Streif.To, closes: s.Streif.From, decimals: streifDecimals(s.StreifUnit), force: s.StreifUnit}
		add(t, s.whyNoStreif(f.scale))
	}
	return out
}

// missing says why nothing is known of a quantity in the whole season.
func (f *following) missing(q Quantity) note.Note {
	switch q {
	case FirmnessOf:
		return f.evidence().whyNoFirmness()
	case SolidsOf:
		return note.New("unjudged.no_solids")
	case StreifOf:
		return note.New("unjudged.streif_parts")
	case StageOf:
		return note.New("unjudged.no_stage")
	}
	return note.New("unjudged.no_half")
}

// asksStage says whether the row asks for a stage, or a share of stain.
func (s Standard) asksStage() bool { return s.Opens.Set || s.Closes.Set }

// limitsStage says whether it sets a limit to it, and no optimum alone.
func (s Standard) limitsStage() bool {
	return s.asksStage() && !(s.Opens.Set && s.Closes.Set && s.Opens.Value == s.Closes.Value)
}

// tellsMaturity says whether the row tells mature fruit from immature by starch.
func (s Standard) tellsMaturity() bool {
	optimum := s.Streif.From.Set && s.Streif.To.Set && s.Streif.From.Value == s.Streif.To.Value
	return s.limitsStage() || s.Streif.Set() && !optimum
}

// stageTarget is the row's target for the stage, or for the share of flesh that
// is stained or clear, and why the block's stages cannot be held against it.
func (s Standard) stageTarget(f *following) (target, note.Note) {
	t := target{quantity: StageOf, unit: s.Scale, opens: s.Opens, closes: s.Closes, rising: true, decimals: 1}
	if stained, clear, ok := s.ends(); ok {
		t.rising = clear > stained
	}
	switch {
	case s.Scale == percentStained:
		t.quantity, t.unit, t.decimals = StainedOf, percentUnit, 0
	case s.Scale == percentClear:
		t.quantity, t.unit, t.decimals = ClearOf, percentUnit, 0
	case f.scale.Span() > 0 && !s.isScale(f.scale):
		return t, note.New("unjudged.other_scale", note.Name("standard", s.Scale), note.Name("block", scaleName(f.scale.Stained, f.scale.Clear)))
	}
	return t, note.Note{}
}
