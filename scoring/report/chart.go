package report

import (
	"bytes"
	"fmt"
	"image/color"
	"math"
	"strconv"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgsvg"

	"traystage/scoring"
)

// The charts are read on wet paper and by the colour-blind: light and dark and
// shape carry the meaning, the one colour only repeats it.
var (
	ink   = color.NRGBA{0x1f, 0x1b, 0x33, 0xff} // iodine on starch
	straw = color.NRGBA{0xec, 0xdc, 0xae, 0xff} // clear flesh
	mist  = color.NRGBA{0xe4, 0xe6, 0xe8, 0xff}
	rust  = color.NRGBA{0xa8, 0x42, 0x00, 0xff} // look here
)

const (
	// Points, the unit of vg.Length. As wide as a phone, so that letters keep their size there.
	chartWidth   vg.Length = 340
	letter       vg.Length = 11
	spreadHeight vg.Length = 190
	rowHeight    vg.Length = 17
)

// chart is a plot with the height it wants.
type chart struct {
	plot   *plot.Plot
	height vg.Length
}

// svg draws the chart as an element to stand inside a page. Its size follows
// the page; its text takes the page's letters.
func (c chart) svg() ([]byte, error) {
	canvas := vgsvg.New(chartWidth, c.height)
	c.plot.Draw(draw.New(canvas))
	var b bytes.Buffer
	if _, err := canvas.WriteTo(&b); err != nil {
		return nil, fmt.Errorf("draw chart: %w", err)
	}
	_, body, _ := bytes.Cut(b.Bytes(), []byte("xmlns:xlink=\"http://www.w3.org/1999/xlink\">"))
	head := fmt.Sprintf(`<svg class="chart" viewBox="0 0 %g %g" aria-hidden="true" focusable="false">`,
		chartWidth.Points(), c.height.Points())
	return append([]byte(head), body...), nil
}

// spreadChart is the histogram of stages with the mean and its interval above.
// The summary holds at least one fruit and one bin.
func spreadChart(s scoring.Summary) (chart, error) {
	p := newPlot()
	p.X.Label.Text = "stage"
	p.HideY()
	most := 0
	var marks plot.ConstantTicks
	var counts plotter.XYLabels
	var bars []plotter.XYer
	for _, bin := range s.Bins {
		marks = append(marks, plot.Tick{Value: bin.Stage, Label: mark(bin.Stage)})
		if bin.Count == 0 {
			continue
		}
		most = max(most, bin.Count)
		inset := (bin.High - bin.Low) * 0.06
		bars = append(bars, box(bin.Low+inset, bin.High-inset, 0, float64(bin.Count)))
		counts.XYs = append(counts.XYs, plotter.XY{X: bin.Stage, Y: float64(bin.Count)})
		counts.Labels = append(counts.Labels, strconv.Itoa(bin.Count))
	}
	p.X.Tick.Marker = marks
	columns, err := plotter.NewPolygon(bars...)
	if err != nil {
		return chart{}, fmt.Errorf("histogram: %w", err)
	}
	columns.Color, columns.LineStyle = straw, line(1, ink)
	numbers, err := labels(counts, draw.XCenter, draw.YBottom)
	if err != nil {
		return chart{}, fmt.Errorf("histogram: %w", err)
	}
	numbers.Offset.Y = 2
	p.Add(columns, numbers)
	level := float64(most) * 1.32
	if err := addMean(p, s, level); err != nil {
		return chart{}, err
	}
	p.X.Min, p.X.Max = ends(s.Bins)
	p.Y.Min, p.Y.Max = 0, float64(most)*1.55
	return chart{p, spreadHeight}, nil
}

// addMean draws the mean as a diamond with its interval as a bar, level high.
func addMean(p *plot.Plot, s scoring.Summary, level float64) error {
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
	name, err := labels(plotter.XYLabels{XYs: at, Labels: []string{"mean " + scoring.Tenth(s.Mean)}}, draw.XCenter, draw.YBottom)
	if err != nil {
		return fmt.Errorf("mean: %w", err)
	}
	name.Offset.Y = 7
	p.Add(dot, name)
	return nil
}

