package report

import (
	"fmt"
	"math"

	"traystage/scoring"
	"traystage/scoring/report/document"
)

// made tells how the report can be made again.
func (b Block) made() document.Section {
	s := document.Section{Key: "made", Title: "How this was made", Sheet: "How made"}
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
		add("standard", "Standard", fmt.Sprintf("%s, %s, line %d", v.Row(), v.Table, v.Line))
		add("standard_source", "Its source", join("; ", v.Source, v.Note))
	}
	if b.Sample != nil {
		add("tester", "Tester", b.Sample.Tester)
		if b.Sample.Wait > 0 {
			add("wait", "From stain to photo", minutes(b.Sample.Wait))
		}
		add("sample_note", "Note on the sample", b.Sample.Note)
	}
	if b.Stage.HasInterval() {
		f.Facts = append(f.Facts,
			document.Fact{Key: "sampling", Label: "Sampling and measuring", Value: document.Number(b.Stage.Sampling, 2), Note: "stage, standard uncertainty of the mean, which more fruit make smaller"},
			document.Fact{Key: "common", Label: "Reference set", Value: document.Number(b.Stage.Common, 2), Note: "stage, standard uncertainty, which more fruit do not make smaller"})
		if b.Stage.Needed > 0 {
			f.Facts = append(f.Facts, document.Fact{Key: "needed", Label: "Fruit for ± " + scoring.Tenth(b.Stage.Wanted), Value: document.Count(b.Stage.Needed)})
		}
	}
	add("made_by", "Program", b.Origin.Program)
	return f
}

func (b Block) setsTable() document.Table {
	t := document.Table{
		Key: "sets", Caption: "Reference sets",
		Columns: []document.Column{
			{Key: "set", Head: "set", Kind: document.Words},
			{Key: "version", Head: "version", Kind: document.Words},
			{Key: "scale", Head: "scale", Kind: document.Interval},
			{Key: "calibrated", Head: "calibrated", Kind: document.Words},
			{Key: "density", Head: "stained from density"},
		},
	}
	for _, r := range b.Origin.Sets {
		calibrated := document.Yes(r.Calibrated, "yes")
		if !r.Calibrated {
			calibrated = document.Word("no")
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
		Key: "photos", Caption: "Photos",
		Columns: []document.Column{
			{Key: "photo", Head: "photo", Kind: document.Words},
			{Key: "taken", Head: "taken", Kind: document.Words},
			{Key: "sha256", Head: "SHA-256", Kind: document.Words},
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
		Key: "checks", Caption: "Checks of the instruments", Empty: "No check of an instrument was written down.",
		Columns: []document.Column{
			{Key: "day", Head: "day", Kind: document.Words},
			{Key: "instrument", Head: "instrument", Kind: document.Words},
			{Key: "check", Head: "check", Kind: document.Words},
			{Key: "expected", Head: "expected"},
			{Key: "shown", Head: "shown"},
			{Key: "unit", Head: "unit", Kind: document.Words},
			{Key: "passed", Head: "passed", Kind: document.Words},
			{Key: "by", Head: "by", Kind: document.Words},
		},
	}
	for _, c := range b.Checks {
		unit, passed := string(c.Unit), document.Yes(c.Passed(), "yes")
		if unit == "" {
			unit = "°Brix"
		}
		if !c.Passed() {
			passed = document.Strong(document.Word("no"))
		}
		t.Rows = append(t.Rows, []document.Cell{
			document.Day(c.Day), document.Word(c.Instrument), document.Word(string(c.Kind)), document.Number(c.Expected, 2),
			document.Number(c.Shown, 2), document.Word(unit), passed, document.Word(c.By),
		})
	}
	return t
}

func (b Block) reviewsTable() document.Table {
	t := document.Table{
		Key: "reviews", Caption: "What people confirmed and overrode", Empty: "Nobody has confirmed or overridden a call.",
		Columns: []document.Column{
			{Key: "fruit", Head: "fruit"},
			{Key: "call", Head: "call"},
			{Key: "counts", Head: "counts as"},
			{Key: "what", Head: "what was done", Kind: document.Words},
			{Key: "by", Head: "by", Kind: document.Words},
			{Key: "at", Head: "when", Kind: document.Words},
			{Key: "why", Head: "why", Kind: document.Words},
		},
	}
	for _, r := range b.Rows {
		if r.Half == nil || r.Half.Review == nil {
			continue
		}
		call, did := document.Unknown(), "confirmed"
		if measured(r) {
			call = document.Number(r.Half.Call.Stage, 1)
		}
		if r.Half.Overridden() {
			did = "overridden"
		}
		v := r.Half.Review
		t.Rows = append(t.Rows, []document.Cell{
			document.Count(r.Fruit), call, stageCell(r), document.Word(did), document.Word(v.By),
			document.Word(taken(v.At, "2006-01-02 15:04")), document.Word(v.Why),
		})
	}
	return t
}

// takeCare is the section of cautions that ends every document.
func takeCare() document.Section {
	l := document.List{Key: "cautions"}
	for _, c := range cautions {
		l.Items = append(l.Items, c.Danger+" "+c.Duty)
	}
	return document.Section{Key: "care", Title: "Take care", Boxed: true, Parts: []document.Part{l}}
}
