package main

import (
	"testing"

	"traystage/vision"
)

// The photos kept with the code are measured and held to the bars of the table.
func TestBars(t *testing.T) {
	groups, charts, err := keptGroups(keptWorld, "../../"+keptDir)
	if err != nil {
		t.Fatal(err)
	}
	j := judge{measure: vision.Measure}
	var notes []string
	if j.callers, notes, err = fitCharts(needed(groups, charts), j); err != nil {
		t.Fatal(err)
	}
	for _, n := range notes {
		t.Error(n)
	}
	hardest := map[kind]kind{usual: keptUsual, rough: keptRough}
	for _, g := range groups {
		if k, ok := hardest[g.kind]; ok {
			g.kind = k
		}
		t.Run(g.name, func(t *testing.T) {
			outcomes, err := j.run(g.photos, !g.plates)
			if err != nil {
				t.Fatal(err)
			}
			var s score
			for _, o := range outcomes {
				s.add(o)
			}
			for _, m := range misses(g, s) {
				t.Error(m)
			}
		})
	}
}
