package report

import (
	"slices"

	"traystage/scoring"
	"traystage/scoring/report/document"
	"traystage/scoring/words"
	"traystage/vision/note"
)

// Block is everything that the report on one block shows.
type Block struct {
	scoring.BlockReport
	Trays []Picture        // overlays of the sample's trays; may be empty
	Words *words.Catalogue // the language of the report; nil for English
	// Earlier are the block's earlier seasons, whose courses are drawn pale behind this
	// year's; zero for none.
	Earlier scoring.Comparison

	p pen
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
	b.p = penOn(b.Words, b.Origin.Day)
	pictures, err := b.pictures()
	if err != nil {
		return document.Document{}, err
	}
	courses, err := b.courses()
	if err != nil {
		return document.Document{}, err
	}
	d := document.Document{
		Words: b.p.Catalogue, Kind: "block report", Name: b.p.Text("kind.block"), Title: join(", ", b.Orchard, b.Block.Name, b.Block.Variety),
		Under: b.under(), Day: b.Origin.Day, By: b.Origin.Program, Last: b.p.Text("deference"),
		Sections: []document.Section{b.decision()},
	}
	for _, s := range []document.Section{b.numbers(), b.looks(), pictures, courses, b.fruit(), b.made()} {
		if len(s.Parts) > 0 {
			d.Sections = append(d.Sections, s)
		}
	}
	d.Sections = append(d.Sections, b.p.takeCare())
	return d, nil
}

func (b Block) under() string {
	made := b.p.Text("under.report", note.Day("day", b.Origin.Day))
	if b.Sample == nil {
		return made + ", " + b.p.Text("under.no_sample")
	}
	text := b.p.Text("under.sample", note.Day("day", b.Sample.Picked))
	if t := b.Sample.Tested; !t.IsZero() && !t.Equal(b.Sample.Picked) {
		text += ", " + b.p.Text("under.tested", note.Day("day", t))
	}
	return join(", ", text, b.p.by(b.Sample.Tester), made)
}

// decision is the section that most readers stop after: what to do, why, and what
// that rests on.
func (b Block) decision() document.Section {
	v := b.Verdict
	s := document.Section{Key: "decision", Title: b.p.Text("title.decision"), Sheet: b.p.Text("title.decision"), Brief: true}
	warnings := b.p.list("warnings", b.p.Text("title.mind"), b.Warnings)
	warnings.Alarm = true
	return s.With(
		b.p.order(b.Order(), b.Verdict.Foremost()),
		b.facts(),
		b.p.criteriaTable(v),
		b.p.list("why", b.p.Text("title.why"), b.reasons()),
		b.p.windowTable(b.window()),
		b.p.servicesTable(v.Serves),
		warnings,
	)
}

// order is what to do, with why.
func (p pen) order(order note.Note, why []note.Note) document.Order {
	return document.Order{
		Key: "order", Label: p.Text("label.order"), Text: words.Sentence(p.Say(order)), Why: p.SayAll(why), Note: p.Spoken(order)[0],
	}
}

// window is the window in words; the zero window where there is none.
func (b Block) window() window {
	return b.p.windowOf(b.Window)
}

// surety says in one line how far to trust the verdict.
func (b Block) surety() string {
	switch {
	case b.Now == scoring.NoVerdict:
		return ""
	case b.NowSure:
		return b.p.Text("surety.sure")
	}
	return b.p.Text("surety.not")
}

// reasons leaves out what the order and the table of criteria tell already.
func (b Block) reasons() []note.Note {
	told := b.Verdict.Foremost()
	for _, c := range b.Verdict.Criteria {
		told = append(told, c.Why)
	}
	var out []note.Note
	for _, why := range b.Verdict.Why {
		if !slices.ContainsFunc(told, why.Equal) {
			out = append(out, why)
		}
	}
	return append(out, b.window().notes...)
}

func (b Block) facts() document.Facts {
	f := document.Facts{Large: true}
	add := func(key, label string, value document.Cell, note string) {
		f.Facts = append(f.Facts, document.Fact{Key: key, Label: label, Value: value, Note: note})
	}
	add("verdict", b.p.Text("label.state"), document.Strong(b.p.state(b.Now)), b.surety())
	market := document.Word(b.Block.Market)
	if b.Block.Market == "" {
		market = document.Unknown()
	}
	if days := b.p.inWords(b.window()); days != "" {
		add("window", b.p.Text("label.window"), document.Word(days), "")
	}
	add("market", b.p.Text("label.market"), market, "")
	if b.Sample == nil {
		return f
	}
	add("picked", b.p.Text("label.sample"), document.Day(b.Sample.Picked), "")
	mean, more := document.Unknown(), ""
	if b.Stage.N > 0 {
		mean = document.Number(b.Stage.Mean, 1)
	}
	if b.Stage.HasInterval() {
		more = b.p.Text("fact.true_mean", note.Name("interval", b.p.interval(b.Stage.Low, b.Stage.High)))
	}
	add("stage", b.p.Text("label.stage"), mean, more)
	scored := ""
	if b.Stage.N != len(b.Rows) {
		scored = b.p.Text("fact.scored", note.Count("n", b.Stage.N))
	}
	add("fruit", b.p.Text("label.fruit"), document.Count(len(b.Rows)), scored)
	return f
}

