// Package overlay draws what was found on a photo of a tray over it: the outline,
// number and stage of each half, and cuts halves out of it. What has to be looked at is
// told by shape as well as by colour.
//
// It takes pictures and figures and returns pictures; it reads and writes nothing.
package overlay

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"

	"github.com/disintegration/imaging"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/font/liberation"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgimg"

	"traystage/scoring"
)

// Crop cuts one half out of a picture of its tray, with a margin, as a square
// of the given side in pixels. width is that of the photo that the place is on.
func Crop(pic image.Image, width int, at scoring.Place, side int) *image.NRGBA {
	k := float64(pic.Bounds().Dx()) / float64(width)
	reach := 0.0
	for _, p := range at.Outline {
		reach = math.Max(reach, math.Max(math.Abs(p[0]-at.Centre[0]), math.Abs(p[1]-at.Centre[1])))
	}
	reach *= 1.06 * k
	x, y := at.Centre[0]*k, at.Centre[1]*k
	square := image.Rect(int(x-reach), int(y-reach), int(x+reach)+1, int(y+reach)+1).Add(pic.Bounds().Min)
	// A half at the edge of the photo is cut with the edge in the middle of nothing.
	ground := imaging.New(square.Dx(), square.Dy(), color.White)
	seen := square.Intersect(pic.Bounds())
	cut := imaging.Paste(ground, imaging.Crop(pic, seen), seen.Min.Sub(square.Min))
	return imaging.Resize(cut, side, side, imaging.Lanczos)
}

// Mark is what an overlay says of one half.
type Mark struct {
	Number   int
	Place    scoring.Place
	Label    string // such as a stage; empty for none
	Doubtful bool   // deserves a look: drawn dashed, with a diamond
	Clipped  bool   // cut off by the frame: drawn dotted
}

// Marks are those of the halves of a tray: their stages, and which are to be looked at.
func Marks(r scoring.Report) []Mark {
	marks := make([]Mark, len(r.Fruit))
	for i, f := range r.Fruit {
		marks[i] = Mark{Number: f.Number, Place: f.Place, Clipped: f.Clipped}
		if f.Scored() {
			marks[i].Label, marks[i].Doubtful = scoring.Tenth(f.Stage()), f.Open()
		}
	}
	return marks
}

// Colours that hold apart for colour-blind eyes and in grey, on trays of any
// colour: every line has a dark seam.
var (
	sure     = color.NRGBA{0x56, 0xB4, 0xE9, 0xFF}
	doubtful = color.NRGBA{0xF5, 0xC7, 0x10, 0xFF}
	cutOff   = color.NRGBA{0xFF, 0xFF, 0xFF, 0xFF}
	seam     = color.NRGBA{0x00, 0x00, 0x00, 0xB0}
	plaque   = color.NRGBA{0x10, 0x18, 0x20, 0xE0}
)

// Draw draws halves over a picture of their tray: outline, number and label. width
// is that of the photo that their places are on. Doubtful halves are dashed and carry
// a diamond with a question mark, halves cut off by the frame are dotted in white,
// suspects in yellow and without a number.
func Draw(pic image.Image, width int, marks []Mark, suspects []scoring.Suspect) *image.NRGBA {
	d := newDrawing(pic, float64(pic.Bounds().Dx())/float64(width))
	for _, s := range suspects {
		pen := vg.Length(d.pen)
		d.outline(s.Place.Outline, doubtful, []vg.Length{pen, 2 * pen})
	}
	for _, m := range marks {
		d.half(m)
	}
	return imaging.Clone(d.c.Image())
}

// drawing is a canvas over a picture, in pixels with y down.
type drawing struct {
	c     *vgimg.Canvas
	scale float64 // picture pixels per photo pixel
	high  float64
	pen   float64 // width of a line, px
	least float64 // height of the smallest letters, px
	faces text.Plain
}

func newDrawing(pic image.Image, scale float64) *drawing {
	size := pic.Bounds().Size()
	c := vgimg.NewWith(vgimg.UseImage(image.NewRGBA(image.Rectangle{Max: size})), vgimg.UseDPI(72))
	// A new canvas is blank whatever it was given.
	draw.Draw(c.Image(), c.Image().Bounds(), pic, pic.Bounds().Min, draw.Src)
	return &drawing{
		c:     c,
		scale: scale,
		high:  float64(size.Y),
		pen:   math.Max(2, float64(max(size.X, size.Y))/500),
		least: math.Max(11, float64(size.X)/52), // to be read with the whole width on a phone
		faces: text.Plain{Fonts: font.NewCache(liberation.Collection())},
	}
}

