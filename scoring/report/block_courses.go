package report

import (
	"slices"
	"strings"
	"time"

	"traystage/scoring"
	"traystage/scoring/report/document"
	"traystage/scoring/words"
	"traystage/vision/note"
)

// pictures are the trays with their outlines, and how the stages are spread.
func (b Block) pictures() (document.Section, error) {
	s := document.Section{Key: "pictures", Title: b.p.Text("title.pictures")}
	var f document.Figures
	for _, t := range b.Trays {
		if len(t.Bytes) > 0 {
			f.Figures = append(f.Figures, document.Drawing{
				Picture: t.Bytes, Name: t.Name, Wide: true, Caption: t.Name,
				Spoken: b.p.Text("spoken.tray", note.Name("photo", t.Name)),
			})
		}
	}
	charts, err := b.stageCharts()
	if err != nil {
		return document.Section{}, err
	}
	f.Figures = append(f.Figures, charts...)
	return s.With(f), nil
}

func (b Block) stageCharts() ([]document.Drawing, error) {
	if b.Stage.N == 0 || len(b.Stage.Bins) == 0 {
		return nil, nil
	}
	spread, err := b.p.spreadChart(b.Stage)
	if err != nil {
		return nil, err
	}
	var halves []scoring.Fruit
	for _, r := range b.Rows {
		if r.Half != nil {
			half := *r.Half
			half.Number = r.Fruit
			halves = append(halves, half)
		}
	}
	each, err := b.p.halvesChart(halves, b.Stage)
	if err != nil {
		return nil, err
	}
	return []document.Drawing{
		{Chart: &spread, Spoken: b.p.spokenSpread(b.Stage), Caption: b.p.Text("caption.spread")},
		{Chart: &each, Spoken: b.p.Text("spoken.each"),
			Caption: b.p.Text("caption.each")},
	}, nil
}

// spokenSpread is the histogram in words.
func (p pen) spokenSpread(s scoring.Summary) string {
	var out []string
	for _, bin := range s.Bins {
		if bin.Count > 0 {
			out = append(out, p.Text("spoken.bin", note.Count("n", bin.Count), note.Stage("stage", bin.Stage)))
		}
	}
	return p.Text("spoken.spread", note.Names("bins", out), note.Stage("mean", s.Mean))
}

// courses is how the block has gone through the season, and where it goes.
func (b Block) courses() (document.Section, error) {
	s := document.Section{Key: "trend", Title: b.p.Text("title.trend"), Sheet: b.p.Text("title.trend")}
	var f document.Figures
	for _, c := range b.seriesDrawn(true) {
		earlier := b.earlier(c)
		chart, err := b.p.courseChart(c, band(c, b.Origin.Day), earlier, b.Origin.Day)
		if err != nil {
			return document.Section{}, err
		}
		f.Figures = append(f.Figures, document.Drawing{
			Chart: &chart, Spoken: b.p.spokenSeries(c, earlier),
			Caption: words.Sentence(b.p.named(c.Quantity, c.Unit)),
		})
	}
	if len(f.Figures) > 0 {
		text := b.p.Text("text.course")
		if len(b.Earlier.Quantities) > 0 {
			text += " " + b.p.Text("text.course_earlier")
		}
		s = s.With(f, document.Text{Text: text})
	}
	return s.With(
		b.p.samplesTable("samples", b.p.Text("caption.samples"), b.seriesDrawn(true)),
		b.p.samplesTable("samples_other", b.p.Text("caption.samples_other"), b.seriesDrawn(false)),
		b.ratesTable(),
	), nil
}

// drawnQuantities have a chart; the others stand in the table of samples.
var drawnQuantities = map[scoring.Quantity]bool{
	scoring.StageOf: true, scoring.FirmnessOf: true, scoring.SolidsOf: true, scoring.StreifOf: true,
}

