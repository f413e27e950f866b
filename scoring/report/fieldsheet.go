package report

import (
	"time"

	"traystage/scoring"
	"traystage/scoring/instrument"
	"traystage/scoring/report/document"
)

// FieldSheet is a sheet to be printed and filled in by hand beside the tray.
type FieldSheet struct {
	Orchard string
	Block   scoring.Block   // what is not known of it is left blank
	Day     time.Time       // of the sample, midnight UTC; zero leaves it blank
	Printed time.Time       // day of printing
	Fruit   int             // rows, 1 or more
	Unit    instrument.Unit // that firmness is read in; empty leaves it blank
	Ground  string          // scale of the ground colour; empty leaves it blank
	Program string          // name and version
}

// Heights of rows, in mm: wide enough for a pencil in a wet glove.
const (
	headRow  = 11.0
	fruitRow = 9.5
)

// Document lays out the sheet for A4.
func (f FieldSheet) Document() document.Document {
	return document.Document{
		Kind: "field sheet", Title: join(": ", f.Orchard, "sheet for one sample"), Day: f.Printed, By: f.Program,
		Sections: []document.Section{
			{Key: "sheet", Parts: []document.Part{f.head(), f.table()}},
			{Key: "rules", Title: "How to sample", Parts: []document.Part{rulesList()}},
			takeCare(),
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
			{Key: "block", Head: "block", Kind: document.Words, Wide: 0.22},
			{Key: "variety", Head: "variety", Kind: document.Words, Wide: 0.22},
			{Key: "picked", Head: "picked on", Kind: document.Words, Wide: 0.16},
			{Key: "tested", Head: "tested on", Kind: document.Words, Wide: 0.16},
			{Key: "tester", Head: "tester", Kind: document.Words, Wide: 0.1},
			{Key: "photo", Head: "stained, photo at", Kind: document.Words, Wide: 0.14},
		},
		Rows: [][]document.Cell{{document.Strong(document.Word(f.Block.Name)), document.Strong(document.Word(f.Block.Variety)), document.Strong(day), {}, {}, {}}},
	}
}

func (f FieldSheet) table() document.Table {
	t := document.Table{
		Key: "fruit", Ruled: fruitRow,
		Columns: []document.Column{
			{Key: "fruit", Head: "fruit", Kind: document.Words, Wide: 0.07},
			{Key: "red", Head: "red", Unit: "%", Kind: document.Words, Wide: 0.09},
			{Key: "ground", Head: "ground colour", Unit: f.Ground, Kind: document.Words, Wide: 0.12},
			{Key: "firmness_1", Head: "firmness, side 1", Unit: string(f.Unit), Kind: document.Words, Wide: 0.13},
			{Key: "firmness_2", Head: "firmness, side 2", Unit: string(f.Unit), Kind: document.Words, Wide: 0.13},
			{Key: "solids", Head: "soluble solids", Unit: "°Brix", Kind: document.Words, Wide: 0.12},
			{Key: "temperature", Head: "juice", Unit: "°C", Kind: document.Words, Wide: 0.09},
			{Key: "note", Head: "note", Kind: document.Words, Wide: 0.25},
		},
	}
	for n := range f.Fruit {
		row := make([]document.Cell, len(t.Columns))
		row[0] = document.Strong(document.Count(n + 1))
		t.Rows = append(t.Rows, row)
	}
	return t
}

// rule is one rule of sampling with the source of its figures.
type rule struct{ text, source string }

// rules of sampling and testing, in own words.
var rules = []rule{
	{"Take at least 10 fruit from a block, one from each of 10 trees, from the outer and the middle canopy; more where the block is uneven.",
		"Michigan State University Extension, Starch Index Scale, 2023; Strickhof, Den Reifeindex nach Streif bestimmen; KOB Bavendorf, Erntebestimmung von Äpfeln nach Streif"},
	{"Number the fruit, and lay the halves on the tray in the order of their numbers.", "common practice, no source"},
	{"Firmness: pare a thin slice of skin at the equator on 2 opposite sides; tip of 11 mm, 8 mm deep, straight in and without rocking. Write down each side.",
		"Strickhof; UC Davis Postharvest Center, How is fresh apple fruit pressure measured"},
	{"Soluble solids: press slices cut from stem to calyx end, always the same number of drops. Write down the temperature of the juice unless the instrument corrects to 20 °C.",
		"Bickelmann, OECD Guidance on Objective Tests; OIV, Method MA-AS2-02"},
	{"Starch: bring the fruit to room temperature, cut across at the equator, stain the stem-end half and wait 2 minutes or more. Photograph before the cut face browns, within 20 to 30 minutes.",
		"Michigan State University Extension, 2023; Montana State University, Apple maturity in Montana, 2020; KOB Bavendorf"},
}

func rulesList() document.List {
	l := document.List{Key: "rules"}
	for _, r := range rules {
		l.Items = append(l.Items, r.text+" ("+r.source+")")
	}
	return l
}
