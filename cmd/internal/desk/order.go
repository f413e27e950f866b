package desk

import (
	"traystage/calibrate"
	"traystage/scoring"
)

// order is the block's order of the day in one sentence.
func order(p page, b scoring.Prospect) string {
	return p.Term("state", string(b.State))
}

func blockOrder(p page, b scoring.BlockReport) string { return p.Term("state", string(b.Now)) }

func blockWhy(p page, b scoring.BlockReport) []string { return nil }

func checkWords(p page, c calibrate.Check) string { return string(c.Verdict) }

func findings(p page, c calibrate.Check) []string { return c.Findings }
