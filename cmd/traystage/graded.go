package main

import (
	"crypto/sha256"
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

// extend measures the photo as the set asks for and makes a set with a plate of
// every graded half. Where stages and halves do not go together, it draws how
// the halves are numbered and says where.
func (g gradedPhoto) extend(set calibrate.Set, with func(...calibrate.Plate) (calibrate.Set, error)) (calibrate.Set, error) {
	stages, err := readStages(g.stages)
	if err != nil {
		return calibrate.Set{}, err
	}
	photo, tray, err := measureFile(g.photo, set)
	if err != nil {
		return calibrate.Set{}, err
	}
	plates, err := g.plates(photo, tray, stages, set.Scale)
	if err == nil {
		set, err = with(plates...)
	}
	if err != nil {
		return calibrate.Set{}, g.withNumbering(fmt.Errorf("%s: %w", g.photo, err), photo, tray)
	}
	return set, nil
}

func (g gradedPhoto) plates(photo []byte, tray vision.Tray, stages []float64, scale calibrate.Scale) ([]calibrate.Plate, error) {
	if len(stages) != len(tray.Halves) {
		return nil, fmt.Errorf("stages given: %d, halves found: %d; give one stage for each half, blank where not graded", len(stages), len(tray.Halves))
	}
	pic, err := vision.Picture(photo, overlaySide, vision.Options{})
	if err != nil {
		return nil, err
	}
	hash := sha256.Sum256(photo)
	var plates []calibrate.Plate
	for i, h := range tray.Halves {
		if math.IsNaN(stages[i]) {
			continue
		}
		if err := gradable(h, stages[i], scale); err != nil {
			return nil, fmt.Errorf("half %d: %w", h.Number, err)
		}
		crop, err := encodeJPEG(vision.Crop(pic, tray, h, cropSide))
		if err != nil {
			return nil, fmt.Errorf("half %d: %w", h.Number, err)
		}
		source := fmt.Sprintf("photo %s (sha256 %x), half %d", filepath.Base(g.photo), hash[:6], h.Number)
		plates = append(plates, calibrate.PlateFrom(observe(h), stages[i], source, crop))
	}
	if len(plates) == 0 {
		return nil, errors.New("no half is graded; give at least one stage")
	}
	return plates, nil
}

func gradable(h vision.Half, stage float64, scale calibrate.Scale) error {
	if !scale.Contains(stage) {
		return fmt.Errorf("stage %v is off the scale, which runs from %v to %v; correct it or leave it blank", stage, scale.Stained, scale.Clear)
	}
	if h.Clipped {
		return errors.New("is cut off by the edge of the photo and cannot be a plate; leave its stage blank or photograph it whole")
	}
	if _, ok := h.Stained(); !ok {
		return errors.New("shows no flesh and cannot be a plate; leave its stage blank")
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
