package workbench

import (
	"context"
	"errors"
	"fmt"
	"math"
	"path/filepath"

	"traystage/calibrate"
	"traystage/cmd/internal/grades"
	"traystage/scoring/report/overlay"
	"traystage/vision"
)

// GradedPhoto is a photo whose halves somebody knows the stages of.
type GradedPhoto struct {
	Photo    Photo
	Gradings []grades.Grading // each in reading order
}

// Misnumbered is an error about the stages given for a photo's halves, with a
// picture of how they are numbered.
type Misnumbered struct {
	Err     error
	Picture []byte // JPEG
}

func (e Misnumbered) Error() string { return e.Err.Error() }

func (e Misnumbered) Unwrap() error { return e.Err }

// gradedTray is a photo as the set measures it, with the stages given for its
// halves.
type gradedTray struct {
	name     string
	data     []byte
	tray     vision.Tray
	hash     string // SHA-256 of data, in hexadecimal
	gradings []grades.Grading
}

// graded reads and measures the photo as the set asks for.
func (b *Bench) graded(ctx context.Context, g GradedPhoto, set calibrate.Set) (gradedTray, error) {
	opt := optionsOf(set)
	opt.Printed = true
	data, tray, err := b.measure(ctx, g.Photo, opt)
	if err != nil {
		return gradedTray{}, err
	}
	t := gradedTray{g.Photo.Name, data, tray, hashOf(data), g.Gradings}
	return t, t.told(t.check(set.Scale))
}

// check sees that stages and halves go together.
func (t gradedTray) check(scale calibrate.Scale) error {
	graded := 0
	for _, g := range t.gradings {
		if len(g.Stages) != len(t.tray.Halves) {
			return fmt.Errorf("stages given: %d, halves found: %d; give one stage for each half, blank where not graded", len(g.Stages), len(t.tray.Halves))
		}
		for i, h := range t.tray.Halves {
			if math.IsNaN(g.Stages[i]) {
				continue
			}
			if err := gradable(h, g.Stages[i], scale); err != nil {
				return fmt.Errorf("half %d: %w", h.Number, err)
			}
			graded++
		}
	}
	if graded == 0 {
		return errors.New("no half is graded; give at least one stage")
	}
	return nil
}

// plates makes a plate of every half that has a stage.
func (t gradedTray) plates() ([]calibrate.Plate, error) {
	if len(t.gradings) > 1 {
		return nil, errors.New("the plates of a new set have one stage each and the file gives those of several graders; add these with traystage refs add")
	}
	pic, err := vision.Picture(t.data, overlaySide, vision.Options{})
	if err != nil {
		return nil, err
	}
	var plates []calibrate.Plate
	for i, h := range t.tray.Halves {
		stage := t.gradings[0].Stages[i]
		if math.IsNaN(stage) {
			continue
		}
		crop, err := encodeJPEG(overlay.Crop(pic, t.tray.Width, placeOf(h.Centre, h.Radius, h.Outline), cropSide))
		if err != nil {
			return nil, fmt.Errorf("half %d: %w", h.Number, err)
		}
		p := calibrate.PlateFrom(observe(h), stage, t.source(h), crop)
		p.Origin = &calibrate.Origin{Photo: t.hash, Half: h.Number, By: t.gradings[0].By}
		plates = append(plates, p)
	}
	return plates, nil
}

// halves gives every half that somebody graded, each with all its grades.
func (t gradedTray) halves() []calibrate.Graded {
	var out []calibrate.Graded
	for i, h := range t.tray.Halves {
		g := calibrate.Graded{Photo: t.hash, Half: h.Number, Source: t.source(h), Seen: observe(h)}
		for _, by := range t.gradings {
			if !math.IsNaN(by.Stages[i]) {
				g.Grades = append(g.Grades, calibrate.Grade{By: by.By, Stage: by.Stages[i]})
			}
		}
		if len(g.Grades) > 0 {
			out = append(out, g)
		}
	}
	return out
}

func (t gradedTray) source(h vision.Half) string {
	return fmt.Sprintf("photo %s (sha256 %s), half %d", filepath.Base(t.name), t.hash[:12], h.Number)
}

// told is an error about the photo's halves, with a picture of how they are
// numbered; nil for none.
func (t gradedTray) told(err error) error {
	if err == nil {
		return nil
	}
	err = fmt.Errorf("%s: %w", t.name, err)
	picture, _, failed := numbersOn(t.tray).over(t.data)
	if failed != nil {
		return err
	}
	return Misnumbered{err, picture}
}

func gradable(h vision.Half, stage float64, scale calibrate.Scale) error {
	if !scale.Contains(stage) {
		return fmt.Errorf("stage %v is off the scale, which runs from %v to %v; correct it or leave it blank", stage, scale.Stained, scale.Clear)
	}
	if h.Clipped {
		return errors.New("is cut off by the edge of the photo and cannot be graded; leave its stage blank or photograph it whole")
	}
	if _, ok := h.Stained(); !ok {
		return errors.New("shows no flesh and cannot be graded; leave its stage blank")
	}
	return nil
}
