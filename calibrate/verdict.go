package calibrate

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"traystage/vision/note"
)

// Verdict is whether a set may be used.
type Verdict string

const (
	FitForUse Verdict = "fit for use"
	WithCare  Verdict = "usable with care"
	DoNotUse  Verdict = "do not use"
)

// The thresholds of a verdict. Graders of one sample differ by about half
// a stage of eight (common practice, no source): a set that errs by more is of no
// use, one that errs by half as much wants care.
const (
	uselessShare  = floorShare
	doubtfulShare = floorShare / 2
	// thinAtMost of the scale may lack graded halves: three of seven stages, as
	// the fruit of one week leave.
	thinAtMost = 3.0/7 + 1e-9
	// mostGross grossly misread grades spoil a set until they are corrected: they widen
	// its intervals, and where the halves' numbers have slipped there are more to come.
	mostGross = 2
	// rare is the probability below which a coverage is put down to more than
	// chance.
	rare = 0.025
)

// AddTray judges a graded tray that the set does not hold, so that it tells how
// the set does on fruit it has not seen. It fails where the set cannot be
// fitted, holds one of the halves, or would not take it.
func (c *Check) AddTray(s Set, halves []Graded) error {
	if len(halves) == 0 {
		return fmt.Errorf("%s: the tray has no graded half", s.title())
	}
	if slices.Contains(photosOf(s.Graded), halves[0].Photo) {
		return fmt.Errorf("%s holds this tray already: check it with one that it does not know, or without a tray", s.title())
	}
	with, err := s.Grade(Again, halves...)
	if err != nil {
		return err
	}
	halves = with.Graded[len(s.Graded):]
	p, err := Fit(s)
	if err != nil {
		return err
	}
	t := TrayCheck{}
	var called, graded, off []float64
	var names []string
	for _, h := range halves {
		call, stage := p.Call(h.Seen), h.Stage()
		called, graded = append(called, call.Stage), append(graded, stage)
		off, names = append(off, call.Stage-stage), append(names, h.Source)
		if call.Low <= stage && stage <= call.High {
			t.Inside++
		}
	}
	t.Errors = errorsOf(off, names)
	t.Agreement = agreement(called, graded, s.Scale)
	c.Tray = &t
	c.decide()
	return nil
}

// finding is one thing against a set.
type finding struct {
	verdict Verdict
	what    note.Note
}

// decide comes to a verdict: the worst of all findings, told by the first two of
// that kind. Findings holds them all.
func (c *Check) decide() {
	found := slices.Concat(c.onTray(), c.onGraded(), c.onPlates(), c.onDrift())
	c.Verdict, c.PhotoNext = FitForUse, c.photoNext()
	var why []note.Note
	for _, v := range []Verdict{DoNotUse, WithCare} {
		for _, f := range found {
			if f.verdict == v {
				why = append(why, f.what)
			}
		}
		if why != nil {
			c.Verdict = v
			break
		}
	}
	if c.Verdict == FitForUse {
		why = []note.Note{c.praise()}
	}
	c.Findings = nil
	for _, f := range found {
		c.Findings = append(c.Findings, f.what)
	}
	why = note.Once(append(slices.Clone(why[:min(2, len(why))]), c.PhotoNext)...)
	c.Why = note.New("set.verdict", note.Term("verdict", "set_verdict", c.Verdict), note.Notes("why", why...))
}

// praise says what speaks for a set.
func (c *Check) praise() note.Note {
	if c.Tray != nil {
		return off(setOff, c.Tray.Errors, note.New("set.of_a_tray"))
	}
	return off(setOff, c.Graded, note.New("set.of_graded"))
}

// Codes of how far calls are off on something: to either side, or mostly to one.
const (
	setOff        note.Code = "set.off"
	setOffClear   note.Code = "set.off_clear"
	setOffStained note.Code = "set.off_stained"
)

func off(code note.Code, e Errors, of note.Note) note.Note {
	return note.New(code, note.Figure("off", e.MeanAbs, 2, ""), note.Notes("of", of), note.Figure("bias", e.Bias, 2, ""))
}

