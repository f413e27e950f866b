package setpicture

import (
	"bytes"
	"fmt"
	"image/color"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"

	"traystage/calibrate"
)

// Shape and lightness carry the meaning; the colour repeats it.
var (
	pathInk    = color.NRGBA{0x1f, 0x1b, 0x33, 0xff}
	gradedInk  = color.NRGBA{0x3b, 0x6e, 0x8f, 0xff}
	suspectInk = color.NRGBA{0xa8, 0x42, 0x00, 0xff}
)

const (
	checkWidth   = 7 * vg.Inch
	checkHeight  = 4.6 * vg.Inch
	checkDPI     = 150
	checkLetters = 11
	pathPoints   = 141 // twentieths of a stage on a scale of eight
)

// Check draws, as PNG, how much of the flesh is stained at each stage: the path of
// the set, its plates and graded halves, and those of a tray that is checked.
func Check(set calibrate.Set, c calibrate.Check, fresh []calibrate.Graded) ([]byte, error) {
	path, err := calibrate.Fit(set)
	if err != nil {
		return nil, err
	}
	p := plot.New()
	for _, style := range []*text.Style{&p.Title.TextStyle, &p.X.Label.TextStyle, &p.Y.Label.TextStyle, &p.X.Tick.Label, &p.Y.Tick.Label, &p.Legend.TextStyle} {
		style.Font = font.Font{Typeface: "Liberation", Variant: "Sans", Size: checkLetters}
	}
	p.Title.Text = fmt.Sprintf("%s version %d: %s", set.Name, set.Version, c.Verdict)
	p.Title.TextStyle.Font.Size, p.Title.Padding = checkLetters+2, 6
	p.X.Label.Text, p.Y.Label.Text = "stage", "stained flesh, %"
	p.X.Min, p.X.Max = min(set.Scale.Stained, set.Scale.Clear), max(set.Scale.Stained, set.Scale.Clear)
	p.Y.Min, p.Y.Max = 0, 100
	p.X.Tick.Marker = wholeStages{}
	p.Legend.Top, p.Legend.Left = true, set.Scale.Clear < set.Scale.Stained
	p.Legend.Padding = 3
	if err := addPath(p, path, set.Scale); err != nil {
		return nil, err
	}
	for _, s := range series(set, c, fresh) {
		if err := s.add(p); err != nil {
			return nil, err
		}
	}
	canvas := vgimg.NewWith(vgimg.UseWH(checkWidth, checkHeight), vgimg.UseDPI(checkDPI))
	area := draw.New(canvas)
	p.Draw(draw.Crop(area, 8, -14, 8, -8))
	var b bytes.Buffer
	if _, err := (vgimg.PngCanvas{Canvas: canvas}).WriteTo(&b); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// wholeStages marks each whole stage.
type wholeStages struct{}

func (wholeStages) Ticks(low, high float64) []plot.Tick {
	var out []plot.Tick
	for stage := low; stage <= high; stage++ {
		out = append(out, plot.Tick{Value: stage, Label: fmt.Sprint(stage)})
	}
	return out
}

func addPath(p *plot.Plot, path *calibrate.Path, scale calibrate.Scale) error {
	points := make(plotter.XYs, pathPoints)
	for i := range points {
		stage := scale.Stained + (scale.Clear-scale.Stained)*float64(i)/(pathPoints-1)
		points[i] = plotter.XY{X: stage, Y: 100 * path.StainedAt(stage)}
	}
	line, err := plotter.NewLine(points)
	if err != nil {
		return err
	}
	line.Color, line.Width = pathInk, 1.5
	p.Add(line)
	p.Legend.Add("path", line)
	return nil
}

// dots are the halves of one kind.
type dots struct {
	name   string
	points plotter.XYs
	style  draw.GlyphStyle
}

func (d dots) add(p *plot.Plot) error {
	if len(d.points) == 0 {
		return nil
	}
	s, err := plotter.NewScatter(d.points)
	if err != nil {
		return err
	}
	s.GlyphStyle = d.style
	p.Add(s)
	p.Legend.Add(d.name, s)
	return nil
}

// series sorts the halves by what they are; those drawn last lie on top.
func series(set calibrate.Set, c calibrate.Check, fresh []calibrate.Graded) []dots {
	misread := map[string]bool{}
	for _, s := range c.Suspects {
		misread[s.Source] = true
	}
	graded := dots{"graded half", nil, draw.GlyphStyle{Color: gradedInk, Radius: 3, Shape: draw.RingGlyph{}}}
	suspect := dots{"grade to look at again", nil, draw.GlyphStyle{Color: suspectInk, Radius: 4.5, Shape: draw.CrossGlyph{}}}
	tray := dots{"half of this tray", nil, draw.GlyphStyle{Color: suspectInk, Radius: 3.5, Shape: draw.TriangleGlyph{}}}
	plates := dots{"plate", nil, draw.GlyphStyle{Color: pathInk, Radius: 4, Shape: draw.SquareGlyph{}}}
	for _, g := range set.Graded {
		to := &graded
		if misread[g.Source] {
			to = &suspect
		}
		to.points = append(to.points, plotter.XY{X: g.Stage(), Y: 100 * g.Seen.Stained})
	}
	for _, g := range fresh {
		tray.points = append(tray.points, plotter.XY{X: g.Stage(), Y: 100 * g.Seen.Stained})
	}
	for _, p := range set.Plates {
		plates.points = append(plates.points, plotter.XY{X: p.Stage, Y: 100 * p.Stained})
	}
	return []dots{plates, graded, tray, suspect}
}
