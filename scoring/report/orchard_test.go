package report

import (
	"testing"
	"time"

	"traystage/scoring"
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
	o.Windows = map[string]Window{
		"North 3": northBlock(t).Window,
		"Mill Row": {
			Opens:  Turn{Day: day(time.August, 25), High: day(time.September, 1), By: "stage 2.0"},
			Closes: Turn{Day: day(time.September, 17), Low: day(time.September, 15), High: day(time.September, 19), By: "stage 4.0"},
		},
		"Far Orchard by the brook": {Opens: Turn{Day: day(time.September, 26), Low: day(time.September, 22), High: day(time.October, 3), By: "stage 4.0"}},
	}
	return o
}

func larkfieldPlan() Plan {
	return Plan{Orchard: "Larkfield", Day: day(time.September, 16), Program: "traystage 0.1.0", Errands: []Errand{
		{Block: scoring.Block{Name: "Lane End", Variety: "Idared"}, Due: day(time.September, 12), Fruit: 10, Why: "no sample yet; overdue by 4 days"},
		{Block: north3, Due: day(time.September, 17), Last: day(time.September, 14), Fruit: 14, Why: "open: every third day"},
	}}
}
