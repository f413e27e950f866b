package scoring

import (
	"testing"
	"time"

	"traystage/scoring/trend"
	"traystage/vision/note"
)

// criterionOf is a criterion on a mean that was read on the day.
func criterionOf(t target, found estimate) Criterion {
	if !found.known {
		return t.judge(nil, time.Time{}, note.New("unjudged.no_firmness"))
	}
	day := time.Date(2026, time.September, 14, 0, 0, 0, 0, time.UTC)
	f := followed{Series: Series{Points: []DayMean{found.point(day, 10)}}, at: trend.Estimate{Value: found.value, Low: found.low, High: found.high}}
	c := Criterion{Quantity: t.quantity, Unit: t.unit, Opens: t.opens, Closes: t.closes, Judged: true, target: t}
	c.Target = Range{From: t.opens, To: t.closes}
	if !t.rising {
		c.Target = Range{From: t.closes, To: t.opens}
	}
	if t.quantity == ClearOf {
		f.at.Value = 100 - f.at.Value
	}
	c.stands(&f)
	c.Side, c.Margin = t.side(c.Value), t.margin(c.Value)
	return c
}

// A mean that is another on the day than it was read says both.
func TestCriterionTellsWhatWasRead(t *testing.T) {
	c := criterionOf(target{quantity: SolidsOf, unit: brixUnit, opens: At(11.5), rising: true, decimals: 1},
		estimate{known: true, value: 12, hasInterval: true, low: 11.8, high: 12.2})
	c.Read, c.Outcome = 11.7, Met
	want := "soluble solids 12.0 °Brix are 0.5 above the 11.5 asked at least (11.7 °Brix was read on 14 September)"
	if got := say(c.why()); got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// What is told of a mean and a target, in every way that they can stand.
func TestCriterionInWords(t *testing.T) {
	sure := func(v float64) estimate {
		return estimate{known: true, value: v, hasInterval: true, low: v - 0.01, high: v + 0.01}
	}
	wide := func(v, low, high float64) estimate {
		return estimate{known: true, value: v, hasInterval: true, low: low, high: high}
	}
	stage := target{quantity: StageOf, unit: "1-8", opens: At(3), closes: At(6), rising: true, decimals: 1}
	mature := target{quantity: StageOf, unit: "1-8", opens: At(3), rising: true, decimals: 1}
	stain := target{quantity: StainedOf, unit: "%", opens: At(60), closes: At(40)}
	fallen := target{quantity: StageOf, unit: "6-1", closes: At(2), decimals: 1}
	firm := target{quantity: FirmnessOf, unit: "lbf", closes: At(16), decimals: 1}
	soft := target{quantity: FirmnessOf, unit: "lbf", opens: At(16), closes: At(13), decimals: 1}
	sweet := target{quantity: SolidsOf, unit: brixUnit, opens: At(11.5), rising: true, decimals: 1}
	below := target{quantity: FirmnessOf, unit: "lbf", opens: At(23), decimals: 1}
	optimum := target{quantity: StreifOf, unit: "kgf, 1-10", opens: At(0.09), closes: At(0.09), decimals: 3}
	for _, row := range []struct {
		target  target
		found   estimate
		side    State
		outcome Outcome
		want    string
	}{
		{stage, sure(4.4), Open, Met, "stage 4.4 is within 3.0 to 6.0, 1.4 from the nearer end"},
		{stage, sure(5.2), Open, Met, "stage 5.2 is within 3.0 to 6.0, 0.8 from the nearer end"},
		{stage, wide(6, 6, 6), Open, Met, "stage 6.0 is just within 3.0 to 6.0"},
		{stage, sure(2.4), TooEarly, Missed, "stage 2.4 has 0.6 to go to 3.0, where the standard opens"},
		{stage, sure(6.5), Past, Missed, "stage 6.5 is 0.5 past 6.0, where the standard closes"},
		{stage, wide(2.8, 2.3, 3.3), TooEarly, Unsure, "stage 2.8 has 0.2 to go to 3.0, where the standard opens, but the block's mean may lie anywhere from 2.3 to 3.3"},
		{stage, wide(2.98, 2.5, 3.46), Open, Unsure, "stage 3.0 is just within 3.0 to 6.0, but the block's mean may lie anywhere from 2.5 to 3.5"},
		{stage, wide(2.5, 1.96, 3.04), TooEarly, Unsure, "stage 2.50 has 0.50 to go to 3.00, where the standard opens, but the block's mean may lie anywhere from 1.96 to 3.04"},
		{stage, wide(4.5, 2.5, 6.5), Open, Unsure, "stage 4.5 is within 3.0 to 6.0, 1.5 from the nearer end, but the block's mean may lie anywhere from 2.5 to 6.5"},
		{stage, wide(2.9, 2.5, 6.5), TooEarly, Unsure, "stage 2.9 has 0.1 to go to 3.0, where the standard opens, but the block's mean may lie anywhere from 2.5 to 6.5"},
		{stage, estimate{known: true, value: 4}, Open, Unsure, "stage 4.0 is within 3.0 to 6.0, 1.0 from the nearer end, but a single fruit does not tell how sure that is"},
		{stage, estimate{}, NoVerdict, NotJudged, "firmness was not read"},
		{mature, sure(4.6), Open, Met, "stage 4.6 is 1.6 past 3.0, where the standard opens"},
		{fallen, sure(3), Open, Met, "stage 3.0 has 1.0 to go to 2.0, where the standard closes"},
		{fallen, sure(1.5), Past, Missed, "stage 1.5 is 0.5 past 2.0, where the standard closes"},
		{stain, sure(55), Open, Met, "stained share 55 % is within 40 to 60, 5 from the nearer end"},
		{stain, sure(66), TooEarly, Missed, "stained share 66 % has 6 to go to 60, where the standard opens"},
		{stain, sure(31), Past, Missed, "stained share 31 % is 9 past 40, where the standard closes"},
		{firm, sure(17.2), Open, Met, "firmness 17.2 lbf is 1.2 above the 16.0 asked at least"},
		{firm, wide(16, 16, 16), Open, Met, "firmness 16.0 lbf is just the least asked"},
		{firm, sure(15.9), Past, Missed, "firmness 15.9 lbf is 0.1 below the 16.0 asked at least"},
		{soft, sure(16.4), TooEarly, Missed, "firmness 16.4 lbf is 0.4 above the 16.0 allowed at most"},
		{soft, sure(12.5), Past, Missed, "firmness 12.5 lbf is 0.5 below the 13.0 asked at least"},
		{below, sure(22), Open, Met, "firmness 22.0 lbf is 1.0 below the 23.0 allowed at most"},
		{below, wide(23, 23, 23), Open, Met, "firmness 23.0 lbf is just the most allowed"},
		{sweet, sure(11), TooEarly, Missed, "soluble solids 11.0 °Brix are 0.5 below the 11.5 asked at least"},
		{optimum, wide(0.1, 0.08, 0.12), Open, Met, "Streif index 0.100 stands 0.010 from the optimum 0.090"},
		{optimum, wide(0.1, 0.095, 0.105), Open, Aside, "Streif index 0.100 stands 0.010 from the optimum 0.090"},
		{optimum, wide(0.08, 0.075, 0.085), Open, Aside, "Streif index 0.080 stands 0.010 from the optimum 0.090"},
	} {
		c := criterionOf(row.target, row.found)
		c.Outcome = row.outcome
		if c.Judged {
			c.Why = c.why()
		}
		if c.Side != row.side || c.Outcome != row.outcome || say(c.Why) != row.want {
			t.Errorf("%s, %s: %q\n  want %s, %s: %q", c.Side, c.Outcome, say(c.Why), row.side, row.outcome, row.want)
		}
	}
}
