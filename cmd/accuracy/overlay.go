package main

import (
	"bytes"
	"fmt"
	"image/color"
	"os"
	"path/filepath"
	"strings"

	"git.sr.ht/~sbinet/gg"
	"github.com/disintegration/imaging"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/opentype"

	"traystage/vision"
)

var (
	trueColour    = color.RGBA{0, 200, 0, 255}
	foundColour   = color.RGBA{255, 0, 200, 255}
	clippedColour = color.RGBA{255, 150, 0, 255}
	missColour    = color.RGBA{230, 0, 0, 255}
)

// writeOverlays draws each photo of a group with the true outlines in green and
// the found ones in pink (orange when reported as clipped), the number of each
// half and the error of its stained fraction.
func writeOverlays(dir string, g group, outcomes []outcome) error {
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	for _, o := range outcomes {
		if err := writeOverlay(dir, g, o); err != nil {
			return fmt.Errorf("overlay of %s: %w", o.photo.name, err)
		}
	}
	return nil
}

func writeOverlay(dir string, g group, o outcome) error {
	data, _, err := o.photo.load()
	if err != nil {
		return err
	}
	img, err := imaging.Decode(bytes.NewReader(data), imaging.AutoOrientation(true))
	if err != nil {
		return err
	}
	dc := gg.NewContextForImage(img)
	// Line and letters grow with the photo, so that a picture looks the same at any size.
	unit := float64(max(dc.Width(), dc.Height())) / 1600
	face, err := letters(24 * unit)
	if err != nil {
		return err
	}
	dc.SetFontFace(face)
	for _, h := range o.truth.halves {
		draw(dc, h.outline, trueColour, 4*unit)
	}
	for _, h := range o.tray.Halves {
		c := foundColour
		if h.Clipped {
			c = clippedColour
		}
		draw(dc, h.Outline, c, 2*unit)
	}
	for _, p := range o.pairs {
		low, high := box(o.truth.halves[p.truth].outline)
		text, c := label(o, p)
		write(dc, text, c, (low.X+high.X)/2, (low.Y+high.Y)/2)
	}
	for _, f := range o.unmatched {
		h := o.tray.Halves[f]
		write(dc, fmt.Sprintf("%d false", h.Number), missColour, h.Centre.X, h.Centre.Y)
	}
	base := strings.TrimSuffix(filepath.Base(o.photo.name), filepath.Ext(o.photo.name))
	name := g.source + "_" + g.name + "_" + base + ".jpg"
	return imaging.Save(dc.Image(), filepath.Join(dir, name), imaging.JPEGQuality(90))
}

// label says what became of a true half.
func label(o outcome, p pair) (string, color.Color) {
	truth := o.truth.halves[p.truth]
	if p.found < 0 {
		if truth.clipped {
			return "clipped", clippedColour
		}
		return "missed", missColour
	}
	h := o.tray.Halves[p.found]
	if truth.clipped || h.Clipped {
		if truth.clipped == h.Clipped {
			return fmt.Sprintf("%d clipped", h.Number), clippedColour
		}
		return fmt.Sprintf("%d clipped: %v", h.Number, h.Clipped), missColour
	}
	e, ok := compare(truth, h)
	if !ok {
		return fmt.Sprintf("%d not measured", h.Number), missColour
	}
	text := fmt.Sprintf("%d  %+.3f", h.Number, e.stained)
	if c := o.calls[p.found]; c != nil {
		text += fmt.Sprintf("\n%+.2f", c.Stage-truth.stage)
	}
	return text, color.White
}

func letters(size float64) (font.Face, error) {
	f, err := opentype.Parse(gobold.TTF)
	if err != nil {
		return nil, err
	}
	return opentype.NewFace(f, &opentype.FaceOptions{Size: size, DPI: 72})
}

func draw(dc *gg.Context, outline []vision.Point, c color.Color, width float64) {
	for _, p := range outline {
		dc.LineTo(p.X, p.Y)
	}
	dc.ClosePath()
	dc.SetColor(c)
	dc.SetLineWidth(width)
	dc.Stroke()
}

// write centres text on a dark ground, so that it reads on clear and on stained
// flesh.
func write(dc *gg.Context, text string, c color.Color, x, y float64) {
	lines := strings.Split(text, "\n")
	height := dc.FontHeight() * 1.3
	y -= height * float64(len(lines)-1) / 2
	for _, l := range lines {
		w, _ := dc.MeasureString(l)
		x = min(max(x, w/2+6), float64(dc.Width())-w/2-6)
		dc.SetColor(color.RGBA{0, 0, 0, 170})
		dc.DrawRectangle(x-w/2-6, y-height/2, w+12, height)
		dc.Fill()
		dc.SetColor(c)
		dc.DrawStringAnchored(l, x, y, 0.5, 0.35)
		y += height
	}
}
