package main

import (
	"traystage/calibrate"
	"traystage/scoring/words"
)

// checkedSet is a check for programs: its figures, and what is said of them in
// words and as notes.
type checkedSet struct {
	calibrate.Check
	Why           string         `json:"why"`
	WhyNote       words.Spoken   `json:"why_note"`
	Findings      []string       `json:"findings,omitempty"`
	FindingNotes  []words.Spoken `json:"findings_notes,omitempty"`
	Disorder      []string       `json:"disorder,omitempty"`
	DisorderNotes []words.Spoken `json:"disorder_notes,omitempty"`
	PhotoNext     string         `json:"photo_next,omitempty"`
}

func checkJSON(c calibrate.Check, in *words.Catalogue) checkedSet {
	return checkedSet{
		Check: c, Why: in.Say(c.Why), WhyNote: in.Spoken(c.Why)[0],
		Findings: in.SayAll(c.Findings), FindingNotes: in.Spoken(c.Findings...),
		Disorder: in.SayAll(c.Disorder), DisorderNotes: in.Spoken(c.Disorder...),
		PhotoNext: in.Say(c.PhotoNext),
	}
}
