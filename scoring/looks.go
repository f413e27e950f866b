package scoring

import (
	"cmp"
	"math"
	"slices"

	"traystage/vision/note"
)

// looks lists the fruit that wait for the grower's eye, and those whose call
// alone could turn the verdict: these first, then those that could move the mean
// the most. What a person has looked at is not listed again.
func (f *following) looks(block Block, standards []Standard, now Verdict) []Look {
	var out []Look
	e := f.evidence()
	for _, one := range e.sample.Fruit() {
		if !one.Scored() || one.Review != nil {
			continue
		}
		look := Look{Fruit: one.Number, Reason: slices.Clone(one.Call.Reasons)}
		for _, stage := range []float64{one.Call.Low, one.Call.High} {
			shift := (stage - one.Call.Stage) / float64(e.stage.N)
			look.Shift = max(look.Shift, math.Abs(shift))
			if turned, _ := f.shifted(shift).decide(block, standards, false); !look.Turns && !turned.outcome().Equal(now.outcome()) {
				look.Turns = true
				look.Reason = append(look.Reason, note.New("look.turns", note.Stage("stage", stage), note.Notes("outcome", turned.outcome())))
			}
		}
		if look.Turns || one.Call.Borderline {
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

// outcome is what a verdict comes to. Whether it is open or closing already turns
// nothing.
func (v Verdict) outcome() note.Note {
	served := note.New("look.serves_none")
	if markets := v.Markets(); len(markets) > 0 {
		served = note.New("look.serves", note.Names("markets", markets))
	}
	state := v.State
	switch state {
	case NoVerdict:
		return served
	case Closing:
		state = Open
	}
	return note.New("look.both", note.Notes("both",
		note.New("look.state", note.Term("state", "state", state), note.Name("market", v.Standard.Market)), served))
}
