package workbench

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"image/jpeg"

	"traystage/scoring"
	"traystage/vision"
)

// marksOf is what the overlay says of each half.
func marksOf(r scoring.Report) []vision.Mark {
	marks := make([]vision.Mark, len(r.Fruit))
	for i, f := range r.Fruit {
		if f.Scored() {
			marks[i] = vision.Mark{Label: scoring.Tenth(f.Stage()), Doubtful: f.Open()}
		}
	}
	return marks
}

const (
	overlaySide = 1600 // long side of an overlay, px
	cropSide    = 220  // side of a half's crop, px
)

// drawHalves gives the overlay of a tray and the crop of each half, as JPEG.
func drawHalves(photo []byte, tray vision.Tray, marks []vision.Mark) (overlay []byte, crops map[int][]byte, err error) {
	pic, err := vision.Picture(photo, overlaySide, vision.Options{})
	if err != nil {
		return nil, nil, err
	}
	crops = map[int][]byte{}
	for _, h := range tray.Halves {
		if crops[h.Number], err = encodeJPEG(vision.Crop(pic, tray, h, cropSide)); err != nil {
			return nil, nil, err
		}
	}
	overlay, err = encodeJPEG(vision.Overlay(pic, tray, marks))
	return overlay, crops, err
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
		overlay, _, err := drawHalves(photo, trayOf(t), marksOf(t))
		if err != nil {
			return nil, fmt.Errorf("%s: %w", t.Photo, err)
		}
		out = append(out, Picture{t.Photo, overlay})
	}
	return out, nil
}

// trayOf gives back what a photo showed, as far as drawing needs it.
func trayOf(r scoring.Report) vision.Tray {
	tray := vision.Tray{Width: r.Width, Height: r.Height, Taken: r.Taken}
	for _, f := range r.Fruit {
		h := vision.Half{
			Number: f.Number, Centre: vision.Point{X: f.Place.Centre[0], Y: f.Place.Centre[1]},
			Radius: f.Place.Radius, Clipped: f.Clipped,
		}
		h.Outline = pointsOf(f.Place)
		tray.Halves = append(tray.Halves, h)
	}
	for _, u := range r.Suspects {
		tray.Suspects = append(tray.Suspects, vision.Suspect{Outline: pointsOf(u.Place)})
	}
	return tray
}

func pointsOf(p scoring.Place) []vision.Point {
	var out []vision.Point
	for _, at := range p.Outline {
		out = append(out, vision.Point{X: at[0], Y: at[1]})
	}
	return out
}
