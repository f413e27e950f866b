package report

import (
	"fmt"
	"math"
	"time"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"traystage/scoring"
	"traystage/scoring/report/document"
)

const courseHeight vg.Length = 210

var dashDot = []vg.Length{7, 3, 1.5, 3}

// courseChart draws the samples of a course with their intervals, the curve
// through them with its band, the targets, and earlier seasons behind. The course
// holds at least one sample.
func (say pen) courseChart(c scoring.Series, band []point, earlier []pastCourse, today time.Time) (document.Chart, error) {
	p := newPlot()
	origin := c.Points[0].Day
	at := func(day time.Time) float64 { return day.Sub(origin).Hours() / 24 }
	if err := addBand(p, band, at); err != nil {
		return document.Chart{}, fmt.Errorf("course of %s: %w", c.Quantity, err)
	}
	if err := addEarlier(p, earlier, at); err != nil {
		return document.Chart{}, fmt.Errorf("earlier seasons of %s: %w", c.Quantity, err)
	}
	if err := addSamples(p, c.Points, at); err != nil {
		return document.Chart{}, fmt.Errorf("samples of %s: %w", c.Quantity, err)
	}
	p.X.Min, p.X.Max = days(c, band, earlier, at)
	p.Y.Min, p.Y.Max = say.extent(c, band, earlier)
	d := digits(c.Quantity, c.Unit)
	p.Y.Tick.Marker = plot.TickerFunc(func(min, max float64) []plot.Tick { return say.figureTicks(min, max, d) })
	p.X.Tick.Marker = say.dayTicks(origin, p.X.Min, p.X.Max)
	if err := say.addTargets(p, say.targets(c), d); err != nil {
		return document.Chart{}, fmt.Errorf("targets of %s: %w", c.Quantity, err)
	}
	if x := at(today); x >= p.X.Min && x <= p.X.Max {
		if err := say.addToday(p, x, p.Y.Min, p.Y.Max); err != nil {
			return document.Chart{}, err
		}
	}
	return document.Chart{Plot: p, Height: courseHeight}, nil
}

// addBand draws where the block's mean may lie, its edges thin and its middle
// dashed, so that it is seen in print without grey too.
func addBand(p *plot.Plot, points []point, at func(time.Time) float64) error {
	if len(points) < 2 {
		return nil
	}
	var low, mid, high plotter.XYs
	for _, b := range points {
		x := at(b.day)
		low, mid, high = append(low, plotter.XY{X: x, Y: b.Low}), append(mid, plotter.XY{X: x, Y: b.Value}), append(high, plotter.XY{X: x, Y: b.High})
	}
	edge := append(plotter.XYs{}, low...)
	for i := len(high) - 1; i >= 0; i-- {
		edge = append(edge, high[i])
	}
	band, err := plotter.NewPolygon(edge)
	if err != nil {
		return err
	}
	band.Color, band.LineStyle = mist, line(0.5, ink)
	middle, err := plotter.NewLine(mid)
	if err != nil {
		return err
	}
	middle.LineStyle = line(1.2, ink)
	middle.Dashes = []vg.Length{4, 3}
	p.Add(band, middle)
	return nil
}

func addSamples(p *plot.Plot, points []scoring.DayMean, at func(time.Time) float64) error {
	var dots plotter.XYs
	var spans struct {
		plotter.XYs
		plotter.YErrors
	}
	for _, s := range points {
		xy := plotter.XY{X: at(s.Day), Y: s.Mean}
		dots = append(dots, xy)
		if s.HasInterval {
			spans.XYs = append(spans.XYs, xy)
			spans.YErrors = append(spans.YErrors, struct{ Low, High float64 }{s.Mean - s.Low, s.High - s.Mean})
		}
	}
	if len(spans.XYs) > 0 {
		bars, err := plotter.NewYErrorBars(spans)
		if err != nil {
			return err
		}
		bars.LineStyle, bars.CapWidth = line(1.2, ink), 6
		p.Add(bars)
	}
	return addDots(p, dots, draw.GlyphStyle{Color: ink, Radius: 3.6, Shape: draw.CircleGlyph{}})
}

// addTargets draws a dash-dotted line for each target with its name above its
// right end.
func (say pen) addTargets(p *plot.Plot, all []target, d int) error {
	for _, t := range all {
		level, err := plotter.NewLine(plotter.XYs{{X: p.X.Min, Y: t.value}, {X: p.X.Max, Y: t.value}})
		if err != nil {
			return err
		}
		level.LineStyle = line(1.2, rust)
		level.Dashes = dashDot
		name, err := labels(plotter.XYLabels{
			XYs:    plotter.XYs{{X: p.X.Max, Y: t.value}},
			Labels: []string{t.name + " " + say.Number(t.value, d)},
		}, draw.XRight, draw.YBottom)
		if err != nil {
			return err
		}
		name.Offset = vg.Point{X: -9, Y: 2} // letters of a page may be wider than ours
		p.Add(level, name)
	}
	return nil
}

