package calibrate

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"
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
	what    string
}

// decide comes to a verdict: the worst of all findings, told by the first two of
// that kind. Findings holds them all.
func (c *Check) decide() {
	found := slices.Concat(c.onTray(), c.onGraded(), c.onPlates(), c.onDrift())
	c.Verdict, c.PhotoNext = FitForUse, c.photoNext()
	var why []string
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
		why = []string{c.praise()}
	}
	c.Findings = nil
	for _, f := range found {
		c.Findings = append(c.Findings, f.what)
	}
	c.Why = string(c.Verdict) + ": " + strings.Join(why[:min(2, len(why))], "; ")
	if c.PhotoNext != "" {
		c.Why += "; " + c.PhotoNext
	}
}

// praise says what speaks for a set.
func (c *Check) praise() string {
	if c.Tray != nil {
		return fmt.Sprintf("it is off by %.2f stage on average on a tray that it does not know", c.Tray.MeanAbs)
	}
	return fmt.Sprintf("it is off by %.2f stage on average on graded trays that it does not know", c.Graded.MeanAbs)
}

// offBy judges the errors of halves on trays unknown to the path.
func (c *Check) offBy(e Errors, of string) []finding {
	span := c.Scale.Span()
	what := fmt.Sprintf("it is off by %.2f stage on average on %s", e.MeanAbs, of)
	if math.Abs(e.Bias) > 0.5*e.MeanAbs {
		what += fmt.Sprintf(", mostly too %s (%+.2f)", c.side(e.Bias), e.Bias)
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

// side says in words to which end stages are off.
func (c *Check) side(off float64) string {
	if (off > 0) == (c.Scale.Clear > c.Scale.Stained) {
		return "clear"
	}
	return "stained"
}

func (c *Check) onTray() []finding {
	if c.Tray == nil {
		return nil
	}
	out := c.offBy(c.Tray.Errors, "this tray")
	if tooFew(c.Tray.Inside, c.Tray.N) {
		out = append(out, finding{WithCare, fmt.Sprintf("only %d of %d grades of this tray lie in the 90 %% intervals", c.Tray.Inside, c.Tray.N)})
	}
	return out
}

func (c *Check) onGraded() []finding {
	var out []finding
	if c.Needed > 0 {
		out = append(out, finding{WithCare, fmt.Sprintf("its 90 %% intervals rest on no grades: %s", needed(c.Needed))})
	}
	out = append(out, c.offBy(c.Graded, "graded trays that it does not know")...)
	if v := c.Coverage; v != nil && tooFew(v.Inside, v.N) {
		out = append(out, finding{WithCare, fmt.Sprintf("only %d of %d grades lie in the 90 %% intervals of a set without their tray", v.Inside, v.N)})
	}
	thin := 0.0
	for _, g := range c.Thin {
		thin += math.Abs(g.To - g.From)
	}
	if thin > thinAtMost*c.Scale.Span() {
		out = append(out, finding{WithCare, fmt.Sprintf("hardly a half was graded on %.0f %% of the scale", 100*thin/c.Scale.Span())})
	}
	if n := len(c.Suspects); n > 0 {
		s, v := c.Suspects[0], WithCare
		if c.gross() >= mostGross {
			v = DoNotUse // one may slip in, two show that nobody looked
		}
		out = append(out, finding{v, fmt.Sprintf("%d grades are far from what their halves look like, first %s, graded %.1f and called %.1f", n, s.Source, s.Graded, s.Called)})
	}
	for _, g := range c.Graders {
		if g.Others != nil && math.Abs(g.Others.Bias) > doubtfulShare*c.Scale.Span() {
			out = append(out, finding{WithCare, fmt.Sprintf("%s grades %+.2f stage against the others", graderName(g.By), g.Others.Bias)})
		}
	}
	return out
}

func needed(more int) string {
	if more == 1 {
		return "1 more graded half is needed"
	}
	return fmt.Sprintf("%d more graded halves are needed", more)
}

func (c *Check) onPlates() []finding {
	out := c.offBy(c.Plates, "its own plates, each left out in turn")
	if len(c.Disorder) > 0 {
		out = append(out, finding{WithCare, c.Disorder[0]})
	}
	if c.Graded.N == 0 && len(c.Gaps) > 0 {
		out = append(out, finding{WithCare, fmt.Sprintf("it has no plate between stage %g and stage %g", c.Gaps[0].From, c.Gaps[0].To)})
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
func (c *Check) photoNext() string {
	off := c.Tray != nil && c.Tray.MeanAbs > uselessShare*c.Scale.Span()
	switch {
	case off:
		return "make a set from plates of this variety, or add this tray and more like it"
	case len(c.Thin) > 0:
		return fmt.Sprintf("grade halves between stage %.1f and stage %.1f next", c.Thin[0].From, c.Thin[0].To)
	case len(c.Gaps) > 0:
		return fmt.Sprintf("photograph halves between stage %.1f and stage %.1f next", c.Gaps[0].From, c.Gaps[0].To)
	case c.Needed > 0:
		return "grade a tray of halves of all stages next"
	case c.Coverage == nil:
		return "grade a second tray in another light next"
	}
	return ""
}
