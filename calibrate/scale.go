package calibrate

import (
	"errors"
	"fmt"
	"math"
)

// Scale is the scale of stages of one set. Its direction is its own: Stained
// may be the larger number.
type Scale struct {
	Stained float64 `json:"stained"` // stage of a half that is all stained
	Clear   float64 `json:"clear"`   // stage of a half without stain
	Step    float64 `json:"step"`    // what a grader can tell apart, such as 0.1
}

// Contains says whether the stage lies on the scale, ends included.
func (s Scale) Contains(stage float64) bool {
	return stage >= math.Min(s.Stained, s.Clear) && stage <= math.Max(s.Stained, s.Clear)
}

// Span is the length of the scale in stages, such as 7 for 1 to 8.
func (s Scale) Span() float64 { return math.Abs(s.Clear - s.Stained) }

// Validate says what is wrong with the scale.
func (s Scale) Validate() error {
	for _, v := range []float64{s.Stained, s.Clear, s.Step} {
		if math.IsNaN(v) || math.Abs(v) > maxStage {
			return fmt.Errorf("scale: %g is not a stage: give numbers such as 1 and 8", v)
		}
	}
	if s.Stained == s.Clear {
		return errors.New("scale: its two ends are the same: give the stages of an all stained and of a clear half")
	}
	if s.Step <= 0 || s.Step > s.Span() {
		return fmt.Errorf("scale: a step of %g does not fit %g to %g: 0.1 is usual", s.Step, s.Stained, s.Clear)
	}
	return nil
}

// maxStage is far beyond any scale in use; it keeps sums of stages finite.
const maxStage = 1000

// position is how far the stage lies from the stained end, in stages.
func (s Scale) position(stage float64) float64 { return math.Abs(stage - s.Stained) }

// stageAt is the stage so far from the stained end; beyond an end it is that end,
// to the last digit.
func (s Scale) stageAt(position float64) float64 {
	if position <= 0 {
		return s.Stained
	}
	if position >= s.Span() {
		return s.Clear
	}
	if s.Clear < s.Stained {
		return s.Stained - position
	}
	return s.Stained + position
}