// offBy judges the errors of halves on trays unknown to the path.
func (c *Check) offBy(e Errors, of note.Note) []finding {
	span := c.Scale.Span()
	what := off(setOff, e, of)
	if math.Abs(e.Bias) > 0.5*e.MeanAbs {
		what = off(c.side(e.Bias), e, of)
	}
	switch {
	case e.N == 0:
		return nil
	case e.MeanAbs > uselessShare*span:
		return []finding{{DoNotUse, what}}
	case e.MeanAbs > doubtfulShare*span:
		return []finding{{WithCare, what}}
	}
	return nil
}

// side says to which end stages are off.
func (c *Check) side(off float64) note.Code {
	if (off > 0) == (c.Scale.Clear > c.Scale.Stained) {
		return setOffClear
	}
	return setOffStained
}

func (c *Check) onTray() []finding {
	if c.Tray == nil {
		return nil
	}
	out := c.offBy(c.Tray.Errors, note.New("set.of_this_tray"))
	if tooFew(c.Tray.Inside, c.Tray.N) {
		out = append(out, finding{WithCare, note.New("set.tray_outside", note.Count("inside", c.Tray.Inside), note.Count("of", c.Tray.N))})
	}
	return out
}

func (c *Check) onGraded() []finding {
	var out []finding
	if c.Needed > 0 {
		out = append(out, finding{WithCare, note.New("set.needs_grades", note.Count("n", c.Needed))})
	}
	out = append(out, c.offBy(c.Graded, note.New("set.of_graded"))...)
	if v := c.Coverage; v != nil && tooFew(v.Inside, v.N) {
		out = append(out, finding{WithCare, note.New("set.grades_outside", note.Count("inside", v.Inside), note.Count("of", v.N))})
	}
	thin := 0.0
	for _, g := range c.Thin {
		thin += math.Abs(g.To - g.From)
	}
	if thin > thinAtMost*c.Scale.Span() {
		out = append(out, finding{WithCare, note.New("set.thin", note.Share("share", thin/c.Scale.Span()))})
	}
	if n := len(c.Suspects); n > 0 {
		s, v := c.Suspects[0], WithCare
		if c.gross() >= mostGross {
			v = DoNotUse // one may slip in, two show that nobody looked
		}
		out = append(out, finding{v, note.New("set.suspects", note.Count("n", n), note.Name("first", s.Source), note.Stage("graded", s.Graded), note.Stage("called", s.Called))})
	}
	for _, g := range c.Graders {
		if g.Others != nil && math.Abs(g.Others.Bias) > doubtfulShare*c.Scale.Span() {
			out = append(out, finding{WithCare, note.New(graderStrays(g.By), note.Name("by", g.By), note.Figure("bias", g.Others.Bias, 2, ""))})
		}
	}
	return out
}

// graderStrays says of a grader, with or without initials, that they stray from
// the others.
func graderStrays(by string) note.Code {
	if by == "" {
		return setSomeoneStrays
	}
	return setGraderStrays
}

const (
	setGraderStrays  note.Code = "set.grader_strays"
	setSomeoneStrays note.Code = "set.someone_strays"
)

func (c *Check) onPlates() []finding {
	out := c.offBy(c.Plates, note.New("set.of_plates"))
	if len(c.Disorder) > 0 {
		out = append(out, finding{WithCare, c.Disorder[0]})
	}
	if c.Graded.N == 0 && len(c.Gaps) > 0 {
		out = append(out, finding{WithCare, note.New("set.gap", note.Stage("from", c.Gaps[0].From), note.Stage("to", c.Gaps[0].To))})
	}
	return out
}

// tooFew says whether so few of n intervals of 90 % hold that it is hardly
// chance.
func tooFew(inside, n int) bool {
	if inside >= n {
		return false
	}
	return distuv.Binomial{N: float64(n), P: 1 - miss}.CDF(float64(inside)) < rare
}

// photoNext says what would help most.
func (c *Check) photoNext() note.Note {
	off := c.Tray != nil && c.Tray.MeanAbs > uselessShare*c.Scale.Span()
	switch {
	case off:
		return note.New("set.next_other_set")
	case len(c.Thin) > 0:
		return note.New("set.next_grade", note.Stage("from", c.Thin[0].From), note.Stage("to", c.Thin[0].To))
	case len(c.Gaps) > 0:
		return note.New("set.next_photograph", note.Stage("from", c.Gaps[0].From), note.Stage("to", c.Gaps[0].To))
	case c.Needed > 0:
		return note.New("set.next_tray")
	case c.Coverage == nil:
		return note.New("set.next_light")
	}
	return note.Note{}
}
