package workbench

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"image/jpeg"

	"traystage/scoring"
	"traystage/scoring/report/overlay"
	"traystage/vision"
)

const (
	overlaySide = 1600 // long side of an overlay, px
	cropSide    = 220  // side of a half's crop, px
)

// drawing is what is drawn over a photo: halves and what may be some.
type drawing struct {
	width    int // of the upright photo, px
	marks    []overlay.Mark
	suspects []scoring.Suspect
}

// drawingOf has the calls of a tray.
func drawingOf(r scoring.Report) drawing { return drawing{r.Width, overlay.Marks(r), r.Suspects} }

// numbersOn has the numbers alone, of halves that were just measured.
func numbersOn(tray vision.Tray) drawing {
	d := drawing{width: tray.Width, suspects: suspectsOf(tray.Suspects)}
	for _, h := range tray.Halves {
		d.marks = append(d.marks, overlay.Mark{Number: h.Number, Place: placeOf(h.Centre, h.Radius, h.Outline), Clipped: h.Clipped})
	}
	return d
}

// over gives the overlay of a photo and the crop of each half, as JPEG.
func (d drawing) over(photo []byte) (drawn []byte, crops map[int][]byte, err error) {
	pic, err := vision.Picture(photo, overlaySide, vision.Options{})
	if err != nil {
		return nil, nil, err
	}
	crops = map[int][]byte{}
	for _, m := range d.marks {
		if crops[m.Number], err = encodeJPEG(overlay.Crop(pic, d.width, m.Place, cropSide)); err != nil {
			return nil, nil, err
		}
	}
	drawn, err = encodeJPEG(overlay.Draw(pic, d.width, d.marks, d.suspects))
	return drawn, crops, err
}

func encodeJPEG(img image.Image) ([]byte, error) {
	var b bytes.Buffer
	err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 88})
	return b.Bytes(), err
}

// Picture is a picture with its name.
type Picture struct {
	Name  string
	Bytes []byte // JPEG
}

// Overlays draws the calls over the photos of a sample. A photo that is missing or
// damaged leaves its picture out: the figures do not need it.
func (b *Bench) Overlays(ctx context.Context, sample scoring.Sample) ([]Picture, error) {
	var out []Picture
	for _, t := range sample.Trays {
		photo, err := b.Season.Photo(ctx, t.PhotoHash)
		if errors.Is(err, context.Canceled) {
			return nil, err
		}
		if err != nil {
			continue
		}
		drawn, _, err := drawingOf(t).over(photo)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", t.Photo, err)
		}
		out = append(out, Picture{t.Photo, drawn})
	}
	return out, nil
}
