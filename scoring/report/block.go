package report

import (
	"fmt"
	"strings"

	"traystage/scoring"
	"traystage/scoring/report/document"
)

// Block is everything that the report on one block shows.
type Block struct {
	scoring.BlockReport
	Trays []Picture // overlays of the sample's trays; may be empty
}

// Picture is the bytes of a JPEG or PNG with its name.
type Picture struct {
	Name  string // what it shows, in words
	Bytes []byte
}

// Document lays out the report on one block: the decision first, then what it rests
// on, then how it was made. The document can be written in any form, see
// package document.
func (b Block) Document() (document.Document, error) {
	pictures, err := b.pictures()
	if err != nil {
		return document.Document{}, err
	}
	courses, err := b.courses()
	if err != nil {
		return document.Document{}, err
	}
	d := document.Document{
		Kind: "block report", Title: join(", ", b.Orchard, b.Block.Name, b.Block.Variety),
		Under: b.under(), Day: b.Origin.Day, By: b.Origin.Program, Last: deference,
		Sections: []document.Section{b.decision()},
	}
	for _, s := range []document.Section{b.numbers(), b.looks(), pictures, courses, b.fruit(), b.made()} {
		if len(s.Parts) > 0 {
			d.Sections = append(d.Sections, s)
		}
	}
	d.Sections = append(d.Sections, takeCare())
	return d, nil
}

func (b Block) under() string {
	made := "report of " + longDay(b.Origin.Day)
	if b.Sample == nil {
		return made + ", no sample yet"
	}
	text := "sample of " + longDay(b.Sample.Picked)
	if t := b.Sample.Tested; !t.IsZero() && !t.Equal(b.Sample.Picked) {
		text += ", tested on " + longDay(t)
	}
	return join(", ", text, by(b.Sample.Tester), made)
}

// decision is the section that most readers stop after.
func (b Block) decision() document.Section {
	v := b.Verdict
	s := document.Section{Key: "decision", Title: "Decision", Sheet: "Decision", Brief: true, Parts: []document.Part{
		document.Answer{
			Key: "verdict", Label: "verdict", Answer: document.Strong(document.Word(string(b.Now))),
			Beside: b.window().words(), Small: b.surety(),
		},
		b.facts(),
	}}
	return s.With(
		criteriaTable(v),
		document.List{Key: "why", Title: "Why", Items: b.reasons()},
		b.window().table(),
		servicesTable(v.Serves),
		document.List{Key: "warnings", Title: "Keep in mind", Items: english.SayAll(b.Warnings), Alarm: true},
	)
}

// window is the window in words; the zero window where there is none.
func (b Block) window() window {
	return windowOf(b.Window)
}

// surety says in one line how far to trust the verdict.
func (b Block) surety() string {
	switch {
	case b.Now == scoring.NoVerdict:
		return ""
	case b.NowSure:
		return "sure: every mean that decides is clear of its targets"
	}
	return "not sure: a mean lies near a target, or something was not read"
}

// reasons leaves out what the table of criteria tells already.
func (b Block) reasons() []string {
	var out []string
	for _, why := range b.Verdict.Why {
		told := false
		for _, c := range b.Verdict.Criteria {
			told = told || c.Why.Equal(why)
		}
		if !told {
			out = append(out, english.Say(why))
		}
	}
	return append(out, b.window().notes...)
}

func (b Block) facts() document.Facts {
	f := document.Facts{Large: true}
	add := func(key, label string, value document.Cell, note string) {
		f.Facts = append(f.Facts, document.Fact{Key: key, Label: label, Value: value, Note: note})
	}
	market := document.Word(b.Block.Market)
	if b.Block.Market == "" {
		market = document.Unknown()
	}
	add("market", "Market", market, "")
	if b.Sample == nil {
		return f
	}
	add("picked", "Sample", document.Day(b.Sample.Picked), "")
	mean, note := document.Unknown(), ""
	if b.Stage.N > 0 {
		mean = document.Number(b.Stage.Mean, 1)
	}
	if b.Stage.HasInterval() {
		note = "true mean " + stages(b.Stage.Low, b.Stage.High).String()
	}
	add("stage", "Mean stage", mean, note)
	scored := ""
	if b.Stage.N != len(b.Rows) {
		scored = fmt.Sprintf("%d with a stage", b.Stage.N)
	}
	add("fruit", "Fruit", document.Count(len(b.Rows)), scored)
	return f
}

func criteriaTable(v scoring.Verdict) document.Table {
	t := document.Table{
		Key: "criteria", Caption: "How it stands to the standard",
		Columns: []document.Column{
			{Key: "criterion", Head: "what", Kind: document.Words},
			{Key: "mean", Head: "today"},
			{Key: "interval", Head: "90 %", Kind: document.Interval},
			{Key: "target", Head: "target", Kind: document.Interval},
			{Key: "margin", Head: "margin"},
			{Key: "outcome", Head: "outcome", Kind: document.Words},
		},
	}
	if v.Standard != nil {
		t.Caption += " " + v.Standard.Row()
	}
	for _, c := range v.Criteria {
		t.Rows = append(t.Rows, criterionRow(c))
	}
	return t
}