// spokenSeries is the course in words, for those who do not see the chart.
func (p pen) spokenSeries(c scoring.Series, earlier []pastCourse) string {
	d := digits(c.Quantity, c.Unit)
	var out []string
	for _, s := range c.Points {
		out = append(out, p.Text("spoken.point", note.Figure("mean", s.Mean, d, ""), note.Day("day", s.Day)))
	}
	for _, t := range p.targets(c) {
		out = append(out, t.name+" "+p.Number(t.value, d))
	}
	for _, e := range earlier {
		first, last := e.points[0], e.points[len(e.points)-1]
		out = append(out, p.Text("spoken.earlier", note.Name("season", e.season), note.Figure("from", first.mean, d, ""), note.Day("first", first.day), note.Figure("to", last.mean, d, ""), note.Day("last", last.day)))
	}
	return p.Text("spoken.series", note.Name("quantity", words.Sentence(p.named(c.Quantity, c.Unit))), note.Names("points", out))
}

// seriesDrawn gives the quantities that have a chart, or the others.
func (b Block) seriesDrawn(drawn bool) []scoring.Series {
	var out []scoring.Series
	for _, s := range b.Season {
		if drawnQuantities[s.Quantity] == drawn {
			out = append(out, s)
		}
	}
	return out
}

// samplesTable has a row for each day of a sample and two columns for each
// quantity.
func (p pen) samplesTable(key, caption string, all []scoring.Series) document.Table {
	t := document.Table{Key: key, Caption: caption, Cards: true, Columns: []document.Column{{Key: "day", Head: p.Text("head.day"), Kind: document.Words}}}
	var days []time.Time
	for _, c := range all {
		key := strings.ReplaceAll(string(c.Quantity), " ", "_")
		t.Columns = append(t.Columns,
			document.Column{Key: key, Head: p.quantity(c.Quantity), Unit: c.Unit},
			document.Column{Key: key + "_interval", Head: p.Text("head.interval"), Kind: document.Interval})
		for _, p := range c.Points {
			if !slices.ContainsFunc(days, p.Day.Equal) {
				days = append(days, p.Day)
			}
		}
	}
	slices.SortFunc(days, time.Time.Compare)
	for _, day := range days {
		row := []document.Cell{document.Day(day)}
		for _, c := range all {
			row = append(row, meanOn(c, day)...)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// meanOn gives the mean and its interval on one day.
func meanOn(c scoring.Series, day time.Time) []document.Cell {
	d := digits(c.Quantity, c.Unit)
	for _, p := range c.Points {
		if !p.Day.Equal(day) {
			continue
		}
		interval := document.Unknown()
		if p.HasInterval {
			interval = document.Between(document.Number(p.Low, d), document.Number(p.High, d))
		}
		return []document.Cell{document.Number(p.Mean, d), interval}
	}
	return []document.Cell{document.Unknown(), document.Unknown()}
}

func (b Block) ratesTable() document.Table {
	t := document.Table{
		Key: "rates", Caption: b.p.Text("caption.rates"),
		Columns: []document.Column{
			{Key: "quantity", Head: b.p.Text("head.what"), Kind: document.Words},
			{Key: "rate", Head: b.p.Text("head.a_day")},
			{Key: "interval", Head: b.p.Text("head.interval"), Kind: document.Interval},
			{Key: "usual", Head: b.p.Text("head.leans_on"), Kind: document.Words},
		},
	}
	for _, c := range b.Season {
		if fit := c.Trend; fit != nil {
			d := min(max(digits(c.Quantity, c.Unit)+1, 2), 3)
			rate := fit.Rate(c.Points[len(c.Points)-1].Day)
			usual := ""
			if fit.Prior != nil {
				usual = fit.Prior.From
			}
			t.Rows = append(t.Rows, []document.Cell{
				document.Word(b.p.named(c.Quantity, c.Unit)), document.Margin(rate.Value, d),
				document.Between(document.Margin(rate.Low, d), document.Margin(rate.High, d)), document.Word(usual),
			})
		}
	}
	return t
}
