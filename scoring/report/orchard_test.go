package report

import (
	"testing"
	"time"

	"traystage/scoring"
	"traystage/scoring/trend"
	"traystage/vision/note"
)

// larkfieldOutlook is an outlook on five invented blocks: one that closes, one
// that is open, one too early without a known end, one with a single sample and
// one without any.
func larkfieldOutlook(t testing.TB) Outlook {
	t.Helper()
	today := day(time.September, 16)
	block := func(name, market string, harvest time.Time, samples ...scoring.Sample) scoring.BlockReport {
		b := scoring.Block{Name: name, Variety: "Gala", Market: market, Harvest: harvest}
		for i := range samples {
			samples[i].Block = name
		}
		r, err := scoring.Assess(b, samples, standards, checks, scoring.Options{Orchard: "Larkfield", Today: today, Program: "traystage 0.1.0"})
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	o := Outlook{Program: "traystage 0.1.0", Outlook: scoring.Rank([]scoring.BlockReport{
		block("North 3", "long CA", day(time.September, 12), season()...),
		block("Mill Row", "long CA", day(time.September, 10),
			visit{on: day(time.September, 7), stage: 3.3, firm: 17.4, sweet: 11.8}.sample(""), visit{on: day(time.September, 14), stage: 3.9, firm: 16.8, sweet: 12.2}.sample("")),
		block("Far Orchard by the brook", "fresh", day(time.September, 24),
			visit{on: day(time.September, 7), stage: 2.3, firm: 18, sweet: 11}.sample(""), visit{on: day(time.September, 14), stage: 2.8, firm: 17.5, sweet: 11.3}.sample("")),
		block("Hill Top", "fresh", day(time.September, 28), visit{on: day(time.September, 14), stage: 2.1, bare: true}.sample("")),
		block("Lane End", "", time.Time{}),
	}, today)}
	edge := func(by string, target float64, at, low, high time.Time) trend.Edge {
		reach := trend.Reached
		if at.IsZero() {
			reach = trend.NotInTime
		}
		return trend.Edge{By: by, Forecast: trend.Forecast{Target: target, Reach: reach, Day: at, Low: low, High: high}}
	}
	var open time.Time
	windows := map[string]trend.Window{
		"North 3": *northBlock(t).Window,
		"Mill Row": {
			State: trend.Closing, Chance: 0.7, On: today,
			Opens:  edge("stage", 2, day(time.August, 25), open, day(time.September, 1)),
			Closes: edge("stage", 4, day(time.September, 17), day(time.September, 15), day(time.September, 19)),
		},
		"Far Orchard by the brook": {
			State: trend.NotYet, Chance: 0.99, On: today,
			Opens:  edge("stage", 4, day(time.September, 26), day(time.September, 22), day(time.October, 3)),
			Closes: edge("stage", 6.5, open, open, open),
		},
	}
	for i := range o.Blocks {
		o.Blocks[i].Window = nil
		if w, ok := windows[o.Blocks[i].Block.Name]; ok {
			o.Blocks[i].Window = &w
		}
	}
	return o
}

func larkfieldPlan() Plan {
	return Plan{Orchard: "Larkfield", Day: day(time.September, 16), Program: "traystage 0.1.0", Errands: []scoring.Errand{
		{Block: scoring.Block{Name: "Lane End", Variety: "Idared"}, Due: day(time.September, 12), Fruit: 10, Why: note.New("due.overdue", note.Count("n", 4), note.Notes("why", note.New("due.no_harvest")))},
		{Block: north3, Due: day(time.September, 17), Last: day(time.September, 14), Fruit: 14, Why: note.New("due.state", note.Term("state", "state", scoring.Open))},
	}}
}
