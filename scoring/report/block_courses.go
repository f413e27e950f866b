package report

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"traystage/scoring"
	"traystage/scoring/report/document"
)

// pictures are the trays with their outlines, and how the stages are spread.
func (b Block) pictures() (document.Section, error) {
	s := document.Section{Key: "pictures", Title: "The sample in pictures"}
	var f document.Figures
	for _, t := range b.Trays {
		if len(t.Bytes) > 0 {
			f.Figures = append(f.Figures, document.Drawing{
				Picture: t.Bytes, Name: t.Name, Wide: true, Caption: t.Name,
				Spoken: "The tray photo " + t.Name + " with the outline, number and stage of each half drawn in. The table of fruit holds the same figures.",
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
	spread, err := spreadChart(b.Stage)
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
	each, err := halvesChart(halves, b.Stage)
	if err != nil {
		return nil, err
	}
	return []document.Drawing{
		{Chart: &spread, Spoken: spokenSpread(b.Stage), Caption: "How many fruit at each stage. The diamond is the mean, the bar its interval."},
		{Chart: &each, Spoken: "Stage and interval of each fruit, as in the table of fruit",
			Caption: "Each fruit with its interval. Open diamonds are to look at, squares were given by eye. The grey band is where the mean lies."},
	}, nil
}

// spokenSpread is the histogram in words.
func spokenSpread(s scoring.Summary) string {
	var out []string
	for _, bin := range s.Bins {
		if bin.Count > 0 {
			out = append(out, fmt.Sprintf("%d at stage %s", bin.Count, mark(bin.Stage)))
		}
	}
	return "Histogram of stages: " + strings.Join(append(out, "mean "+scoring.Tenth(s.Mean)), ", ")
}

// courses is how the block has gone through the season, and where it goes.
func (b Block) courses() (document.Section, error) {
	s := document.Section{Key: "trend", Title: "Trend", Sheet: "Trend"}
	var f document.Figures
	for _, c := range b.seriesDrawn(true) {
		chart, err := courseChart(c, band(c, b.Origin.Day), b.Origin.Day)
		if err != nil {
			return document.Section{}, err
		}
		f.Figures = append(f.Figures, document.Drawing{
			Chart: &chart, Spoken: spokenSeries(c),
			Caption: sentence(named(c.Quantity, c.Unit)),
		})
	}
	if len(f.Figures) > 0 {
		s = s.With(f, document.Text{Text: courseKey})
	}
	return s.With(
		samplesTable("samples", "Samples of the season", b.seriesDrawn(true)),
		samplesTable("samples_other", "What else was read", b.seriesDrawn(false)),
		b.ratesTable(),
	), nil
}

const courseKey = "Dots are samples with the interval of their mean, dash-dotted lines are targets, the dotted one is the day of the report. " +
	"The dashed line is the fitted course; the block’s mean lies in the grey band around it in nine cases of ten."

// drawnQuantities have a chart; the others stand in the table of samples.
var drawnQuantities = map[scoring.Quantity]bool{
	scoring.StageOf: true, scoring.FirmnessOf: true, scoring.SolidsOf: true, scoring.StreifOf: true,
}

// spokenSeries is the course in words, for those who do not see the chart.
func spokenSeries(c scoring.Series) string {
	d := digits(c.Quantity, c.Unit)
	var out []string
	for _, p := range c.Points {
		out = append(out, fmt.Sprintf("%s on %s", document.Decimal(p.Mean, d), p.Day.Format("2 January")))
	}
	for _, t := range targets(c) {
		out = append(out, fmt.Sprintf("%s at %s", t.name, document.Decimal(t.value, d)))
	}
	return fmt.Sprintf("%s through the season: %s", sentence(named(c.Quantity, c.Unit)), strings.Join(out, ", "))
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
func samplesTable(key, caption string, all []scoring.Series) document.Table {
	t := document.Table{Key: key, Caption: caption, Columns: []document.Column{{Key: "day", Head: "day", Kind: document.Words}}}
	var days []time.Time
	for _, c := range all {
		key := strings.ReplaceAll(string(c.Quantity), " ", "_")
		t.Columns = append(t.Columns,
			document.Column{Key: key, Head: string(c.Quantity), Unit: c.Unit},
			document.Column{Key: key + "_interval", Head: "90 %", Kind: document.Interval})
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
		Key: "rates", Caption: "How fast it went at the last sample",
		Columns: []document.Column{
			{Key: "quantity", Head: "what", Kind: document.Words},
			{Key: "rate", Head: "a day"},
			{Key: "interval", Head: "90 %", Kind: document.Interval},
			{Key: "usual", Head: "leans on", Kind: document.Words},
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
				document.Word(named(c.Quantity, c.Unit)), document.Margin(rate.Value, d),
				document.Between(document.Margin(rate.Low, d), document.Margin(rate.High, d)), document.Word(usual),
			})
		}
	}
	return t
}