// at turns picture pixels into points of the canvas: at 72 dots an inch a
// point is a pixel, with y up.
func (d *drawing) at(x, y float64) vg.Point {
	return vg.Point{X: vg.Length(x), Y: vg.Length(d.high - y)}
}

func (d *drawing) half(m Mark) {
	pen := vg.Length(d.pen)
	ink := sure
	var dashes []vg.Length
	switch {
	case m.Clipped:
		ink, dashes = cutOff, []vg.Length{pen, 2 * pen}
	case m.Doubtful:
		ink, dashes = doubtful, []vg.Length{5 * pen, 2.5 * pen}
	}
	d.outline(m.Place.Outline, ink, dashes)
	d.plaque(m, ink)
}

// outline draws a closed line with a seam.
func (d *drawing) outline(points []scoring.Point, ink color.Color, dashes []vg.Length) {
	var edge vg.Path
	for i, p := range points {
		at := d.at(p[0]*d.scale, p[1]*d.scale)
		if i == 0 {
			edge.Move(at)
		} else {
			edge.Line(at)
		}
	}
	edge.Close()
	pen := vg.Length(d.pen)
	d.c.SetColor(seam)
	d.c.SetLineWidth(2 * pen)
	d.c.SetLineDash(nil, 0)
	d.c.Stroke(edge)
	d.c.SetColor(ink)
	d.c.SetLineWidth(pen)
	d.c.SetLineDash(dashes, 0)
	d.c.Stroke(edge)
	d.c.SetLineDash(nil, 0)
}

// plaque writes number and label on a dark ground below the core, where it
// hides least.
func (d *drawing) plaque(m Mark, ink color.Color) {
	size := math.Max(d.least, 0.30*m.Place.Radius*d.scale)
	x, y := m.Place.Centre[0]*d.scale, m.Place.Centre[1]*d.scale+0.55*m.Place.Radius*d.scale
	words := fmt.Sprint(m.Number)
	if m.Label != "" {
		words += ": " + m.Label
	}
	f := font.Font{Typeface: "Liberation", Variant: "Sans", Weight: 2}
	handle := font.From(f, vg.Length(size))
	sty := text.Style{Color: color.White, Font: handle, Handler: d.faces}
	wide, tall := float64(sty.Width(words)), size
	right := size / 2 // room for what stands to the right of the words
	if m.Doubtful {
		right = 1.85 * size // the diamond
	}
	x = math.Min(math.Max(x, wide/2+size/2), float64(d.c.Image().Bounds().Dx())-wide/2-right)
	y = math.Min(math.Max(y, size), d.high-size)
	d.fill(plaque, [2]float64{x - wide/2 - 0.3*size, y - 0.65*tall}, [2]float64{x + wide/2 + 0.3*size, y - 0.65*tall},
		[2]float64{x + wide/2 + 0.3*size, y + 0.65*tall}, [2]float64{x - wide/2 - 0.3*size, y + 0.65*tall})
	d.c.SetColor(color.White)
	face := d.faces.Fonts.Lookup(handle, vg.Length(size))
	d.c.FillString(face, d.at(x-wide/2, y+0.36*tall), words)
	if m.Doubtful {
		dx := x + wide/2 + 1.05*size
		d.fill(ink, [2]float64{dx, y - 0.8*size}, [2]float64{dx + 0.8*size, y}, [2]float64{dx, y + 0.8*size}, [2]float64{dx - 0.8*size, y})
		d.c.SetColor(color.Black)
		d.c.FillString(face, d.at(dx-0.3*size, y+0.36*tall), "?")
	}
}

func (d *drawing) fill(c color.Color, corners ...[2]float64) {
	var p vg.Path
	for i, k := range corners {
		if i == 0 {
			p.Move(d.at(k[0], k[1]))
		} else {
			p.Line(d.at(k[0], k[1]))
		}
	}
	p.Close()
	d.c.SetColor(c)
	d.c.Fill(p)
}
