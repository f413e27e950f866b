package scoring

import "traystage/scoring/instrument"

// Limit is one end of a target; the zero Limit asks nothing.
type Limit struct {
	Value float64
	Set   bool
}

// At is the limit at a value.
func At(value float64) Limit { return Limit{value, true} }

// Standard is the target of one variety for one market: one row of a table of
// standards.
type Standard struct {
	Row     string // names the row for reports, such as "gala/long CA"
	Variety string // cultivar, or "any"
	Market  string // what the fruit is meant for

	// Scale is the scale of the stages: "1-8" and the like for a starch index
	// from all stained to clear, or "percent stained", "percent clear" for the
	// share of stained or clear flesh in per cent.
	Scale string
	// Opens is the stage from which fruit may be picked, Closes the stage at
	// which the window ends, in the order in which fruit pass through them.
	Opens, Closes Limit

	Firmness  Limit           // least mean firmness
	FirmnessU instrument.Unit // unit of Firmness
	Solids    Limit           // least mean soluble solids, °Brix
	Streif    [2]Limit        // from (the lower figure), to; see StreifUnit
	StreifU   instrument.Unit // unit of the firmness in the index

	Source string // author, title, year
	Note   string // what to mind about the row
}
