package desk

import (
	"traystage/calibrate"
	"traystage/scoring"
	"traystage/scoring/words"
)

// This file says what the workbench found in the words of a page.

// order is what to do about a block, as a sentence.
func order(p page, b scoring.Prospect) string { return words.Sentence(p.Say(b.Order)) + "." }

// blockOrder is the same of a report.
func blockOrder(p page, b scoring.BlockReport) string { return words.Sentence(p.Say(b.Order())) + "." }

// blockWhy is why, most weighty first.
func blockWhy(p page, b scoring.BlockReport) []string { return sentences(p.SayAll(b.Verdict.Why)) }

// verdictOf says whether to trust a set, and why.
func verdictOf(p page, c calibrate.Check) string { return words.Sentence(p.Say(c.Why)) }

// findings are all that speaks against a set.
func findings(p page, c calibrate.Check) []string { return sentences(p.SayAll(c.Findings)) }

func sentences(texts []string) []string {
	for i := range texts {
		texts[i] = words.Sentence(texts[i])
	}
	return texts
}
