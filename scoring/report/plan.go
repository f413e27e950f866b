package report

import (
	"time"

	"traystage/scoring"
	"traystage/scoring/report/document"
	"traystage/scoring/words"
	"traystage/vision/note"
)

// Plan is the list of samples to take, in the order in which to take them.
type Plan struct {
	Orchard string
	Day     time.Time // that the plan was made for, midnight UTC
	Errands []scoring.Errand
	Program string           // name and version
	Words   *words.Catalogue // the language of the plan; nil for English

	p pen
}

// Document lays out the plan, with the rules of sampling below.
func (l Plan) Document() document.Document {
	l.p = penOn(l.Words, l.Day)
	t := document.Table{
		Key: "samples", Caption: l.p.Text("title.samples"), Cards: true, Empty: l.p.Text("empty.samples"),
		Columns: []document.Column{
			{Key: "due", Head: l.p.Text("head.due"), Kind: document.Words},
			{Key: "block", Head: l.p.Text("head.block"), Kind: document.Words},
			{Key: "variety", Head: l.p.Text("head.variety"), Kind: document.Words},
			{Key: "fruit", Head: l.p.Text("head.fruit_count")},
			{Key: "last", Head: l.p.Text("head.last")},
			{Key: "why", Head: l.p.Text("head.why"), Kind: document.Words, Noted: true},
		},
	}
	for _, e := range l.Errands {
		t.Rows = append(t.Rows, []document.Cell{
			document.ShortDay(e.Due), document.Strong(document.Word(e.Block.Name)), document.Word(e.Block.Variety),
			document.Count(e.Fruit), document.ShortDay(e.Last), l.p.said(e.Why),
		})
	}
	first := document.Section{Key: "plan", Title: l.p.Text("title.samples"), Sheet: l.p.Text("sheet.plan"), Brief: true}
	rules := document.Section{Key: "rules", Title: l.p.Text("title.how_to_sample")}
	return document.Document{
		Words: l.p.Catalogue, Kind: "sampling plan", Name: l.p.Text("kind.plan"), Title: join(": ", l.Orchard, l.p.Text("plan.title")), Under: l.p.Text("under.plan", note.Day("day", l.Day)),
		Day: l.Day, By: l.Program,
		Sections: []document.Section{first.With(t), rules.With(l.p.rulesList()), l.p.takeCare()},
	}
}
