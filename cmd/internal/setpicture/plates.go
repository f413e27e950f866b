// Package setpicture draws reference sets: a sheet of the plates, and the path
// with all that a check found beside it.
package setpicture

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"

	"github.com/disintegration/imaging"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"

	"traystage/calibrate"
	"traystage/scoring"
)

// Measures of a sheet, px: plates four in a row, each over its stage.
const (
	plateSide   = 220 // of a plate's picture
	sheetGap    = 12
	sheetLetter = 26
	sheetPerRow = 4
	sheetCellX  = plateSide + sheetGap
	sheetCellY  = plateSide + sheetLetter + 2*sheetGap
)

// Plates draws the plates in order of stage, as PNG, to be held against a chart.
func Plates(plates []calibrate.Plate) ([]byte, error) {
	rows := (len(plates) + sheetPerRow - 1) / sheetPerRow
	sheet := imaging.New(sheetPerRow*sheetCellX+sheetGap, rows*sheetCellY+sheetGap, color.White)
	face, err := letterFace()
	if err != nil {
		return nil, err
	}
	defer face.Close()
	for i, p := range plates {
		at := image.Pt(sheetGap+i%sheetPerRow*sheetCellX, sheetGap+i/sheetPerRow*sheetCellY)
		if len(p.Picture) > 0 {
			img, err := jpeg.Decode(bytes.NewReader(p.Picture))
			if err != nil {
				return nil, fmt.Errorf("picture of the plate of stage %v: %w", p.Stage, err)
			}
			sheet = imaging.Paste(sheet, imaging.Fit(img, plateSide, plateSide, imaging.Lanczos), at)
		}
		pen := font.Drawer{Dst: sheet, Src: image.Black, Face: face}
		words := scoring.Tenth(p.Stage)
		pen.Dot = fixed.P(at.X+plateSide/2, at.Y+plateSide+sheetLetter)
		pen.Dot.X -= pen.MeasureString(words) / 2
		pen.DrawString(words)
	}
	var b bytes.Buffer
	if err := png.Encode(&b, sheet); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

func letterFace() (font.Face, error) {
	f, err := opentype.Parse(gobold.TTF)
	if err != nil {
		return nil, err
	}
	return opentype.NewFace(f, &opentype.FaceOptions{Size: sheetLetter, DPI: 72})
}
