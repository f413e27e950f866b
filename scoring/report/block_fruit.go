package report

import (
	"strings"

	"traystage/scoring"
	"traystage/scoring/instrument"
	"traystage/scoring/report/document"
	"traystage/vision/note"
)

// fruitColumn is one column of the table of fruit.
type fruitColumn struct {
	document.Column
	cell func(scoring.Row) document.Cell
	mean document.Cell
}

// fruit is the table of all fruit, with the columns that hold something.
func (b Block) fruit() document.Section {
	if len(b.Rows) == 0 {
		return document.Section{}
	}
	t := document.Table{Key: "fruit", Caption: b.p.Text("caption.fruit")}
	columns := b.fruitColumns()
	foot := make([]document.Cell, 0, len(columns))
	for _, c := range columns {
		t.Columns = append(t.Columns, c.Column)
		foot = append(foot, c.mean)
	}
	for _, r := range b.Rows {
		var row []document.Cell
		for _, c := range columns {
			row = append(row, c.cell(r))
		}
		t.Rows = append(t.Rows, row)
	}
	t.Foot = [][]document.Cell{foot}
	return document.Section{Key: "fruit", Title: b.p.Text("title.fruit"), Sheet: b.p.Text("sheet.fruit"), Parts: []document.Part{t}}
}

func (b Block) fruitColumns() []fruitColumn {
	all := []fruitColumn{
		{document.Column{Key: "fruit", Head: b.p.Text("head.fruit"), Kind: document.Words}, func(r scoring.Row) document.Cell { return document.Count(r.Fruit) }, document.Word(b.p.Text("head.mean"))},
		{document.Column{Key: "stage", Head: b.p.Text("head.stage")}, stageCell, document.Strong(b.stageMean())},
		{document.Column{Key: "interval", Head: b.p.Text("head.interval"), Kind: document.Interval}, callInterval, b.stageInterval()},
		{document.Column{Key: "stained", Head: b.p.Text("head.stained"), Unit: "%"}, stainedCell, b.meanOf(scoring.StainedOf)},
		b.readColumn("firmness", scoring.FirmnessOf, func(r scoring.Row) *float64 { return r.Firmness }),
		b.sidesColumn(),
		b.readColumn("solids", scoring.SolidsOf, func(r scoring.Row) *float64 { return r.Solids }),
		b.readColumn("red", scoring.RedOf, func(r scoring.Row) *float64 { return r.Red }),
		b.readColumn("ground", scoring.GroundOf, func(r scoring.Row) *float64 { return r.Ground }),
		b.readColumn("streif", scoring.StreifOf, func(r scoring.Row) *float64 { return r.Streif }),
		{document.Column{Key: "judged", Head: b.p.Text("head.call"), Kind: document.Words}, b.p.judgedCell, document.Cell{}},
		{document.Column{Key: "note", Head: b.p.Text("head.note"), Kind: document.Words}, noteCell, document.Cell{}},
	}
	var out []fruitColumn
	for i, c := range all {
		if i == 0 || b.anyIn(c) {
			out = append(out, c)
		}
	}
	return out
}

func (b Block) anyIn(c fruitColumn) bool {
	for _, r := range b.Rows {
		if !c.cell(r).Empty() {
			return true
		}
	}
	return false
}

// readColumn is a column of what was read, or worked out from it.
func (b Block) readColumn(key string, q scoring.Quantity, of func(scoring.Row) *float64) fruitColumn {
	s := b.statistic(q)
	d := digits(q, s.Unit)
	return fruitColumn{
		document.Column{Key: key, Head: b.p.quantity(q), Unit: s.Unit},
		func(r scoring.Row) document.Cell {
			if v := of(r); v != nil {
				return document.Number(*v, d)
			}
			return document.Unknown()
		},
		b.meanOf(q),
	}
}

