package scoring

import (
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

	Judged      bool    // false: Value, Low, High and Margin mean nothing
	Value       float64 // the sample's
	HasInterval bool    // false for a single fruit: Low and High mean nothing
	Low, High   float64 // 90 % interval of Value

	Outcome Outcome
	Side    State     // how the value alone stands: TooEarly, Open or Past; NoVerdict when not judged
	Margin  float64   // distance of Value to the nearest end that is set, 0 or more inside Target, negative outside
	Why     note.Note // the outcome with its figures

	target target
}

// Service is how the block stands to one market.
type Service struct {
	Market   string
	Standard Standard
	State    State
	Sure     bool      // no mean behind it is nearer to a target than it is sure, and all were read
	Why      note.Note // what decides

	Window *trend.Window // on the day of the report; nil without a trend
	Now    State         // State, moved on to the day of the report by Window
	// Late is how it stands on the day after the window of the block's own
	// market closes; empty when that day is not known.
	Late State

	criteria []Criterion
}

// Verdict is how a block stands to its market, and why.
type Verdict struct {
	State State
	// Sure is false when a mean behind the state lies nearer to its target than
	// it is sure, or when the standard asks for something that was not read.
	Sure     bool
	Standard *Standard // what it was judged by; nil for none
	General  bool      // Standard is a general row: there is none for the variety
	Criteria []Criterion
	// Serves holds the variety's markets, the block's own among them, in the
	// order of the table; empty when there is no standard for the variety.
	Serves []Service
	Why    []note.Note // most weighty first
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
