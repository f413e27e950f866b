package report

import (
	"fmt"
	"math"
	"strconv"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"traystage/scoring"
	"traystage/scoring/report/document"
	"traystage/vision/note"
)

// spreadChart is the histogram of stages with the mean and its interval above.
// The summary holds at least one fruit and one bin.
func (say pen) spreadChart(s scoring.Summary) (document.Chart, error) {
	p := newPlot()
	p.X.Label.Text = say.quantity(scoring.StageOf)
	p.HideY()
	most := 0
	var counts plotter.XYLabels
	var bars []plotter.XYer
	for _, bin := range s.Bins {
		if bin.Count == 0 {
			continue
		}
		most = max(most, bin.Count)
		inset := (bin.High - bin.Low) * 0.06
		bars = append(bars, box(bin.Low+inset, bin.High-inset, 0, float64(bin.Count)))
		counts.XYs = append(counts.XYs, plotter.XY{X: bin.Stage, Y: float64(bin.Count)})
		counts.Labels = append(counts.Labels, strconv.Itoa(bin.Count))
	}
	p.X.Tick.Marker = say.marksOf(s.Bins)
	columns, err := plotter.NewPolygon(bars...)
	if err != nil {
		return document.Chart{}, fmt.Errorf("histogram: %w", err)
	}
	columns.Color, columns.LineStyle = straw, line(1, ink)
	numbers, err := labels(counts, draw.XCenter, draw.YBottom)
	if err != nil {
		return document.Chart{}, fmt.Errorf("histogram: %w", err)
	}
	numbers.Offset.Y = 2
	p.Add(columns, numbers)
	level := float64(most) * 1.32
	if err := say.addMean(p, s, level); err != nil {
		return document.Chart{}, err
	}
	p.X.Min, p.X.Max = ends(s.Bins)
	p.Y.Min, p.Y.Max = 0, float64(most)*1.55
	return document.Chart{Plot: p, Height: spreadHeight}, nil
}

// addMean draws the mean as a diamond with its interval as a bar, level high.
func (say pen) addMean(p *plot.Plot, s scoring.Summary, level float64) error {
	at := plotter.XYs{{X: s.Mean, Y: level}}
	if s.HasInterval() {
		bar, err := plotter.NewXErrorBars(intervals{at, plotter.XErrors{{Low: s.Mean - s.Low, High: s.High - s.Mean}}})
		if err != nil {
			return fmt.Errorf("mean: %w", err)
		}
		bar.LineStyle, bar.CapWidth = line(2, ink), 9
		p.Add(bar)
	}
	dot, err := scatter(at, draw.GlyphStyle{Color: ink, Radius: 4.5, Shape: diamond{filled: true}})
	if err != nil {
		return fmt.Errorf("mean: %w", err)
	}
	name, err := labels(plotter.XYLabels{XYs: at, Labels: []string{say.Text("chart.mean", note.Stage("mean", s.Mean))}}, draw.XCenter, draw.YBottom)
	if err != nil {
		return fmt.Errorf("mean: %w", err)
	}
	name.Offset.Y = 7
	p.Add(dot, name)
	return nil
}

// halvesChart is one line for each scored half in reading order: its stage and
// its interval; the mean's interval behind. Calls to look at are open diamonds,
// stages that a person gave are squares without interval.
func (say pen) halvesChart(fruit []scoring.Fruit, s scoring.Summary) (document.Chart, error) {
	p := newPlot()
	p.X.Label.Text = say.quantity(scoring.StageOf)
	p.Y.Label.Text = say.Text("head.half")
	p.Y.Scale = plot.InvertedScale{Normalizer: plot.LinearScale{}}
	var fine, look, given plotter.XYs
	var spans intervals
	var rows plot.ConstantTicks
	for _, f := range fruit {
		if !f.Scored() {
			continue
		}
		at := plotter.XY{X: f.Stage(), Y: float64(len(rows))}
		rows = append(rows, plot.Tick{Value: at.Y, Label: strconv.Itoa(f.Number)})
		switch {
		case f.Overridden():
			given = append(given, at)
			continue
		case f.Open():
			look = append(look, at)
		default:
			fine = append(fine, at)
		}
		spans.XYs = append(spans.XYs, at)
		spans.XErrors = append(spans.XErrors, struct{ Low, High float64 }{at.X - f.Call.Low, f.Call.High - at.X})
	}
	p.Y.Tick.Marker = rows
	p.Y.Min, p.Y.Max = -0.6, float64(len(rows))-0.4
	p.X.Tick.Marker = say.marksOf(s.Bins)
	if err := addBehind(p, s); err != nil {
		return document.Chart{}, err
	}
	if err := addSpans(p, spans); err != nil {
		return document.Chart{}, err
	}
	for _, dots := range []struct {
		at    plotter.XYs
		style draw.GlyphStyle
	}{
		{fine, draw.GlyphStyle{Color: ink, Radius: 3.6, Shape: draw.CircleGlyph{}}},
		{look, draw.GlyphStyle{Color: rust, Radius: 5.4, Shape: diamond{}}},
		{given, draw.GlyphStyle{Color: ink, Radius: 4, Shape: draw.BoxGlyph{}}},
	} {
		if err := addDots(p, dots.at, dots.style); err != nil {
			return document.Chart{}, err
		}
	}
	p.X.Min, p.X.Max = ends(s.Bins)
	return document.Chart{Plot: p, Height: vg.Length(len(rows))*rowHeight + 46}, nil
}

// marksOf puts a mark at the middle of each column of the histogram.
func (say pen) marksOf(bins []scoring.Bin) plot.ConstantTicks {
	var out plot.ConstantTicks
	for _, b := range bins {
		out = append(out, plot.Tick{Value: b.Stage, Label: say.Mark(b.Stage)})
	}
	return out
}

func addSpans(p *plot.Plot, spans intervals) error {
	if len(spans.XYs) == 0 {
		return nil
	}
	bars, err := plotter.NewXErrorBars(spans)
	if err != nil {
		return fmt.Errorf("intervals of the halves: %w", err)
	}
	bars.LineStyle, bars.CapWidth = line(1.2, ink), 5
	p.Add(bars)
	return nil
}

// addBehind draws the mean's interval as a band and the mean as a line.
func addBehind(p *plot.Plot, s scoring.Summary) error {
	if s.HasInterval() && s.High > s.Low {
		band, err := plotter.NewPolygon(box(s.Low, s.High, p.Y.Min, p.Y.Max))
		if err != nil {
			return fmt.Errorf("band of the mean: %w", err)
		}
		band.Color, band.LineStyle.Width = mist, 0
		p.Add(band)
	}
	mean, err := plotter.NewLine(plotter.XYs{{X: s.Mean, Y: p.Y.Min}, {X: s.Mean, Y: p.Y.Max}})
	if err != nil {
		return fmt.Errorf("line of the mean: %w", err)
	}
	mean.LineStyle = line(1, ink)
	mean.Dashes = []vg.Length{4, 3}
	p.Add(mean)
	return nil
}

func addDots(p *plot.Plot, at plotter.XYs, style draw.GlyphStyle) error {
	if len(at) == 0 {
		return nil
	}
	dots, err := scatter(at, style)
	if err != nil {
		return fmt.Errorf("stages of the halves: %w", err)
	}
	p.Add(dots)
	return nil
}

// ends is where the histogram starts and stops, low end first.
func ends(bins []scoring.Bin) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, b := range bins {
		low, high = min(low, b.Low), max(high, b.High)
	}
	return low, high
}
