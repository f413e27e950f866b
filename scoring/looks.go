package scoring

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// looks lists the fruit that wait for the grower's eye, and those whose call
// alone could turn the verdict: these first, then those that could move the mean
// the most. What a person has looked at is not listed again.
func (e evidence) looks(block Block, standards []Standard, now Verdict) []Look {
	var out []Look
	for _, f := range e.sample.Fruit() {
		if !f.Scored() || f.Review != nil {
			continue
		}
		look := Look{Fruit: f.Number, Reason: slices.Clone(f.Call.Reasons)}
		for _, stage := range []float64{f.Call.Low, f.Call.High} {
			shift := (stage - f.Call.Stage) / float64(e.stage.N)
			look.Shift = max(look.Shift, math.Abs(shift))
			if turned := decide(block, standards, e.shifted(shift)); !look.Turns && turned.outcome() != now.outcome() {
				look.Turns = true
				look.Reason = append(look.Reason, fmt.Sprintf("if it is really at stage %s, the block %s", Tenth(stage), turned.outcome()))
			}
		}
		if look.Turns || f.Call.Borderline {
			out = append(out, look)
		}
	}
	slices.SortStableFunc(out, func(a, b Look) int {
		if a.Turns != b.Turns {
			if a.Turns {
				return -1
			}
			return 1
		}
		return cmp.Compare(b.Shift, a.Shift)
	})
	return out
}

// shifted is the evidence with the mean stage moved.
func (e evidence) shifted(by float64) evidence {
	e.stage.Mean += by
	e.stage.Low += by
	e.stage.High += by
	return e
}

// outcome is what a verdict comes to, in words that follow "the block". Whether
// it is open or closing already turns nothing.
func (v Verdict) outcome() string {
	var words []string
	switch v.State {
	case NoVerdict:
	case Open, Closing:
		words = append(words, "is open for "+v.Standard.Market)
	default:
		words = append(words, fmt.Sprintf("is %s for %s", v.State, v.Standard.Market))
	}
	if markets := v.Markets(); len(markets) > 0 {
		words = append(words, "serves "+list(markets))
	} else {
		words = append(words, "serves no market of its variety")
	}
	return strings.Join(words, " and ")
}
