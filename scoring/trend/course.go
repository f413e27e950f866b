package trend

import (
	"errors"
	"fmt"
	"math"

	"traystage/calibrate"
)

// Course says how a quantity changes while fruit ripen: between which ends, and
// which way. Stage, Falling, Rising and Index make one.
type Course struct {
	kind  kind
	scale calibrate.Scale // of stages; else the zero Scale
}

type kind int

const (
	stages kind = iota + 1
	falling
	rising
	index
)

// Stage is the course of a block's mean stage, from the stained to the clear end
// of the scale, whichever of them is the larger number. It passes neither end.
// Whether fruit clear evenly or slowly at first and at last is left to the
// samples: see belief.
func Stage(scale calibrate.Scale) Course { return Course{stages, scale} }

// Falling is the course of what falls evenly, such as firmness, in any unit.
//
// Source: Lau and Lane, HortScience 33, 1998, give the loss of firmness on the
// tree as so much force a week.
func Falling() Course { return Course{kind: falling} }

// Rising is the course of what rises evenly, such as soluble solids.
func Rising() Course { return Course{kind: rising} }

// Index is the course of what falls by the same part of itself every day, such
// as the Streif index, a quotient: it stays above 0. Its uncertainties are given
// in its own unit all the same.
func Index() Course { return Course{kind: index} }

func (c Course) curved() bool { return c.kind == stages }

// validate says what is wrong with the course.
func (c Course) validate() error {
	switch c.kind {
	case stages:
		return c.scale.Validate()
	case falling, rising, index:
		return nil
	}
	return errors.New("no course: make one with Stage, Falling, Rising or Index")
}

// checkValue refuses a value that the course cannot have.
func (c Course) checkValue(what string, value float64) error {
	switch {
	case math.IsNaN(value) || math.Abs(value) > largest:
		return fmt.Errorf("%s: %g is not a value that can be read", what, value)
	case c.curved() && !c.scale.Contains(value):
		return fmt.Errorf("%s: stage %g is not on the scale %g to %g: was it read on another scale?",
			what, value, c.scale.Stained, c.scale.Clear)
	case c.kind == index && value <= 0:
		return fmt.Errorf("%s: an index of %g cannot be: it is above 0", what, value)
	}
	return nil
}

// largest is beyond any reading in any unit; it keeps sums of squares finite.
const largest = 1e6

// measure turns values into progress, which always grows as fruit ripen: the
// share cleared of stages, the value as a part of its usual size of what runs in
// a line, the logarithm of an index.
type measure struct {
	course Course
	unit   float64 // of the quantity that one of progress is, with the sign of the change; of an index -1
}

// newMeasure fits the measure to values of about a size.
func newMeasure(c Course, size float64) measure {
	switch c.kind {
	case stages:
		return measure{c, c.scale.Clear - c.scale.Stained}
	case rising:
		return measure{c, max(size, tiny)}
	case index:
		return measure{c, -1}
	}
	return measure{c, -max(size, tiny)}
}

const tiny = 1e-9 // keeps what is divided by above 0

func (m measure) progress(value float64) float64 {
	switch m.course.kind {
	case stages:
		return (value - m.course.scale.Stained) / m.unit
	case index:
		return -math.Log(max(value, tiny))
	}
	return value / m.unit
}

// value undoes progress.
func (m measure) value(progress float64) float64 {
	switch m.course.kind {
	case stages:
		return m.course.scale.Stained + progress*m.unit
	case index:
		return math.Exp(-progress)
	}
	return progress * m.unit
}

// spread is an uncertainty of a value in progress.
func (m measure) spread(standard, value float64) float64 {
	if m.course.kind == index {
		return standard / max(value, tiny)
	}
	return standard / math.Abs(m.unit)
}

// per is how fast the value changes with progress, with the sign of the change.
func (m measure) per(progress float64) float64 {
	if m.course.kind == index {
		return -math.Exp(-progress)
	}
	return m.unit
}
