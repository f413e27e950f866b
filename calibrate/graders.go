package calibrate

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
)

// graderChecks looks at each grader; called are the stages of the halves.
func graderChecks(scale Scale, halves []Graded, called []float64) []GraderCheck {
	var names []string
	for _, g := range halves {
		for _, by := range g.graders() {
			if !slices.Contains(names, by) {
				names = append(names, by)
			}
		}
	}
	var out []GraderCheck
	for _, by := range names {
		out = append(out, graderCheck(scale, halves, by, called))
	}
	return out
}

func graderCheck(scale Scale, halves []Graded, by string, called []float64) GraderCheck {
	c := GraderCheck{By: by}
	var own, calls, shared, others []float64
	squares := 0.0
	for i, g := range halves {
		byGrader := g.byGrader()
		readings := byGrader[by]
		if len(readings) == 0 {
			continue
		}
		mean := stat.Mean(readings, nil)
		own, calls = append(own, mean), append(calls, called[i])
		for _, r := range readings {
			squares += sq(r - mean)
		}
		c.Repeats += len(readings) - 1
		var rest []float64
		for _, other := range g.graders() {
			if other != by {
				rest = append(rest, stat.Mean(byGrader[other], nil))
			}
		}
		if len(rest) > 0 {
			shared, others = append(shared, mean), append(others, stat.Mean(rest, nil))
		}
	}
	c.Halves = len(own)
	if c.Repeats > 0 {
		c.Repeatability = math.Sqrt(squares / float64(c.Repeats))
	}
	c.Calls, c.Others = agreement(own, calls, scale), agreement(shared, others, scale)
	return c
}
