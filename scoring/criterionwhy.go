package scoring

import (
	"math"

	"traystage/vision/note"
)

// why tells the outcome with its figures.
func (c Criterion) why() note.Note {
	d := c.decimals()
	unit := c.Unit
	if c.Quantity == StageOf || c.Quantity == StreifOf {
		unit = "" // goes without saying
	}
	stands := note.New(c.standing(),
		note.Term("quantity", "quantity", c.Quantity), note.Figure("value", c.Value, d, unit),
		note.Figure("distance", math.Abs(c.Margin), d, ""), note.Figure("end", c.nearerEnd(), d, ""))
	for name, end := range map[string]Limit{"from": c.Target.From, "to": c.Target.To} {
		if end.Set {
			stands = stands.And(note.Figure(name, end.Value, d, ""))
		}
	}
	stands = c.dated(stands, d, unit)
	switch {
	case !c.doubt.IsZero():
		return note.New("criterion.failed_check", note.Notes("what", stands), note.Notes("check", c.doubt))
	case c.Outcome != Unsure:
		return stands
	case !c.HasInterval:
		return note.New("criterion.single_fruit", note.Notes("what", stands))
	}
	return note.New("criterion.unsure", note.Notes("what", stands), note.Figure("low", c.Low, d, ""), note.Figure("high", c.High, d, ""))
}

// dated adds what was read last, where the mean of the day is another figure.
func (c Criterion) dated(stands note.Note, d int, unit string) note.Note {
	if fixed(c.Read, d) == fixed(c.Value, d) {
		return stands
	}
	return note.New("criterion.read", note.Notes("what", stands), note.Figure("read", c.Read, d, unit), note.Day("day", c.Day))
}

// decimals are as many as the quantity is told with, and more where figures that
// differ would read alike: a mean just short of its target, an interval that
// just reaches across.
func (c Criterion) decimals() int {
	const most = 3
	alike := func(d int) bool {
		if c.Margin != 0 && fixed(math.Abs(c.Margin), d) == fixed(0, d) {
			return true
		}
		for _, end := range []Limit{c.Opens, c.Closes} {
			crossed := end.Set && c.Outcome == Unsure && c.Low < end.Value && end.Value < c.High
			if text := fixed(end.Value, d); crossed && (fixed(c.Low, d) == text || fixed(c.High, d) == text) {
				return true
			}
		}
		return false
	}
	d := c.target.decimals
	for d < min(c.target.decimals+2, most) && alike(d) {
		d++
	}
	return d
}

// nearerEnd is the end of the target that the distance is from.
func (c Criterion) nearerEnd() float64 {
	opens, closes := math.Inf(1), math.Inf(1)
	if c.Opens.Set {
		opens = math.Abs(c.Value - c.Opens.Value)
	}
	if c.Closes.Set {
		closes = math.Abs(c.Value - c.Closes.Value)
	}
	if closes < opens || c.Side == Past {
		return c.Closes.Value
	}
	return c.Opens.Value
}

// standing is how the mean stands to its target: the code that says so.
func (c Criterion) standing() note.Code {
	switch {
	case c.target.point():
		return CriterionOptimum // a preference, never a limit
	case c.Side == Open:
		return c.inside()
	case c.target.ripeness() && c.Side == TooEarly:
		return CriterionBeforeOpening
	case c.target.ripeness():
		return CriterionPastClosing
	case c.Target.From.Set && c.Value < c.Target.From.Value:
		return CriterionBelowLeast
	}
	return CriterionAboveMost
}

// inside is standing for a mean that meets its target.
func (c Criterion) inside() note.Code {
	switch both := c.Target.From.Set && c.Target.To.Set; {
	case both && c.Margin == 0:
		return CriterionJustWithin
	case both:
		return CriterionWithin
	case c.target.ripeness() && c.Opens.Set:
		return CriterionPastOpening
	case c.target.ripeness():
		return CriterionBeforeClosing
	case c.Margin == 0 && c.Target.From.Set:
		return CriterionJustLeast
	case c.Margin == 0:
		return CriterionJustMost
	case c.Target.From.Set:
		return CriterionAboveLeast
	}
	return CriterionBelowMost
}

// Codes of how a mean stands to its target.
const (
	CriterionOptimum       note.Code = "criterion.optimum"
	CriterionJustWithin    note.Code = "criterion.just_within"
	CriterionWithin        note.Code = "criterion.within"
	CriterionPastOpening   note.Code = "criterion.past_opening"
	CriterionBeforeOpening note.Code = "criterion.before_opening"
	CriterionBeforeClosing note.Code = "criterion.before_closing"
	CriterionPastClosing   note.Code = "criterion.past_closing"
	CriterionJustLeast     note.Code = "criterion.just_least"
	CriterionJustMost      note.Code = "criterion.just_most"
	CriterionAboveLeast    note.Code = "criterion.above_least"
	CriterionBelowLeast    note.Code = "criterion.below_least"
	CriterionAboveMost     note.Code = "criterion.above_most"
	CriterionBelowMost     note.Code = "criterion.below_most"
)
