package trend

import (
	"errors"
	"fmt"
	"math"

	"traystage/calibrate"
)

// Course says how a quantity changes while fruit ripen: along which curve, and
// which way. Stage, Falling and Rising make one.
type Course struct {
	scale calibrate.Scale // of an S-curve; the zero Scale for a straight line
	sign  float64         // of a straight line: 1 rising, -1 falling; 0 for an S-curve
}

// Stage is the course of a block's mean stage: an S-curve from the stained to
// the clear end of the scale, whichever of them is the larger number. Fruit
// clear slowly at first and at last, and no mean passes an end of its scale, as
// a straight line would.
//
// Source: Peirs et al., Postharvest Biology and Technology 26, 2002, 199-207,
// fitted a sigmoid to the starch index before harvest (from memory); the Gala
// of 2024 in TestShapes.
func Stage(scale calibrate.Scale) Course { return Course{scale: scale} }

// Falling is the course of what falls evenly, such as firmness, in any unit.
//
// Source: Lau and Lane, HortScience 33, 1998, give the loss of firmness on the
// tree as so much force a week.
func Falling() Course { return Course{sign: -1} }

// Rising is the course of what rises evenly, such as soluble solids.
func Rising() Course { return Course{sign: 1} }

func (c Course) curved() bool { return c.sign == 0 }

// validate says what is wrong with the course.
func (c Course) validate() error {
	if c == (Course{}) {
		return errors.New("no course: make one with Stage, Falling or Rising")
	}
	if c.curved() {
		return c.scale.Validate()
	}
	return nil
}

// per is how many units of the quantity one unit of progress is, with sign.
// Progress is the share cleared for stages, and the quantity itself, turned so
// that it rises, for the others.
func (c Course) per() float64 {
	if c.curved() {
		return c.scale.Clear - c.scale.Stained
	}
	return c.sign
}

// progress is how far along the course a value lies; it always grows as fruit
// ripen.
func (c Course) progress(value float64) float64 {
	if c.curved() {
		return (value - c.scale.Stained) / c.per()
	}
	return value * c.sign
}

// value undoes progress.
func (c Course) value(progress float64) float64 {
	if c.curved() {
		return c.scale.Stained + progress*c.per()
	}
	return progress * c.sign
}

// bend gives progress, and how fast it grows, at a height of the straight line
// beneath the course: the line itself, or for stages the logistic curve
// 1 / (1 + exp(-height)).
func (c Course) bend(height float64) (progress, growth float64) {
	if !c.curved() {
		return height, 1
	}
	p := 1 / (1 + math.Exp(-height))
	return p, p * (1 - p)
}

// height undoes bend; it is infinite at the ends of a scale.
func (c Course) height(progress float64) float64 {
	if !c.curved() {
		return progress
	}
	return math.Log(progress / (1 - progress))
}

// steepest is the growth of progress where it is fastest, half way.
func (c Course) steepest() float64 {
	_, growth := c.bend(0)
	return growth
}

// checkValue refuses a value that the course cannot have.
func (c Course) checkValue(what string, value float64) error {
	if math.IsNaN(value) || math.Abs(value) > largest {
		return fmt.Errorf("%s: %g is not a value that can be read", what, value)
	}
	if c.curved() && !c.scale.Contains(value) {
		return fmt.Errorf("%s: stage %g is not on the scale %g to %g: was it read on another scale?",
			what, value, c.scale.Stained, c.scale.Clear)
	}
	return nil
}

// largest is beyond any reading in any unit; it keeps sums of squares finite.
const largest = 1e6
