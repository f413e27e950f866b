package report

import (
	"math"

	"traystage/scoring/report/document"
	"traystage/vision/note"
)

// made tells how the report can be made again.
func (b Block) made() document.Section {
	s := document.Section{Key: "made", Title: b.p.Text("title.made"), Sheet: b.p.Text("sheet.made")}
	return s.With(b.origin(), b.setsTable(), b.photosTable(), b.checksTable(), b.reviewsTable())
}

func (b Block) origin() document.Facts {
	var f document.Facts
	add := func(key, label, value string) {
		if value == "" {
			return
		}
		f.Facts = append(f.Facts, document.Fact{Key: key, Label: label, Value: document.Word(value)})
	}
	if v := b.Verdict.Standard; v != nil {
		add("standard", b.p.Text("label.standard"), b.p.Text("made.standard", note.Name("row", v.Row()), note.Name("table", v.Table), note.Count("line", v.Line)))
		add("standard_source", b.p.Text("label.source"), join("; ", v.Source, v.Note))
	}
	if b.Sample != nil {
		add("tester", b.p.Text("label.tester"), b.Sample.Tester)
		if b.Sample.Wait > 0 {
			add("wait", b.p.Text("label.wait"), b.p.minutes(b.Sample.Wait))
		}
		add("sample_note", b.p.Text("label.sample_note"), b.Sample.Note)
	}
	if b.Stage.HasInterval() {
		f.Facts = append(f.Facts,
			document.Fact{Key: "sampling", Label: b.p.Text("label.sampling"), Value: document.Number(b.Stage.Sampling, 2), Note: b.p.Text("made.sampling")},
			document.Fact{Key: "common", Label: b.p.Text("label.set"), Value: document.Number(b.Stage.Common, 2), Note: b.p.Text("made.common")})
		if b.Stage.Needed > 0 {
			f.Facts = append(f.Facts, document.Fact{Key: "needed", Label: b.p.Text("label.needed", note.Stage("wanted", b.Stage.Wanted)), Value: document.Count(b.Stage.Needed)})
		}
	}
	add("made_by", b.p.Text("label.program"), b.Origin.Program)
	return f
}

func (b Block) setsTable() document.Table {
	t := document.Table{
		Key: "sets", Caption: b.p.Text("caption.sets"), Cards: true,
		Columns: []document.Column{
			{Key: "set", Head: b.p.Text("head.set"), Kind: document.Words},
			{Key: "version", Head: b.p.Text("head.version"), Kind: document.Words},
			{Key: "scale", Head: b.p.Text("head.scale"), Kind: document.Interval},
			{Key: "calibrated", Head: b.p.Text("head.calibrated"), Kind: document.Words},
			{Key: "density", Head: b.p.Text("head.density")},
		},
	}
	for _, r := range b.Origin.Sets {
		calibrated := document.Yes(r.Calibrated, b.p.Text("cell.yes"))
		if !r.Calibrated {
			calibrated = document.Term(b.p.Text("cell.no"), "no")
		}
		t.Rows = append(t.Rows, []document.Cell{
			document.Word(r.Name), document.Word(r.Version),
			document.Between(scaleEnd(r.Scale.Stained), scaleEnd(r.Scale.Clear)),
			calibrated, document.Number(r.StainedDensity, 2),
		})
	}
	return t
}

// scaleEnd is an end of a scale, without a decimal that it does not need.
func scaleEnd(stage float64) document.Cell {
	if stage == math.Trunc(stage) {
		return document.Number(stage, 0)
	}
	return document.Number(stage, 1)
}

