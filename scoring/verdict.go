package scoring

import (
	"time"

	"traystage/scoring/trend"
	"traystage/vision/note"
)

// State is how a block stands to its market.
type State string

const (
	TooEarly  State = "too early"  // it does not meet the standard yet
	Open      State = "open"       // it meets the standard
	Closing   State = "closing"    // it meets the standard, but not for long
	Past      State = "past"       // it no longer meets the standard
	NoVerdict State = "no verdict" // there is nothing to judge by
)

// Outcome says whether a target is met.
type Outcome string

const (
	Met       Outcome = "met"
	Aside     Outcome = "aside" // away from an optimum, which is no limit
	Missed    Outcome = "missed"
	Unsure    Outcome = "unsure"     // the interval of the mean reaches across the target
	NotJudged Outcome = "not judged" // nothing was read, or it cannot be compared; see Criterion.Why
)

// Criterion is one target of the standard and how the sample stands to it.
type Criterion struct {
	Quantity Quantity
	Unit     string // of all its figures: the scale of stages, "lbf", "°Brix", "%", "kgf, 1-10" of a Streif index
	Target   Range  // in figures of Unit, the lower first
	Opens    Limit  // the end of Target that is passed first as fruit ripen
	Closes   Limit  // the end that is passed last

	Judged      bool      // false: what follows up to Chances means nothing
	Read        float64   // mean of the sample that read it last
	Day         time.Time // of that sample
	HasInterval bool      // false for a single fruit: then nothing is sure
	Value       float64   // the block's mean on the day of the verdict, by all its samples
	Low, High   float64   // 90 % interval of Value
	Chance      float64   // that the block meets the target on that day
	Chances     trend.Chances

	Outcome Outcome
	Side    State     // how Value alone stands: TooEarly, Open or Past; NoVerdict when not judged
	Margin  float64   // distance of Value to the nearest end that is set, 0 or more inside Target, negative outside
	Why     note.Note // the outcome with its figures

	target  target
	follows *trend.Trend
	doubt   note.Note // of an instrument that failed its check; zero for none
}

// Service is how the block stands to one market.
type Service struct {
	Market   string
	Standard Standard
	State    State     // on the day of the report
	Sure     bool      // as of a Verdict
	Why      note.Note // what decides

	Now State // State
	// Late is how it stands on the day after the window of the block's own
	// market closes; empty when that day is not known.
	Late State

	criteria []Criterion
	told     bool // a trend tells when it turns
}

// Verdict is how a block stands to its market, and why.
type Verdict struct {
	State  State
	Chance float64 // how likely State is right, Open and Closing taken as one; without meaning for NoVerdict
	// Sure is whether Chance is at least trend.Sureness and everything that the
	// standard asks for was read.
	Sure     bool
	Standard *Standard // what it was judged by; nil for none
	General  bool      // Standard is a general row: there is none for the variety
	Criteria []Criterion
	// Serves holds the variety's markets, the block's own among them, in the
	// order of the table; empty when there is no standard for the variety.
	Serves []Service
	Why    []note.Note // most weighty first

	never bool // it is all but ruled out that the block ever meets the standard
}

// Foremost are the two weightiest reasons, as people are told them beside what to
// do.
func (v Verdict) Foremost() []note.Note {
	var out []note.Note
	for _, why := range v.Why {
		if why.Code != StandardsVary && len(out) < 2 {
			out = append(out, why)
		}
	}
	return out
}

// Markets gives the markets that the block meets the standard of.
func (v Verdict) Markets() []string {
	var out []string
	for _, s := range v.Serves {
		if s.State == Open || s.State == Closing {
			out = append(out, s.Market)
		}
	}
	return out
}
