package report

import (
	"time"

	"traystage/scoring"
	"traystage/scoring/report/document"
)

// Plan is the list of samples to take, in the order in which to take them.
type Plan struct {
	Orchard string
	Day     time.Time // that the plan was made for, midnight UTC
	Errands []scoring.Errand
	Program string // name and version
}

// Document lays out the plan, with the rules of sampling below.
func (p Plan) Document() document.Document {
	t := document.Table{
		Key: "samples", Caption: "Samples to take", Empty: "No block wants a sample.",
		Columns: []document.Column{
			{Key: "due", Head: "due", Kind: document.Words},
			{Key: "block", Head: "block", Kind: document.Words},
			{Key: "variety", Head: "variety", Kind: document.Words},
			{Key: "fruit", Head: "fruit"},
			{Key: "last", Head: "last"},
			{Key: "why", Head: "why", Kind: document.Words},
		},
	}
	for _, e := range p.Errands {
		t.Rows = append(t.Rows, []document.Cell{
			document.ShortDay(e.Due), document.Strong(document.Word(e.Block.Name)), document.Word(e.Block.Variety),
			document.Count(e.Fruit), document.ShortDay(e.Last), document.Word(english.Say(e.Why)),
		})
	}
	first := document.Section{Key: "plan", Title: "Samples to take", Sheet: "Plan", Brief: true}
	rules := document.Section{Key: "rules", Title: "How to sample"}
	return document.Document{
		Kind: "sampling plan", Title: join(": ", p.Orchard, "samples to take"), Under: "plan of " + longDay(p.Day),
		Day: p.Day, By: p.Program,
		Sections: []document.Section{first.With(t), rules.With(rulesList()), takeCare()},
	}
}