// addToday draws the day of the report as a thin upright line.
func (say pen) addToday(p *plot.Plot, x, low, high float64) error {
	upright, err := plotter.NewLine(plotter.XYs{{X: x, Y: low}, {X: x, Y: high}})
	if err != nil {
		return fmt.Errorf("line of today: %w", err)
	}
	upright.LineStyle = line(1, ink)
	upright.Dashes = []vg.Length{1.5, 2.5}
	side := draw.XCenter
	if room := 0.1 * (p.X.Max - p.X.Min); x > p.X.Max-room {
		side = draw.XRight // the word would run over the edge
	}
	name, err := labels(plotter.XYLabels{XYs: plotter.XYs{{X: x, Y: high}}, Labels: []string{say.Text("head.today")}}, side, draw.YBottom)
	if err != nil {
		return fmt.Errorf("line of today: %w", err)
	}
	name.Offset.Y = 1
	p.Add(upright, name)
	return nil
}

// target is one end of what the standard asks.
type target struct {
	name  string
	value float64
}

// targets are the ends that are set, named by what happens there: as fruit
// ripen the window opens with one and closes with the other.
func (say pen) targets(c scoring.Series) []target {
	var out []target
	if c.Opens.Set {
		out = append(out, target{say.Text("head.opens"), c.Opens.Value})
	}
	if c.Closes.Set {
		out = append(out, target{say.Text("head.closes"), c.Closes.Value})
	}
	return out
}

// days is how far the chart reaches: a day before what it shows and, for the
// names of the targets, a fourth of it beyond.
func days(c scoring.Series, band []point, earlier []pastCourse, at func(time.Time) float64) (first, last float64) {
	first, last = math.Inf(1), math.Inf(-1)
	grow := func(day time.Time) { first, last = min(first, at(day)), max(last, at(day)) }
	for _, p := range c.Points {
		grow(p.Day)
	}
	for _, p := range band {
		grow(p.day)
	}
	for _, e := range earlier {
		for _, p := range e.points {
			grow(p.day)
		}
	}
	return first - 1, last + max(1, 0.25*(last-first))
}

// extent is what the chart shows of the quantity: the samples, the band and the
// targets, with room for the names of the targets.
func (say pen) extent(c scoring.Series, band []point, earlier []pastCourse) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	grow := func(values ...float64) {
		for _, v := range values {
			low, high = min(low, v), max(high, v)
		}
	}
	for _, p := range c.Points {
		grow(p.Mean)
		if p.HasInterval {
			grow(p.Low, p.High)
		}
	}
	for _, p := range band {
		grow(p.Low, p.High)
	}
	for _, t := range say.targets(c) {
		grow(t.value)
	}
	for _, e := range earlier {
		for _, p := range e.points {
			grow(p.mean)
		}
	}
	room := max((high-low)*0.08, 1e-6)
	return low - room, high + 2*room
}

// figureTicks are marks at round figures, told with the decimals that they need.
func (say pen) figureTicks(low, high float64, d int) []plot.Tick {
	ticks := plot.DefaultTicks{}.Ticks(low, high)
	var out []plot.Tick
	for _, t := range ticks {
		if t.Label != "" {
			out = append(out, plot.Tick{Value: t.Value, Label: say.Number(t.Value, d)})
		}
	}
	return out
}

// dayTicks are marks at most a week apart, or at as many days as leave seven of
// them.
func (say pen) dayTicks(origin time.Time, first, last float64) plot.ConstantTicks {
	const most = 7
	step := 1.0
	for _, s := range []float64{1, 2, 7, 14, 28, 56, 112} {
		step = s
		if (last-first)/s <= most {
			break
		}
	}
	var out plot.ConstantTicks
	// For half a name: on the left it may stand below the numbers of the other axis, on the right the chart ends.
	from, to := first+0.03*(last-first), last-0.07*(last-first)
	for x := math.Ceil(from/step) * step; x <= to; x += step {
		day := origin.AddDate(0, 0, int(math.Round(x)))
		out = append(out, plot.Tick{Value: x, Label: say.On(day).ShortDay(day)}) // without a year: there is no room
	}
	return out
}
