package report

import (
	"fmt"
	"math"
	"strings"

	"traystage/calibrate"
	"traystage/scoring"
	"traystage/scoring/report/document"
	"traystage/scoring/words"
	"traystage/vision/note"
)

// Tray is everything that the report on one tray photo shows.
type Tray struct {
	scoring.Report
	Pictures Pictures
	Words    *words.Catalogue // the language of the report; nil for English

	p pen
}

// Pictures are what a report shows beside the figures, each the bytes of a JPEG
// or PNG. Any may be missing: the report then does without.
type Pictures struct {
	Overlay []byte            // the whole tray with outlines, numbers and stages drawn in
	Crops   map[int][]byte    // each half, by its number
	Plates  []calibrate.Plate // of the reference set: Picture is shown beside the calls it brackets
}

// Document lays out the report on one tray: the mean first, then what to look at,
// then each half and how it was made. It fails when a picture is neither JPEG nor
// PNG, naming it.
func (t Tray) Document() (document.Document, error) {
	t.p = penOf(t.Words)
	d := document.Document{
		Words: t.p.Catalogue, Kind: "tray report", Name: t.p.Text("kind.tray"), Title: heading(t.Report), Under: t.under(),
		Day: t.Taken, By: t.Program, Last: t.p.Text("tray.last") + " " + t.p.Text("deference"),
		Sections: []document.Section{t.result(), t.look()},
	}
	compared, err := t.compared()
	if err != nil {
		return document.Document{}, err
	}
	for _, s := range []document.Section{t.overlay(), compared, t.each()} {
		if len(s.Parts) > 0 {
			d.Sections = append(d.Sections, s)
		}
	}
	d.Sections = append(d.Sections, t.made(), t.p.takeCare())
	return d, nil
}

func (t Tray) under() string {
	photo := t.p.Text("tray.photo", note.Name("photo", t.Photo))
	if t.Taken.IsZero() {
		return photo
	}
	return t.p.LongDay(t.Taken) + ", " + t.p.Text("tray.clock", note.Name("at", t.Taken.Format("15:04"))) + ", " + photo
}

func (t Tray) result() document.Section {
	s := t.Summary
	mean := document.Answer{Key: "mean", Label: t.p.Text("chart.mean_stage"), Answer: document.Unknown(), Beside: t.p.Text("tray.none")}
	if s.N > 0 {
		mean.Answer, mean.Beside = document.Strong(document.Number(s.Mean, 1)), ""
	}
	if s.HasInterval() {
		mean.Beside = t.p.interval(s.Low, s.High)
		mean.Small = t.p.Text("tray.interval")
	}
	section := document.Section{Key: "result", Brief: true, Title: t.p.Text("title.tray"), Sheet: t.p.Text("sheet.tray")}
	return section.With(mean, t.facts(), document.Text{Text: t.set()}, t.warnings())
}

// interval is an interval of stages in words.
func (p pen) interval(low, high float64) string {
	return p.Text("cell.between", note.Stage("low", low), note.Stage("high", high))
}

func (t Tray) facts() document.Facts {
	s := t.Summary
	f := document.Facts{Large: true}
	f.Facts = append(f.Facts, document.Fact{Key: "n", Label: t.p.Text("label.scored"), Value: document.Count(s.N)})
	if s.HasInterval() {
		f.Facts = append(f.Facts, document.Fact{Key: "sd", Label: t.p.Text("label.spread"), Value: document.Number(s.SD, 1)})
	}
	which := ""
	if len(s.Borderline) > 0 {
		which = t.p.Text("tray.halves", note.Counts("halves", s.Borderline))
	}
	f.Facts = append(f.Facts, document.Fact{Key: "look", Label: t.p.Text("label.look"), Value: document.Count(len(s.Borderline)), Note: which})
	return f
}

// set says what the stages mean.
func (t Tray) set() string {
	r := t.Reference
	return t.p.Text("tray.set", note.Name("set", r.Name), note.Name("version", r.Version),
		note.Stage("stained", r.Scale.Stained), note.Stage("clear", r.Scale.Clear))
}

func (t Tray) warnings() document.List {
	l := t.p.list("warnings", t.p.Text("title.mind"), append(t.Summary.Warnings[:len(t.Summary.Warnings):len(t.Summary.Warnings)], t.Remarks...))
	for i, remark := range t.Remarks {
		at := len(t.Summary.Warnings) + i
		l.Items[at] = join(": ", l.Items[at], t.p.Advice(remark))
	}
	l.Alarm = true
	return l
}

