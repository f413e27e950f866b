package scoring

import (
	"fmt"
	"math"

	"traystage/calibrate"
)

// warnings says in words what the reader must know beside the mean.
func warnings(s Summary, scored []Fruit, ref Reference) []string {
	var out []string
	add := func(text string) {
		if text != "" {
			out = append(out, text)
		}
	}
	add(fewFruit(s.N))
	if !ref.Calibrated {
		add("the reference set is not calibrated: every stage may be off by the same amount, and more fruit do not help")
	}
	add(unscored(s.Unscored))
	add(atEnd(scored, ref.Scale))
	add(apart(s, scored))
	add(tooWide(s))
	return out
}

func fewFruit(n int) string {
	switch {
	case n == 0:
		return "no half was scored, so there is no mean"
	case n == 1:
		return fmt.Sprintf("one fruit has no spread, so the mean has no interval; cut at least %d", FewestFruit)
	case n < FewestFruit:
		return fmt.Sprintf("only %d fruit were scored; cut at least %d from a block", n, FewestFruit)
	}
	return ""
}

func unscored(numbers []int) string {
	switch len(numbers) {
	case 0:
		return ""
	case 1:
		return fmt.Sprintf("half %d has no stage and is not in the mean", numbers[0])
	}
	return fmt.Sprintf("halves %s have no stage and are not in the mean", Numbers(numbers))
}

// atEnd warns when half the fruit or more lie where the scale no longer tells
// them apart: the mean then moves less than the block does.
func atEnd(scored []Fruit, scale calibrate.Scale) string {
	for _, end := range []float64{scale.Stained, scale.Clear} {
		count := 0
		for _, f := range scored {
			if math.Abs(f.Stage()-end) <= scale.Step/2 {
				count++
			}
		}
		if count > 0 && 2*count >= len(scored) {
			return fmt.Sprintf("%d of %d fruit lie at stage %s, the end of the scale, where it no longer tells them apart",
				count, len(scored), Tenth(end))
		}
	}
	return ""
}

func apart(s Summary, scored []Fruit) string {
	if s.Outlier == nil {
		return ""
	}
	for _, f := range scored {
		if f.Number == s.Outlier.Number {
			return fmt.Sprintf("fruit %d, at stage %s, stands apart from the rest; it is in the mean all the same: look whether it was called rightly",
				f.Number, Tenth(f.Stage()))
		}
	}
	return ""
}

// tooWide says what would make the mean as sure as was asked for.
func tooWide(s Summary) string {
	switch {
	case !s.HasInterval() || s.Needed != 0 && s.Needed <= s.N:
		return ""
	case s.Needed == 0 && s.Common*tQuantile(0.5+Confidence/2, math.Inf(1)) >= s.Wanted:
		return fmt.Sprintf("more fruit alone cannot make the mean sure to ± %s: calibrate the reference set", Tenth(s.Wanted))
	case s.Needed == 0:
		return fmt.Sprintf("the fruit differ so much that no sample of usual size makes the mean sure to ± %s", Tenth(s.Wanted))
	}
	return fmt.Sprintf("a mean sure to ± %s would take about %d fruit like these", Tenth(s.Wanted), s.Needed)
}
