package document

import (
	"image"
	"image/color"
	"math"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// chart draws a chart with its upper left corner at x, y, so many mm wide.
func (p *paper) chart(c Chart, x, y, wide float64) {
	scale := wide / float64(ChartWidth)
	canvas := &paperCanvas{paper: p, stack: []affine{{
		xx: scale, yy: -scale, x0: x, y0: y + scale*float64(c.Height),
	}}, scale: scale}
	c.Plot.Draw(draw.NewCanvas(canvas, ChartWidth, c.Height))
	p.pdf.SetDashPattern(nil, 0)
	p.ink()
}

// affine takes a point of a chart, in points with y upward, to the paper, in mm
// with y downward.
type affine struct{ xx, xy, yx, yy, x0, y0 float64 }

func (a affine) at(pt vg.Point) (x, y float64) {
	return a.xx*float64(pt.X) + a.xy*float64(pt.Y) + a.x0, a.yx*float64(pt.X) + a.yy*float64(pt.Y) + a.y0
}

// paperCanvas lets gonum/plot draw on a page. It keeps the transform itself:
// charts only move and turn, and text then stays text in the PDF.
type paperCanvas struct {
	*paper
	stack []affine
	scale float64 // mm for each point
	thick vg.Length
}

func (c *paperCanvas) now() *affine { return &c.stack[len(c.stack)-1] }

// SetLineWidth sets the width of strokes.
func (c *paperCanvas) SetLineWidth(w vg.Length) {
	c.thick = w
	c.pdf.SetLineWidth(c.scale * float64(w))
}

// SetLineDash sets the pattern of strokes.
func (c *paperCanvas) SetLineDash(pattern []vg.Length, offset vg.Length) {
	dashes := make([]float64, len(pattern))
	for i, d := range pattern {
		dashes[i] = c.scale * float64(d)
	}
	c.pdf.SetDashPattern(dashes, c.scale*float64(offset))
}

// SetColor sets the colour of strokes, fills and text. Charts use opaque colours.
func (c *paperCanvas) SetColor(to color.Color) {
	if to == nil {
		to = color.Black
	}
	n := color.NRGBAModel.Convert(to).(color.NRGBA)
	r, g, b := int(n.R), int(n.G), int(n.B)
	c.pdf.SetDrawColor(r, g, b)
	c.pdf.SetFillColor(r, g, b)
	c.pdf.SetTextColor(r, g, b)
}

// Rotate turns what is drawn from now on.
func (c *paperCanvas) Rotate(rad float64) {
	sin, cos := math.Sincos(rad)
	a := *c.now()
	*c.now() = affine{
		xx: a.xx*cos + a.xy*sin, xy: a.xy*cos - a.xx*sin,
		yx: a.yx*cos + a.yy*sin, yy: a.yy*cos - a.yx*sin,
		x0: a.x0, y0: a.y0,
	}
}

// Translate moves what is drawn from now on.
func (c *paperCanvas) Translate(pt vg.Point) {
	a := c.now()
	a.x0, a.y0 = a.at(pt)
}

// Scale stretches what is drawn from now on.
func (c *paperCanvas) Scale(x, y float64) {
	a := c.now()
	a.xx, a.yx, a.xy, a.yy = a.xx*x, a.yx*x, a.xy*y, a.yy*y
}

// Push keeps the transform until Pop.
func (c *paperCanvas) Push() { c.stack = append(c.stack, *c.now()) }

// Pop takes back the transform of the last Push.
func (c *paperCanvas) Pop() { c.stack = c.stack[:len(c.stack)-1] }

// Stroke draws along a path.
func (c *paperCanvas) Stroke(path vg.Path) {
	if c.thick > 0 {
		c.path(path)
		c.pdf.DrawPath("D")
	}
}

// Fill fills a path.
func (c *paperCanvas) Fill(path vg.Path) {
	c.path(path)
	c.pdf.DrawPath("F")
}

func (c *paperCanvas) path(path vg.Path) {
	for _, step := range path {
		switch step.Type {
		case vg.MoveComp:
			c.pdf.MoveTo(c.now().at(step.Pos))
		case vg.LineComp:
			c.pdf.LineTo(c.now().at(step.Pos))
		case vg.CurveComp:
			c.curve(step)
		case vg.ArcComp:
			c.arc(step)
		case vg.CloseComp:
			c.pdf.ClosePath()
		}
	}
}

func (c *paperCanvas) curve(step vg.PathComp) {
	x, y := c.now().at(step.Pos)
	x0, y0 := c.now().at(step.Control[0])
	if len(step.Control) == 1 {
		c.pdf.CurveTo(x0, y0, x, y)
		return
	}
	x1, y1 := c.now().at(step.Control[1])
	c.pdf.CurveBezierCubicTo(x0, y0, x1, y1, x, y)
}

// arc follows a circle in chords so short that they are not seen.
func (c *paperCanvas) arc(step vg.PathComp) {
	const chords = 32
	for i := range chords + 1 {
		sin, cos := math.Sincos(step.Start + step.Angle*float64(i)/chords)
		c.pdf.LineTo(c.now().at(vg.Point{
			X: step.Pos.X + step.Radius*vg.Length(cos), Y: step.Pos.Y + step.Radius*vg.Length(sin),
		}))
	}
}

// FillString writes text, its base line beginning at a point.
func (c *paperCanvas) FillString(f font.Face, pt vg.Point, text string) {
	c.letters("", float64(f.Font.Size)*c.scale*72/25.4)
	x, y := c.now().at(pt)
	c.pdf.TransformBegin()
	c.pdf.TransformRotate(math.Atan2(-c.now().yx, c.now().xx)*180/math.Pi, x, y)
	c.pdf.Text(x, y, c.able(text))
	c.pdf.TransformEnd()
}

// DrawImage draws nothing: no chart of ours holds a picture.
func (c *paperCanvas) DrawImage(vg.Rectangle, image.Image) {}
