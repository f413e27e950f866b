package document

import (
	"bytes"
	"fmt"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgsvg"
)

// ChartWidth is the width of every chart, in points: as wide as a phone, so
// that letters keep their size there.
const ChartWidth vg.Length = 340

// Chart is a plot with the height it wants.
type Chart struct {
	Plot   *plot.Plot
	Height vg.Length // points
}

// SVG draws the chart as an element to stand inside a page. Its size follows
// the page; its text takes the page's letters.
func (c Chart) SVG() ([]byte, error) {
	canvas := vgsvg.New(ChartWidth, c.Height)
	c.Plot.Draw(draw.New(canvas))
	var b bytes.Buffer
	if _, err := canvas.WriteTo(&b); err != nil {
		return nil, fmt.Errorf("draw chart: %w", err)
	}
	_, body, _ := bytes.Cut(b.Bytes(), []byte("xmlns:xlink=\"http://www.w3.org/1999/xlink\">"))
	head := fmt.Sprintf(`<svg class="chart" viewBox="0 0 %g %g" aria-hidden="true" focusable="false">`,
		ChartWidth.Points(), c.Height.Points())
	return append([]byte(head), body...), nil
}