func criterionRow(c scoring.Criterion) []document.Cell {
	d := digits(c.Quantity, c.Unit)
	name := document.Word(named(c.Quantity, c.Unit))
	target := document.Between(limit(c.Target.From, d), limit(c.Target.To, d))
	if !c.Judged {
		return []document.Cell{name, document.Unknown(), document.Unknown(), target, document.Unknown(), document.Word("not judged: " + english.Say(c.Why))}
	}
	interval := document.Unknown()
	if c.HasInterval {
		interval = document.Between(document.Number(c.Low, d), document.Number(c.High, d))
	}
	outcome := string(c.Outcome)
	if c.Outcome != scoring.Met && c.Side != scoring.Open {
		outcome += ": " + string(c.Side)
	}
	return []document.Cell{
		name, document.Strong(document.Number(c.Value, d)), interval, target,
		document.Margin(c.Margin, d), document.Word(outcome),
	}
}

func limit(l scoring.Limit, d int) document.Cell {
	if !l.Set {
		return document.Unknown()
	}
	return document.Number(l.Value, d)
}

func servicesTable(serves []scoring.Service) document.Table {
	t := document.Table{
		Key: "markets", Caption: "Markets of the variety",
		Columns: []document.Column{
			{Key: "market", Head: "market", Kind: document.Words},
			{Key: "state", Head: "today", Kind: document.Words},
			{Key: "sure", Head: "sure", Kind: document.Words},
			{Key: "late", Head: "picked late", Kind: document.Words},
			{Key: "why", Head: "what decides", Kind: document.Words},
		},
	}
	for _, s := range serves {
		t.Rows = append(t.Rows, []document.Cell{
			document.Word(s.Market), document.Word(string(s.Now)), document.Yes(s.Sure, "yes"), document.Word(string(s.Late)), document.Word(english.Say(s.Why)),
		})
	}
	return t
}

// numbers is what is known of the block, quantity by quantity.
func (b Block) numbers() document.Section {
	t := document.Table{
		Key: "statistics", Caption: "The block in numbers",
		Columns: []document.Column{
			{Key: "quantity", Head: "what", Kind: document.Words},
			{Key: "n", Head: "fruit"},
			{Key: "mean", Head: "mean"},
			{Key: "interval", Head: "90 %", Kind: document.Interval},
			{Key: "sd", Head: "SD"},
		},
	}
	if s := b.Stage; s.N > 0 {
		t.Rows = append(t.Rows, statisticRow(scoring.Statistic{
			Quantity: scoring.StageOf, Unit: b.scaleName(), N: s.N, Mean: s.Mean, SD: s.SD, Low: s.Low, High: s.High,
		}))
	}
	for _, s := range append([]scoring.Statistic{b.Stained}, b.Statistics...) {
		if s.N > 0 {
			t.Rows = append(t.Rows, statisticRow(s))
		}
	}
	if b.Streif != nil {
		t.Rows = append(t.Rows, b.streifRow())
		if b.Streif.OfFruit.N > 0 {
			each := statisticRow(b.Streif.OfFruit)
			each[0] = document.Word(named(scoring.StreifOf, b.Streif.OfFruit.Unit) + ", mean of each fruit’s")
			t.Rows = append(t.Rows, each)
		}
	}
	if len(t.Rows) == 0 {
		return document.Section{}
	}
	return document.Section{Key: "numbers", Title: "The numbers", Sheet: "Decision", Parts: []document.Part{t, document.Text{
		Text: "90 %: the block’s true mean lies there in nine cases of ten. SD: how far single fruit lie from the mean.",
	}}}
}

func statisticRow(s scoring.Statistic) []document.Cell {
	d := digits(s.Quantity, s.Unit)
	row := []document.Cell{
		document.Word(named(s.Quantity, s.Unit)), document.Count(s.N), document.Strong(document.Number(s.Mean, d)),
		document.Unknown(), document.Unknown(),
	}
	if s.HasInterval() {
		row[3] = document.Between(document.Number(s.Low, d), document.Number(s.High, d))
		row[4] = document.Number(s.SD, max(d, 1))
	}
	return row
}

func (b Block) streifRow() []document.Cell {
	s := b.Streif
	d := digits(scoring.StreifOf, s.OfFruit.Unit)
	row := []document.Cell{
		document.Word(named(scoring.StreifOf, s.OfFruit.Unit) + ", of the means"), document.Unknown(),
		document.Strong(document.Number(s.OfMeans, d)), document.Unknown(), document.Unknown(),
	}
	if s.HasInterval {
		row[3] = document.Between(document.Number(s.Low, d), document.Number(s.High, d))
	}
	return row
}

func (b Block) scaleName() string {
	return mark(b.Scale.Stained) + "-" + mark(b.Scale.Clear)
}

// looks is the fruit that deserve a second look.
func (b Block) looks() document.Section {
	if len(b.Looks) == 0 {
		return document.Section{}
	}
	t := document.Table{
		Key: "looks", Caption: "Fruit worth a second look",
		Columns: []document.Column{
			{Key: "fruit", Head: "fruit"},
			{Key: "stage", Head: "stage"},
			{Key: "turns", Head: "could turn the verdict", Kind: document.Words},
			{Key: "shift", Head: "could move the mean by"},
			{Key: "why", Head: "why", Kind: document.Words},
		},
	}
	for _, l := range b.Looks {
		t.Rows = append(t.Rows, []document.Cell{
			document.Count(l.Fruit), b.stageOf(l.Fruit), document.Yes(l.Turns, "yes"), document.Number(l.Shift, 2),
			document.Word(strings.Join(english.SayAll(l.Reason), "; ")),
		})
	}
	return document.Section{Key: "look", Title: "What to look at", Sheet: "Fruit", Parts: []document.Part{t}}
}

func (b Block) stageOf(fruit int) document.Cell {
	for _, r := range b.Rows {
		if r.Fruit == fruit && r.Half != nil && r.Half.Scored() {
			return document.Number(r.Half.Stage(), 1)
		}
	}
	return document.Unknown()
}