func (p pen) criteriaTable(v scoring.Verdict) document.Table {
	t := document.Table{
		Key: "criteria", Caption: p.Text("caption.criteria"), Cards: true,
		Columns: []document.Column{
			{Key: "criterion", Head: p.Text("head.what"), Kind: document.Words},
			{Key: "mean", Head: p.Text("head.today")},
			{Key: "interval", Head: p.Text("head.interval"), Kind: document.Interval},
			{Key: "target", Head: p.Text("head.target"), Kind: document.Interval},
			{Key: "margin", Head: p.Text("head.margin")},
			{Key: "outcome", Head: p.Text("head.outcome"), Kind: document.Words},
		},
	}
	if v.Standard != nil {
		t.Caption = p.Text("caption.criteria_of", note.Name("row", v.Standard.Row()))
	}
	for _, c := range v.Criteria {
		t.Rows = append(t.Rows, p.criterionRow(c))
	}
	return t
}

func (p pen) criterionRow(c scoring.Criterion) []document.Cell {
	d := digits(c.Quantity, c.Unit)
	name := document.Word(p.named(c.Quantity, c.Unit))
	target := document.Between(limit(c.Target.From, d), limit(c.Target.To, d))
	if !c.Judged {
		return []document.Cell{name, document.Unknown(), document.Unknown(), target, document.Unknown(), document.Word(p.Text("criterion.not_judged", note.Notes("why", c.Why)))}
	}
	interval := document.Unknown()
	if c.HasInterval {
		interval = document.Between(document.Number(c.Low, d), document.Number(c.High, d))
	}
	outcome := p.Term("outcome", string(c.Outcome))
	if c.Outcome != scoring.Met && c.Side != scoring.Open {
		outcome += ": " + p.Term("state", string(c.Side))
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

func (p pen) servicesTable(serves []scoring.Service) document.Table {
	t := document.Table{
		Key: "markets", Caption: p.Text("caption.markets"), Cards: true,
		Columns: []document.Column{
			{Key: "market", Head: p.Text("head.market"), Kind: document.Words},
			{Key: "state", Head: p.Text("head.today"), Kind: document.Words},
			{Key: "sure", Head: p.Text("head.sure"), Kind: document.Words},
			{Key: "late", Head: p.Text("head.picked_late"), Kind: document.Words},
			{Key: "why", Head: p.Text("head.decides"), Kind: document.Words, Noted: true},
		},
	}
	for _, s := range serves {
		t.Rows = append(t.Rows, []document.Cell{
			document.Word(s.Market), p.state(s.Now), document.Yes(s.Sure, p.Text("cell.yes")), p.state(s.Late), p.said(s.Why),
		})
	}
	return t
}

// numbers is what is known of the block, quantity by quantity.
func (b Block) numbers() document.Section {
	t := document.Table{
		Key: "statistics", Caption: b.p.Text("caption.numbers"),
		Columns: []document.Column{
			{Key: "quantity", Head: b.p.Text("head.what"), Kind: document.Words},
			{Key: "n", Head: b.p.Text("head.fruit_count")},
			{Key: "mean", Head: b.p.Text("head.mean")},
			{Key: "interval", Head: b.p.Text("head.interval"), Kind: document.Interval},
			{Key: "sd", Head: b.p.Text("head.sd")},
		},
	}
	if s := b.Stage; s.N > 0 {
		t.Rows = append(t.Rows, b.p.statisticRow(scoring.Statistic{
			Quantity: scoring.StageOf, Unit: b.scaleName(), N: s.N, Mean: s.Mean, SD: s.SD, Low: s.Low, High: s.High,
		}))
	}
	for _, s := range append([]scoring.Statistic{b.Stained}, b.Statistics...) {
		if s.N > 0 {
			t.Rows = append(t.Rows, b.p.statisticRow(s))
		}
	}
	if b.Streif != nil {
		t.Rows = append(t.Rows, b.streifRow())
		if b.Streif.OfFruit.N > 0 {
			each := b.p.statisticRow(b.Streif.OfFruit)
			each[0] = document.Word(b.p.Text("numbers.streif_fruit", note.Name("unit", b.Streif.OfFruit.Unit)))
			t.Rows = append(t.Rows, each)
		}
	}
	if len(t.Rows) == 0 {
		return document.Section{}
	}
	return document.Section{Key: "numbers", Title: b.p.Text("title.numbers"), Sheet: b.p.Text("title.decision"), Parts: []document.Part{t, document.Text{
		Text: b.p.Text("text.numbers"),
	}}}
}

func (p pen) statisticRow(s scoring.Statistic) []document.Cell {
	d := digits(s.Quantity, s.Unit)
	row := []document.Cell{
		document.Word(p.named(s.Quantity, s.Unit)), document.Count(s.N), document.Strong(document.Number(s.Mean, d)),
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
		document.Word(b.p.Text("numbers.streif_means", note.Name("unit", s.OfFruit.Unit))), document.Unknown(),
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
		Key: "looks", Caption: b.p.Text("caption.looks"),
		Columns: []document.Column{
			{Key: "fruit", Head: b.p.Text("head.fruit")},
			{Key: "stage", Head: b.p.Text("head.stage")},
			{Key: "turns", Head: b.p.Text("head.turns"), Kind: document.Words},
			{Key: "shift", Head: b.p.Text("head.shift")},
			{Key: "why", Head: b.p.Text("head.why"), Kind: document.Words, Noted: true},
		},
	}
	for _, l := range b.Looks {
		t.Rows = append(t.Rows, []document.Cell{
			document.Count(l.Fruit), b.stageOf(l.Fruit), document.Yes(l.Turns, b.p.Text("cell.yes")), document.Number(l.Shift, 2),
			b.p.said(l.Reason...),
		})
	}
	return document.Section{Key: "look", Title: b.p.Text("title.look"), Sheet: b.p.Text("sheet.fruit"), Parts: []document.Part{t}}
}

func (b Block) stageOf(fruit int) document.Cell {
	for _, r := range b.Rows {
		if r.Fruit == fruit && r.Half != nil && r.Half.Scored() {
			return document.Number(r.Half.Stage(), 1)
		}
	}
	return document.Unknown()
}
