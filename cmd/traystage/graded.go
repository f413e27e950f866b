package main

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"traystage/calibrate"
	"traystage/vision"
)

// gradedPhoto is a photo whose halves somebody knows the stages of.
type gradedPhoto struct {
	photo  string
	stages string // a list or the name of a file
}

func (g *gradedPhoto) flags(cmd *cobra.Command) {
	cmd.Flags().StringVar(&g.photo, "photo", "", "`PHOTO` of the halves")
	cmd.Flags().StringVar(&g.stages, "stages", "", "their stages in reading order: a `LIST` such as 1,2,,3.5 (blank: not graded) or a CSV file with one a row")
}

func (g gradedPhoto) check() error {
	if g.photo == "" || g.stages == "" {
		return usageError{errors.New("--photo and --stages are both needed, as in --photo chart.jpg --stages 1,2,3,4,5,6,7,8")}
	}
	return nil
}

// gradedTray is a photo as the set measures it, with the stages given for its
// halves.
type gradedTray struct {
	gradedPhoto
	data     []byte
	tray     vision.Tray
	hash     string // SHA-256 of data, in hexadecimal
	gradings []grading
}

// read reads and measures the photo as the set asks for.
func (g gradedPhoto) read(set calibrate.Set) (gradedTray, error) {
	gradings, err := readStages(g.stages)
	if err != nil {
		return gradedTray{}, err
	}
	data, tray, err := measureFile(g.photo, set)
	if err != nil {
		return gradedTray{}, err
	}
	hash := sha256.Sum256(data)
	t := gradedTray{g, data, tray, hex.EncodeToString(hash[:]), gradings}
	return t, t.told(t.check(set.Scale))
}

// check sees that stages and halves go together.
func (t gradedTray) check(scale calibrate.Scale) error {
	graded := 0
	for _, g := range t.gradings {
		if len(g.stages) != len(t.tray.Halves) {
			return fmt.Errorf("stages given: %d, halves found: %d; give one stage for each half, blank where not graded", len(g.stages), len(t.tray.Halves))
		}
		for i, h := range t.tray.Halves {
			if math.IsNaN(g.stages[i]) {
				continue
			}
			if err := gradable(h, g.stages[i], scale); err != nil {
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
		stage := t.gradings[0].stages[i]
		if math.IsNaN(stage) {
			continue
		}
		crop, err := encodeJPEG(vision.Crop(pic, t.tray, h, cropSide))
		if err != nil {
			return nil, fmt.Errorf("half %d: %w", h.Number, err)
		}
		p := calibrate.PlateFrom(observe(h), stage, t.source(h), crop)
		p.Origin = &calibrate.Origin{Photo: t.hash, Half: h.Number, By: t.gradings[0].by}
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
			if !math.IsNaN(by.stages[i]) {
				g.Grades = append(g.Grades, calibrate.Grade{By: by.by, Stage: by.stages[i]})
			}
		}
		if len(g.Grades) > 0 {
			out = append(out, g)
		}
	}
	return out
}

func (t gradedTray) source(h vision.Half) string {
	return fmt.Sprintf("photo %s (sha256 %s), half %d", filepath.Base(t.photo), t.hash[:12], h.Number)
}

// told is an error about the photo's halves, with a picture of how they are
// numbered; nil for none.
func (t gradedTray) told(err error) error {
	if err == nil {
		return nil
	}
	return t.withNumbering(fmt.Errorf("%s: %w", t.photo, err), t.data, t.tray)
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

// withNumbering draws how the halves are numbered, beside the photo. Where
// that cannot be written, the error stands alone.
func (g gradedPhoto) withNumbering(err error, photo []byte, tray vision.Tray) error {
	overlay, _, drawn := drawHalves(photo, tray, nil)
	if drawn != nil {
		return err
	}
	picture := strings.TrimSuffix(g.photo, filepath.Ext(g.photo)) + "_numbering.jpg"
	if writeFile(picture, overlay) != nil {
		return err
	}
	return withHint(err, fmt.Sprintf("see %s for how the halves are numbered; stages are given in that order", picture))
}