// halvesChart is one line for each scored half in reading order: its stage, its
// interval, the ones to look at as open diamonds; the mean's interval behind.
func halvesChart(fruit []scoring.Fruit, s scoring.Summary) (chart, error) {
	p := newPlot()
	p.X.Label.Text = "stage"
	p.Y.Label.Text = "half"
	p.Y.Scale = plot.InvertedScale{Normalizer: plot.LinearScale{}}
	var fine, look plotter.XYs
	var spans intervals
	var rows plot.ConstantTicks
	for _, f := range fruit {
		if !f.Scored() {
			continue
		}
		at := plotter.XY{X: f.Call.Stage, Y: float64(len(rows))}
		rows = append(rows, plot.Tick{Value: at.Y, Label: strconv.Itoa(f.Number)})
		spans.XYs = append(spans.XYs, at)
		spans.XErrors = append(spans.XErrors, struct{ Low, High float64 }{at.X - f.Call.Low, f.Call.High - at.X})
		if f.Call.Borderline {
			look = append(look, at)
		} else {
			fine = append(fine, at)
		}
	}
	p.Y.Tick.Marker = rows
	p.Y.Min, p.Y.Max = -0.6, float64(len(rows))-0.4
	var marks plot.ConstantTicks
	for _, bin := range s.Bins {
		marks = append(marks, plot.Tick{Value: bin.Stage, Label: mark(bin.Stage)})
	}
	p.X.Tick.Marker = marks
	if err := addBehind(p, s); err != nil {
		return chart{}, err
	}
	bars, err := plotter.NewXErrorBars(spans)
	if err != nil {
		return chart{}, fmt.Errorf("intervals of the halves: %w", err)
	}
	bars.LineStyle, bars.CapWidth = line(1.2, ink), 5
	p.Add(bars)
	if err := addDots(p, fine, draw.GlyphStyle{Color: ink, Radius: 3.6, Shape: draw.CircleGlyph{}}); err != nil {
		return chart{}, err
	}
	if err := addDots(p, look, draw.GlyphStyle{Color: rust, Radius: 5.4, Shape: diamond{}}); err != nil {
		return chart{}, err
	}
	p.X.Min, p.X.Max = ends(s.Bins)
	return chart{p, vg.Length(len(rows))*rowHeight + 46}, nil
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

// newPlot is an empty plot in the page's letters, without frame or padding.
func newPlot() *plot.Plot {
	p := plot.New()
	p.TextHandler = text.Plain{Fonts: font.DefaultCache}
	for _, axis := range []*plot.Axis{&p.X, &p.Y} {
		axis.Label.TextStyle.Font, axis.Label.TextStyle.Color = textStyle().Font, ink
		axis.Tick.Label.Font, axis.Tick.Label.Color = textStyle().Font, ink
		axis.LineStyle = line(1, ink)
		axis.Tick.LineStyle = line(1, ink)
		axis.Tick.Length = 4
		axis.Padding = 2
	}
	return p
}

func textStyle() draw.TextStyle {
	return draw.TextStyle{
		Color:   ink,
		Font:    font.Font{Typeface: "Liberation", Variant: "Sans", Size: letter},
		XAlign:  draw.XCenter,
		YAlign:  draw.YCenter,
		Handler: text.Plain{Fonts: font.DefaultCache},
	}
}

func labels(at plotter.XYLabels, x text.XAlignment, y text.YAlignment) (*plotter.Labels, error) {
	out, err := plotter.NewLabels(at)
	if err != nil {
		return nil, err
	}
	for i := range out.TextStyle {
		out.TextStyle[i] = textStyle()
		out.TextStyle[i].XAlign, out.TextStyle[i].YAlign = x, y
	}
	return out, nil
}

func scatter(at plotter.XYs, style draw.GlyphStyle) (*plotter.Scatter, error) {
	out, err := plotter.NewScatter(at)
	if err != nil {
		return nil, err
	}
	out.GlyphStyle = style
	return out, nil
}

func line(points float64, c color.Color) draw.LineStyle {
	return draw.LineStyle{Color: c, Width: vg.Points(points)}
}

func box(x0, x1, y0, y1 float64) plotter.XYs {
	return plotter.XYs{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
}

// intervals joins stages with how far their intervals reach to either side.
type intervals struct {
	plotter.XYs
	plotter.XErrors
}

// diamond is a square on its tip: open on paper, or filled.
type diamond struct{ filled bool }

// DrawGlyph draws the diamond at a point.
func (d diamond) DrawGlyph(c *draw.Canvas, style draw.GlyphStyle, at vg.Point) {
	r := style.Radius
	var path vg.Path
	path.Move(vg.Point{X: at.X, Y: at.Y + r})
	path.Line(vg.Point{X: at.X + r, Y: at.Y})
	path.Line(vg.Point{X: at.X, Y: at.Y - r})
	path.Line(vg.Point{X: at.X - r, Y: at.Y})
	path.Close()
	c.SetColor(style.Color)
	if !d.filled {
		c.SetColor(color.White)
	}
	c.Fill(path)
	c.SetLineStyle(line(2, style.Color))
	c.Stroke(path)
}