func (b Block) photosTable() document.Table {
	t := document.Table{
		Key: "photos", Caption: b.p.Text("caption.photos"), Cards: true,
		Columns: []document.Column{
			{Key: "photo", Head: b.p.Text("head.photo"), Kind: document.Words},
			{Key: "taken", Head: b.p.Text("head.taken"), Kind: document.Words},
			{Key: "sha256", Head: b.p.Text("head.sha256"), Kind: document.Words},
		},
	}
	for _, p := range b.Origin.Photos {
		t.Rows = append(t.Rows, []document.Cell{
			document.Word(p.Name), document.Word(taken(p.Taken, "2006-01-02 15:04")), document.Word(p.Hash),
		})
	}
	return t
}

func (b Block) checksTable() document.Table {
	t := document.Table{
		Key: "checks", Caption: b.p.Text("caption.checks"), Cards: true, Empty: b.p.Text("empty.checks"),
		Columns: []document.Column{
			{Key: "day", Head: b.p.Text("head.day"), Kind: document.Words},
			{Key: "instrument", Head: b.p.Text("head.instrument"), Kind: document.Words},
			{Key: "check", Head: b.p.Text("head.check"), Kind: document.Words},
			{Key: "expected", Head: b.p.Text("head.expected")},
			{Key: "shown", Head: b.p.Text("head.shown")},
			{Key: "unit", Head: b.p.Text("head.unit"), Kind: document.Words},
			{Key: "passed", Head: b.p.Text("head.passed"), Kind: document.Words},
			{Key: "by", Head: b.p.Text("head.by"), Kind: document.Words},
		},
	}
	for _, c := range b.Checks {
		unit, passed := string(c.Unit), document.Yes(c.Passed(), b.p.Text("cell.yes"))
		if unit == "" {
			unit = "°Brix"
		}
		if !c.Passed() {
			passed = document.Strong(document.Term(b.p.Text("cell.no"), "no"))
		}
		t.Rows = append(t.Rows, []document.Cell{
			document.Day(c.Day), document.Word(c.Instrument), document.Term(b.p.Term("check_kind", string(c.Kind)), string(c.Kind)), document.Number(c.Expected, 2),
			document.Number(c.Shown, 2), document.Word(unit), passed, document.Word(c.By),
		})
	}
	return t
}

func (b Block) reviewsTable() document.Table {
	t := document.Table{
		Key: "reviews", Caption: b.p.Text("caption.reviews"), Cards: true, Empty: b.p.Text("empty.reviews"),
		Columns: []document.Column{
			{Key: "fruit", Head: b.p.Text("head.fruit")},
			{Key: "call", Head: b.p.Text("head.call")},
			{Key: "counts", Head: b.p.Text("head.counts_as")},
			{Key: "what", Head: b.p.Text("head.done"), Kind: document.Words},
			{Key: "by", Head: b.p.Text("head.by"), Kind: document.Words},
			{Key: "at", Head: b.p.Text("head.when"), Kind: document.Words},
			{Key: "why", Head: b.p.Text("head.why"), Kind: document.Words},
		},
	}
	for _, r := range b.Rows {
		if r.Half == nil || r.Half.Review == nil {
			continue
		}
		call, did := document.Unknown(), document.Term(b.p.Text("review.confirmed"), "confirmed")
		if measured(r) {
			call = document.Number(r.Half.Call.Stage, 1)
		}
		if r.Half.Overridden() {
			did = document.Term(b.p.Text("review.overridden"), "overridden")
		}
		v := r.Half.Review
		t.Rows = append(t.Rows, []document.Cell{
			document.Count(r.Fruit), call, stageCell(r), did, document.Word(v.By),
			document.Word(taken(v.At.UTC(), "2006-01-02 15:04 MST")), document.Word(v.Why),
		})
	}
	return t
}

// takeCare is the section of cautions that ends every document.
func (p pen) takeCare() document.Section {
	l := document.List{Key: "cautions", Items: []string{
		p.Text("caution.iodine"), p.Text("caution.fruit"), p.Text("caution.blades"), p.Text("caution.labels"),
	}}
	return document.Section{Key: "care", Title: p.Text("title.care"), Boxed: true, Parts: []document.Part{l}}
}
