package scoring

import (
	"math"

	"traystage/calibrate"
)

// Bin is one column of the histogram of stages.
type Bin struct {
	Stage     float64 // its middle, stages
	Low, High float64 // its ends on the scale, Low < High
	Count     int     // fruit whose stage lies in it
}

// bins counts the stages around the marks of the scale, from Stained to Clear:
// the column of stage 3 holds what a grader would round to 3. A stage on the
// border of two columns counts in the one nearer to Clear.
func bins(scored []Fruit, scale calibrate.Scale) []Bin {
	span := math.Abs(scale.Clear - scale.Stained)
	if !(span > 0) || math.IsInf(span, 0) {
		return nil
	}
	width := binWidth(span)
	signed := math.Copysign(width, scale.Clear-scale.Stained)
	out := make([]Bin, 1+int(math.Ceil(span/width-1e-9)))
	for i := range out {
		mid := scale.Stained + float64(i)*signed
		out[i] = Bin{Stage: mid, Low: mid - width/2, High: mid + width/2}
	}
	for _, f := range scored {
		i := int(math.Floor((f.Stage()-scale.Stained)/signed + 0.5))
		out[min(max(i, 0), len(out)-1)].Count++
	}
	return out
}

// mostBins keeps columns wide enough to be read on a phone.
const mostBins = 12

// binWidth is one stage on scales with 3 to 12 of them, as nearly all have;
// else the smallest of 1, 2, 5, 10, ... (or their tenths) that gives at most
// twelve columns.
func binWidth(span float64) float64 {
	if span >= 3 && span < mostBins {
		return 1
	}
	power := math.Pow(10, math.Floor(math.Log10(span/mostBins)))
	for _, step := range []float64{1, 2, 5} {
		if span/(step*power) < mostBins {
			return step * power
		}
	}
	return 10 * power
}
