package report

import (
	"fmt"
	"time"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"traystage/scoring/report/document"
)

const blockHeight vg.Length = 20

// windowsChart draws one row for each block in picking order: its window as a
// bar, the intervals of its two ends as whiskers, and the day of the outlook.
// The outlook holds at least one block.
func (say pen) windowsChart(o Outlook) (document.Chart, error) {
	o.p = say
	p := newPlot()
	p.Y.Scale = plot.InvertedScale{Normalizer: plot.LinearScale{}}
	first, last := o.spanOf()
	at := func(day time.Time) float64 { return day.Sub(first).Hours() / 24 }
	p.X.Min, p.X.Max = 0, at(last)
	p.Y.Min, p.Y.Max = -0.8, float64(len(o.Blocks))-0.4
	p.X.Tick.Marker = say.dayTicks(first, p.X.Min, p.X.Max)
	var names plot.ConstantTicks
	for row, b := range o.Blocks {
		names = append(names, plot.Tick{Value: float64(row), Label: short(b.Block.Name)})
		if err := say.addWindow(p, say.windowOf(b.Window), float64(row), b.Sure, at); err != nil {
			return document.Chart{}, fmt.Errorf("window of block %s: %w", b.Block.Name, err)
		}
	}
	p.Y.Tick.Marker = names
	p.Y.LineStyle.Width, p.Y.Tick.Length = 0, 0
	if err := say.addToday(p, at(o.Day), p.Y.Max, p.Y.Min); err != nil {
		return document.Chart{}, err
	}
	return document.Chart{Plot: p, Height: vg.Length(len(o.Blocks))*blockHeight + 50}, nil
}

// Heights in a row, of which one is 1 high.
const (
	barHalf    = 0.17 // half the height of a bar
	whiskerOff = 0.33 // of a whisker from the middle of its bar
)

// addWindow draws the bar of one window with the whiskers of its ends; an end
// that is not known lies at the edge of the chart and is a tip.
func (say pen) addWindow(p *plot.Plot, w window, row float64, sure bool, at func(time.Time) float64) error {
	if w.opens.day.IsZero() && w.closes.day.IsZero() {
		return addWords(p, say.Text("chart.no_window"), row)
	}
	tip := 0.02 * (p.X.Max - p.X.Min)
	from, to := p.X.Min+tip, p.X.Max-tip
	if !w.opens.day.IsZero() {
		from = max(p.X.Min, at(w.opens.day))
	}
	if !w.closes.day.IsZero() {
		to = min(p.X.Max, at(w.closes.day))
	}
	bar, err := plotter.NewPolygon(box(from, to, row-barHalf, row+barHalf))
	if err != nil {
		return err
	}
	bar.Color, bar.LineStyle = straw, line(1.2, ink)
	if !sure {
		bar.LineStyle.Dashes = []vg.Length{4, 3}
	}
	p.Add(bar)
	if w.opens.day.IsZero() {
		err = addTip(p, from, p.X.Min, row)
	} else {
		err = addWhisker(p, w.opens, row+whiskerOff, at)
	}
	if err != nil {
		return err
	}
	if w.closes.day.IsZero() {
		return addTip(p, to, p.X.Max, row)
	}
	return addWhisker(p, w.closes, row-whiskerOff, at)
}

// addWhisker draws the interval of a day; an end left open, or beyond the chart,
// reaches its edge.
func addWhisker(p *plot.Plot, t turn, row float64, at func(time.Time) float64) error {
	inside := func(x float64) float64 { return min(max(x, p.X.Min), p.X.Max) }
	low, high := p.X.Min, p.X.Max
	if !t.low.IsZero() {
		low = inside(at(t.low))
	}
	if !t.high.IsZero() {
		high = inside(at(t.high))
	}
	x := inside(at(t.day))
	span := intervals{plotter.XYs{{X: x, Y: row}}, plotter.XErrors{{Low: max(0, x-low), High: max(0, high-x)}}}
	bar, err := plotter.NewXErrorBars(span)
	if err != nil {
		return err
	}
	bar.LineStyle, bar.CapWidth = line(1.4, ink), 6
	p.Add(bar)
	return addDots(p, span.XYs, draw.GlyphStyle{Color: ink, Radius: 2.6, Shape: draw.CircleGlyph{}})
}

// addTip draws the tip of a bar that goes on beyond the chart.
func addTip(p *plot.Plot, from, to, row float64) error {
	tip, err := plotter.NewPolygon(plotter.XYs{{X: to, Y: row}, {X: from, Y: row - 2*barHalf}, {X: from, Y: row + 2*barHalf}})
	if err != nil {
		return err
	}
	tip.Color, tip.LineStyle.Width = ink, 0
	p.Add(tip)
	return nil
}

// addWords writes in the place of a bar.
func addWords(p *plot.Plot, text string, row float64) error {
	words, err := labels(plotter.XYLabels{XYs: plotter.XYs{{X: p.X.Min, Y: row}}, Labels: []string{text}}, draw.XLeft, draw.YCenter)
	if err != nil {
		return err
	}
	words.Offset.X = 6
	p.Add(words)
	return nil
}

// short is a name that leaves room for the chart beside it.
func short(name string) string {
	const most = 16
	letters := []rune(name)
	if len(letters) <= most {
		return name
	}
	return string(letters[:most-1]) + "…"
}
