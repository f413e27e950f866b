package scoring

import "traystage/scoring/instrument"

// Limit is one end of a target; the zero Limit asks nothing.
type Limit struct {
	Value float64
	Set   bool
}

// At is the limit at a value.
func At(value float64) Limit { return Limit{value, true} }

// Range is a target with two ends, both of which still meet it.
type Range struct{ From, To Limit } // From.Value <= To.Value where both are set

// Set says whether the range asks anything.
func (r Range) Set() bool { return r.From.Set || r.To.Set }

// AnyVariety is the variety of a general row: it holds for a variety that has
// no row of its own, and only for a block whose market the row names.
const AnyVariety = "any"

// Standard is the target of one variety for one market: one row of a table of
// standards.
type Standard struct {
	Variety string // cultivar, or AnyVariety
	Market  string // what the fruit is meant for
	// Stored marks a target for fruit that come out of the store. It is not held
	// against fruit of the harvest unless their market is this one.
	Stored bool

	// Scale is the scale of the stages: "1-8" and the like for a starch index
	// from all stained to clear, "percent stained" or "percent clear" for the
	// share of flesh in per cent, or the name of a chart.
	Scale string
	// Opens is the stage from which fruit may be picked, Closes the last stage at
	// which they still serve, in the order in which fruit pass through them.
	Opens, Closes Limit

	Firmness     Range           // of the mean firmness, 11 mm tip
	FirmnessUnit instrument.Unit // unit of Firmness
	Solids       Range           // of the mean soluble solids, °Brix
	Streif       Range           // of the Streif index with stages on Scale
	StreifUnit   instrument.Unit // unit of the firmness in the index; empty when the source does not say

	Source string // author, title, year
	Note   string // what to mind about the row
	Table  string // the table that the row stands in, as reports name it
	Line   int    // its line there, from 1
}

// Row names the row for reports, such as "Gala / long CA".
func (s Standard) Row() string { return s.Variety + " / " + s.Market }
