package scoring

import (
	"math"

	"traystage/calibrate"
	"traystage/scoring/trend"
)

// pace is how fast a variety clears half way, as published.
type pace struct {
	perDay float64 // of the whole scale
	spread float64 // standard deviation of its logarithm over blocks and years
	from   string
}

// paces are those of varieties that a source gives. The others take what is usual
// of all.
var paces = map[string]pace{
	// 3 stages of 7 in 7 to 10 days; 0.17 of the logit a day in 2024, which is
	// 0.30 stages half way; 0.17 stages a day over that whole season.
	"gala": {0.27 / 7, 0.4, "Michigan State University Extension, Apple maturity guidelines, 2006, and Southwest Michigan apple maturity report, 4 September 2024"},
	// 1.4 of 9 a week.
	"sunrise": {1.4 / 7 / 9, 0.4, "Lau and Lane, HortScience 33, 1998"},
}

// publishedRate is the rate of a variety on a scale; nil where no source gives one.
func publishedRate(variety string, scale calibrate.Scale) *trend.Prior {
	p, ok := paces[plain(variety)]
	if !ok || scale.Span() == 0 {
		return nil
	}
	rate := p.perDay * (scale.Clear - scale.Stained)
	return &trend.Prior{Rate: rate, Standard: math.Abs(rate) * math.Sqrt(math.Expm1(p.spread*p.spread)), From: p.from}
}
