package report

import (
	"time"

	"traystage/scoring"
	"traystage/scoring/instrument"
	"traystage/scoring/report/document"
	"traystage/scoring/words"
	"traystage/vision/note"
)

// FieldSheet is a sheet to be printed and filled in by hand beside the tray.
type FieldSheet struct {
	Orchard string
	Block   scoring.Block    // what is not known of it is left blank
	Day     time.Time        // of the sample, midnight UTC; zero leaves it blank
	Printed time.Time        // day of printing
	Fruit   int              // rows, 1 or more
	Unit    instrument.Unit  // that firmness is read in; empty leaves it blank
	Ground  string           // scale of the ground colour; empty leaves it blank
	Program string           // name and version
	Words   *words.Catalogue // the language of the sheet; nil for English

	p pen
}

// Heights of rows, in mm: wide enough for a pencil in a wet glove.
const (
	headRow  = 11.0
	fruitRow = 9.5
)

// Document lays out the sheet for A4.
func (f FieldSheet) Document() document.Document {
	f.p = penOn(f.Words, f.Printed)
	return document.Document{
		Words: f.p.Catalogue, Kind: "field sheet", Name: f.p.Text("kind.sheet"), Title: join(": ", f.Orchard, f.p.Text("sheet.title")), Day: f.Printed, By: f.Program,
		Sections: []document.Section{
			{Key: "sheet", Parts: []document.Part{f.head(), f.table()}},
			{Key: "rules", Title: f.p.Text("title.how_to_sample"), Parts: []document.Part{f.p.rulesList()}},
			f.p.takeCare(),
		},
	}
}

func (f FieldSheet) head() document.Table {
	day := document.Cell{}
	if !f.Day.IsZero() {
		day = document.Day(f.Day)
	}
	return document.Table{
		Key: "sample", Ruled: headRow,
		Columns: []document.Column{
			{Key: "block", Head: f.p.Text("head.block"), Kind: document.Words, Wide: 0.22},
			{Key: "variety", Head: f.p.Text("head.variety"), Kind: document.Words, Wide: 0.22},
			{Key: "picked", Head: f.p.Text("head.picked_on"), Kind: document.Words, Wide: 0.16},
			{Key: "tested", Head: f.p.Text("head.tested_on"), Kind: document.Words, Wide: 0.16},
			{Key: "tester", Head: f.p.Text("head.tester"), Kind: document.Words, Wide: 0.1},
			{Key: "photo", Head: f.p.Text("head.photo_at"), Kind: document.Words, Wide: 0.14},
		},
		Rows: [][]document.Cell{{document.Strong(document.Word(f.Block.Name)), document.Strong(document.Word(f.Block.Variety)), document.Strong(day), {}, {}, {}}},
	}
}

func (f FieldSheet) table() document.Table {
	t := document.Table{
		Key: "fruit", Ruled: fruitRow,
		Columns: []document.Column{
			{Key: "fruit", Head: f.p.Text("head.fruit"), Kind: document.Words, Wide: 0.07},
			{Key: "red", Head: f.p.Text("head.red"), Unit: "%", Kind: document.Words, Wide: 0.09},
			{Key: "ground", Head: f.p.Text("quantity.ground colour"), Unit: f.Ground, Kind: document.Words, Wide: 0.12},
			{Key: "firmness_1", Head: f.p.Text("head.side_1"), Unit: string(f.Unit), Kind: document.Words, Wide: 0.13},
			{Key: "firmness_2", Head: f.p.Text("head.side_2"), Unit: string(f.Unit), Kind: document.Words, Wide: 0.13},
			{Key: "solids", Head: f.p.Text("quantity.soluble solids"), Unit: "°Brix", Kind: document.Words, Wide: 0.12},
			{Key: "temperature", Head: f.p.Text("head.juice"), Unit: "°C", Kind: document.Words, Wide: 0.09},
			{Key: "note", Head: f.p.Text("head.note"), Kind: document.Words, Wide: 0.25},
		},
	}
	for n := range f.Fruit {
		row := make([]document.Cell, len(t.Columns))
		row[0] = document.Strong(document.Count(n + 1))
		t.Rows = append(t.Rows, row)
	}
	return t
}

const (
	ruleFruit    note.Code = "rule.fruit"
	ruleNumber   note.Code = "rule.number"
	ruleFirmness note.Code = "rule.firmness"
	ruleSolids   note.Code = "rule.solids"
	ruleStarch   note.Code = "rule.starch"
)

// rules of sampling and testing, in own words, each with the source of its
// figures.
var rules = []struct {
	code   note.Code
	source string
}{
	{ruleFruit, "Michigan State University Extension, Starch Index Scale, 2023; Strickhof, Den Reifeindex nach Streif bestimmen; KOB Bavendorf, Erntebestimmung von Äpfeln nach Streif"},
	{ruleNumber, ""}, // common practice, no source
	{ruleFirmness, "Strickhof; UC Davis Postharvest Center, How is fresh apple fruit pressure measured"},
	{ruleSolids, "Bickelmann, OECD Guidance on Objective Tests; OIV, Method MA-AS2-02"},
	{ruleStarch, "Michigan State University Extension, 2023; Montana State University, Apple maturity in Montana, 2020; KOB Bavendorf"},
}

func (p pen) rulesList() document.List {
	l := document.List{Key: "rules"}
	for _, r := range rules {
		source := r.source
		if source == "" {
			source = p.Text("rule.no_source")
		}
		l.Items = append(l.Items, p.Say(note.New(r.code))+" ("+source+")")
	}
	return l
}