// look is the halves that wait for a second look, beside their plates.
func (t Tray) look() document.Section {
	s := document.Section{Key: "look", Title: t.p.Text("title.look")}
	var cards document.Cards
	for _, f := range t.Looks() {
		card := t.card(f)
		card.Marked = true
		card.Items = t.p.SayAll(f.Call.Reasons)
		todo := append(t.p.advice(f), t.p.Text("tray.compare"))
		card.Items = append(card.Items, t.p.Text("tray.todo", note.Names("todo", todo)))
		cards.Cards = append(cards.Cards, card)
	}
	switch {
	case len(cards.Cards) > 0:
		return s.With(cards)
	case t.Summary.N > 0:
		return s.With(document.Text{Text: t.p.Text("tray.no_look")})
	}
	return s.With(document.Text{Text: t.p.Text("tray.none")})
}

func (t Tray) overlay() document.Section {
	if len(t.Pictures.Overlay) == 0 {
		return document.Section{}
	}
	return document.Section{Key: "tray", Title: t.p.Text("title.photo")}.With(document.Figures{Figures: []document.Drawing{{
		Picture: t.Pictures.Overlay, Name: "the tray", Wide: true, Spoken: t.p.Text("spoken.tray", note.Name("photo", t.Photo)),
	}}})
}

// compared is how the halves lie to each other.
func (t Tray) compared() (document.Section, error) {
	s := document.Section{Key: "spread", Brief: true, Title: t.p.Text("title.compared"), Sheet: t.p.Text("sheet.halves")}
	var f document.Figures
	if t.Summary.N > 0 && len(t.Summary.Bins) > 0 {
		spread, err := t.p.spreadChart(t.Summary)
		if err != nil {
			return s, err
		}
		rows, err := t.p.halvesChart(t.Fruit, t.Summary)
		if err != nil {
			return s, err
		}
		f.Figures = []document.Drawing{
			{Chart: &spread, Spoken: t.p.spokenSpread(t.Summary), Caption: t.p.Text("caption.spread")},
			{Chart: &rows, Spoken: t.p.Text("spoken.each"), Caption: t.p.Text("caption.each")},
		}
	}
	return s.With(f, t.halvesTable()), nil
}

func (t Tray) halvesTable() document.Table {
	table := document.Table{
		Key: "halves", Caption: t.p.Text("caption.halves"),
		Columns: []document.Column{
			{Key: "half", Head: t.p.Text("head.half")},
			{Key: "stage", Head: t.p.Text("head.stage")},
			{Key: "interval", Head: t.p.Text("head.interval"), Kind: document.Interval},
			{Key: "stained", Head: t.p.Text("head.stained"), Unit: "%"},
			{Key: "call", Head: t.p.Text("head.look"), Kind: document.Words},
		},
	}
	for _, f := range t.Fruit {
		row := scoring.Row{Fruit: f.Number, Half: &f}
		table.Rows = append(table.Rows, []document.Cell{
			document.Count(f.Number), stageCell(row), callInterval(row), stainedCell(row), t.p.judgedCell(row),
		})
	}
	if s := t.Summary; s.N > 0 {
		interval := document.Unknown()
		if s.HasInterval() {
			interval = stages(s.Low, s.High)
		}
		table.Foot = [][]document.Cell{{document.Word(t.p.Text("head.mean")), document.Strong(document.Number(s.Mean, 1)), interval, {}, {}}}
	}
	return table
}

// each is a card for each half.
func (t Tray) each() document.Section {
	var cards document.Cards
	for _, f := range t.Fruit {
		card := t.card(f)
		card.Marked = f.Open()
		if row := (scoring.Row{Half: &f}); measured(row) && !f.Overridden() {
			card.Items = append(card.Items, t.p.Text("tray.measured", note.Share("stained", f.Stained), note.Share("masked", f.Masked),
				note.Name("plates", t.p.plates(f.Call.Between))))
		}
		card.Items = append(card.Items, zonesItem(t.p, f)...)
		if f.Scored() {
			card.Items = append(card.Items, t.p.doubts(f)...)
		}
		cards.Cards = append(cards.Cards, card)
	}
	return document.Section{Key: "each", Title: t.p.Text("title.each")}.With(cards)
}

