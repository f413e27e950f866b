package scoring

import (
	"math"

	"traystage/calibrate"
	"traystage/vision/note"
)

// FewestFruit is the least sample a block is judged on.
//
// Source: Michigan State University Extension, Starch Index Scale, 2023 (ten
// fruit minimum per block).
const FewestFruit = 10

// Summary is what the scored fruit of one sample say together. Stages are
// unrounded.
type Summary struct {
	N         int     // scored fruit
	Mean      float64 // mean stage; without meaning when N is 0
	SD        float64 // sample standard deviation, divisor N-1; without meaning below N 2
	Low, High float64 // 90 % interval of the block's mean, cut at the ends of the scale; see HasInterval

	Sampling float64 // standard uncertainty from sampling and independent measuring error, SD/√N
	Common   float64 // standard uncertainty that all stages share

	Wanted float64 // half width of the interval that was asked for, stages
	Needed int     // fruit that Wanted would take; 0 when no number does or N is below 2

	Bins       []Bin       // histogram over the whole scale, from its stained to its clear end
	Outlier    *Outlier    // the fruit that stands apart; nil when none does
	Borderline []int       // numbers of the fruit that wait for the grower's eye, in reading order
	Unscored   []int       // numbers of the fruit without a stage, in reading order
	Warnings   []note.Note // most weighty first
}

// HasInterval says whether SD, Low and High mean anything: one fruit has no
// spread.
func (s Summary) HasInterval() bool { return s.N >= 2 }

// Summarize describes one sample. Only scored fruit count; the rest are listed.
// wanted is the precision the grower asks for, half the width of the mean's
// interval in stages; 0 means a fourteenth of the scale, half a stage on 1 to 8.
func Summarize(fruit []Fruit, ref Reference, wanted float64) Summary {
	if wanted <= 0 {
		wanted = math.Abs(ref.Scale.Clear-ref.Scale.Stained) / 14
	}
	s := Summary{Wanted: wanted, Common: ref.Common.Standard}
	var scored []Fruit
	var stages []value
	for _, f := range fruit {
		if !f.Scored() {
			s.Unscored = append(s.Unscored, f.Number)
			continue
		}
		scored = append(scored, f)
		stages = append(stages, value{f.Number, f.Stage()})
		if f.Open() {
			s.Borderline = append(s.Borderline, f.Number)
		}
	}
	s.N = len(scored)
	s.Bins = bins(scored, ref.Scale)
	s.spread(stages, ref)
	s.Outlier = findOutlier(stages, s.Mean, s.SD, bounds{ref.Scale.Stained, ref.Scale.Clear})
	s.Warnings = warnings(s, scored, ref)
	return s
}

// spread fills in mean, standard deviation and interval, as far as the number
// of stages allows.
func (s *Summary) spread(stages []value, ref Reference) {
	switch len(stages) {
	case 0:
		return
	case 1:
		s.Mean = stages[0].v
		return
	}
	s.Mean, s.SD = meanSD(stages)
	s.Sampling = s.SD / math.Sqrt(float64(s.N))
	width := meanInterval(s.SD, s.N, ref.Common, Confidence)
	s.Low = within(s.Mean-width, ref.Scale)
	s.High = within(s.Mean+width, ref.Scale)
	s.Needed, _ = FruitNeeded(s.SD, ref.Common, s.Wanted)
}

// within moves a stage that lies beyond the scale to its end.
func within(stage float64, scale calibrate.Scale) float64 {
	low, high := min(scale.Stained, scale.Clear), max(scale.Stained, scale.Clear)
	return min(max(stage, low), high)
}
