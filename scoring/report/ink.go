package report

import (
	"image/color"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// The charts are read on wet paper and by the colour-blind: light and dark and
// shape carry the meaning, the one colour only repeats it.
var (
	ink   = color.NRGBA{0x1f, 0x1b, 0x33, 0xff} // iodine on starch
	straw = color.NRGBA{0xec, 0xdc, 0xae, 0xff} // clear flesh
	mist  = color.NRGBA{0xe4, 0xe6, 0xe8, 0xff}
	slate = color.NRGBA{0x6b, 0x70, 0x78, 0xff} // earlier years
	rust  = color.NRGBA{0xa8, 0x42, 0x00, 0xff} // look here
)

// Points, the unit of vg.Length.
const (
	letter       vg.Length = 11
	spreadHeight vg.Length = 190
	rowHeight    vg.Length = 17
)

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