// zonesItem is the profile in words; none where it was not measured.
func zonesItem(p pen, f scoring.Fruit) []string {
	if len(f.Zones) == 0 {
		return nil
	}
	var zones []string
	for _, z := range f.Zones {
		zones = append(zones, p.Percent(z))
	}
	return []string{p.Text("tray.zones", note.Names("zones", zones))}
}

// card is one half with its picture beside those of the plates that bracket it.
func (t Tray) card(f scoring.Fruit) document.Card {
	c := document.Card{Title: t.cardTitle(f)}
	if crop := t.Pictures.Crops[f.Number]; len(crop) > 0 {
		c.Figures = append(c.Figures, document.Drawing{
			Picture: crop, Name: fmt.Sprintf("half %d", f.Number), Own: true,
			Spoken: t.p.Text("tray.half", note.Count("n", f.Number)), Caption: t.p.Text("tray.this_half"),
		})
	}
	if f.Scored() && !f.Overridden() {
		for i, stage := range f.Call.Between {
			if i > 0 && stage == f.Call.Between[0] {
				break
			}
			c.Figures = append(c.Figures, t.plate(stage)...)
		}
	}
	return c
}

func (t Tray) cardTitle(f scoring.Fruit) string {
	n, stage := note.Count("n", f.Number), note.Stage("stage", f.Stage())
	switch {
	case f.Overridden():
		return t.p.Text("tray.half_given", n, stage, note.Name("by", f.Review.By))
	case f.Scored():
		return t.p.Text("tray.half_stage", n, stage, note.Stage("low", f.Call.Low), note.Stage("high", f.Call.High))
	}
	return t.p.Text("tray.half_unscored", n, note.Notes("why", f.WhyUnscored()))
}

// plate is the picture of the plate of a stage, where the set has one.
func (t Tray) plate(stage float64) []document.Drawing {
	for _, plate := range t.Pictures.Plates {
		if plate.Stage == stage && len(plate.Picture) > 0 {
			caption := t.p.Text("tray.plate", note.Stage("stage", stage))
			return []document.Drawing{{Picture: plate.Picture, Name: fmt.Sprintf("the plate of stage %g", stage), Spoken: caption, Caption: caption}}
		}
	}
	return nil
}

// plates names the plates that bracket a call: "3 and 4", or "1" where one plate
// alone is nearest.
func (p pen) plates(between [2]float64) string {
	if between[0] == between[1] {
		return p.Mark(between[0])
	}
	return p.List([]string{p.Mark(between[0]), p.Mark(between[1])})
}

func (t Tray) made() document.Section {
	s, r := t.Summary, t.Reference
	var f document.Facts
	add := func(key, label string, value document.Cell, more string) {
		f.Facts = append(f.Facts, document.Fact{Key: key, Label: words.Sentence(label), Value: value, Note: more})
	}
	calibrated := document.Yes(r.Calibrated, t.p.Text("cell.yes"))
	if !r.Calibrated {
		calibrated = document.Term(t.p.Text("cell.no"), "no")
	}
	add("set", t.p.Text("label.set"), document.Word(r.Name), t.p.Text("tray.version", note.Name("version", r.Version)))
	add("calibrated", t.p.Text("head.calibrated"), calibrated, "")
	add("density", t.p.Text("head.density"), document.Number(r.StainedDensity, 2), "")
	if s.HasInterval() {
		add("sampling", t.p.Text("label.sampling"), document.Number(s.Sampling, 2), t.p.Text("made.sampling"))
		add("common", t.p.Text("label.set"), document.Number(s.Common, 2), t.p.Text("made.common"))
		if s.Needed > 0 {
			add("needed", t.p.Text("label.needed", note.Stage("wanted", s.Wanted)), document.Count(s.Needed), "")
		}
	}
	add("photo", t.p.Text("head.photo"), document.Word(t.Photo), strings.TrimSuffix(fmt.Sprintf("%d × %d, SHA-256 %s", t.Width, t.Height, t.PhotoHash), ", SHA-256 "))
	add("made_by", t.p.Text("label.program"), document.Word(t.Program), "")
	return document.Section{Key: "made", Title: t.p.Text("title.made"), Sheet: t.p.Text("sheet.made"), Parts: []document.Part{f}}
}

// mark is the stage of a plate for programs, without a decimal it does not need.
func mark(stage float64) string {
	return fmt.Sprintf("%g", math.Round(stage*10)/10)
}