// statistic is what is known of a quantity; N is 0 where nothing is.
func (b Block) statistic(q scoring.Quantity) scoring.Statistic {
	if b.Streif != nil && q == scoring.StreifOf {
		return b.Streif.OfFruit
	}
	for _, s := range append([]scoring.Statistic{b.Stained}, b.Statistics...) {
		if s.Quantity == q {
			return s
		}
	}
	return scoring.Statistic{}
}

func (b Block) meanOf(q scoring.Quantity) document.Cell {
	s := b.statistic(q)
	if s.N == 0 {
		return document.Unknown()
	}
	return document.Number(s.Mean, digits(q, s.Unit))
}

func (b Block) stageMean() document.Cell {
	if b.Stage.N == 0 {
		return document.Unknown()
	}
	return document.Number(b.Stage.Mean, 1)
}

func (b Block) stageInterval() document.Cell {
	if !b.Stage.HasInterval() {
		return document.Unknown()
	}
	return stages(b.Stage.Low, b.Stage.High)
}

func stageCell(r scoring.Row) document.Cell {
	if r.Half == nil || !r.Half.Scored() {
		return document.Unknown()
	}
	return document.Strong(document.Number(r.Half.Stage(), 1))
}

// measured says whether the half was measured on a photo, so that it has a
// call and a stained share.
func measured(r scoring.Row) bool {
	return r.Half != nil && !r.Half.Clipped && r.Half.Unscored.IsZero()
}

func callInterval(r scoring.Row) document.Cell {
	if !measured(r) || r.Half.Overridden() {
		return document.Unknown()
	}
	return stages(r.Half.Call.Low, r.Half.Call.High)
}

func stainedCell(r scoring.Row) document.Cell {
	if !measured(r) {
		return document.Unknown()
	}
	return document.Number(100*r.Half.Stained, 0)
}

// sidesColumn holds the figures of the sides as they were read, in the unit they
// were read in: in the heading where all have the same.
func (b Block) sidesColumn() fruitColumn {
	units := map[instrument.Unit]bool{}
	unit := instrument.Unit("")
	for _, r := range b.Rows {
		for _, side := range sidesOf(r) {
			unit, units[side.Unit] = side.Unit, true
		}
	}
	if len(units) > 1 {
		unit = ""
	}
	return fruitColumn{
		document.Column{Key: "sides", Head: b.p.Text("head.sides"), Unit: string(unit)},
		func(r scoring.Row) document.Cell { return b.p.sidesCell(r, unit) }, document.Cell{},
	}
}

func sidesOf(r scoring.Row) []instrument.Force {
	if r.Reading == nil || r.Reading.Firmness == nil {
		return nil
	}
	return r.Reading.Firmness.Sides
}

// sidesCell is "17.2, 16.8", with the unit behind a figure that is not in the
// unit of the column.
func (p pen) sidesCell(r scoring.Row, unit instrument.Unit) document.Cell {
	var figures []string
	for _, side := range sidesOf(r) {
		figure := p.Number(side.Value, 1)
		if side.Unit != unit {
			figure += " " + string(side.Unit)
		}
		figures = append(figures, figure)
	}
	return document.Word(strings.Join(figures, ", "))
}

// judgedCell says what people made of the call, or what they should.
func (p pen) judgedCell(r scoring.Row) document.Cell {
	h := r.Half
	switch {
	case h == nil:
		return document.Cell{}
	case h.Overridden() && measured(r):
		return document.Word(p.Text("judged.instead", note.Name("by", h.Review.By), note.Stage("call", h.Call.Stage)))
	case h.Overridden():
		return document.Word(p.Text("judged.given", note.Name("by", h.Review.By)))
	case h.Review != nil:
		return document.Word(p.Text("judged.confirmed", note.Name("by", h.Review.By)))
	case !h.Scored():
		return document.Word(p.Text("judged.no_stage", note.Notes("why", h.WhyUnscored())))
	case h.Open():
		return document.Strong(document.Word("◊ " + p.Text("judged.look")))
	}
	return document.Cell{}
}

func noteCell(r scoring.Row) document.Cell {
	if r.Reading == nil {
		return document.Cell{}
	}
	return document.Word(r.Reading.Note)
}
