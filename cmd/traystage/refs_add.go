package main

import (
	"crypto/sha256"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"traystage/calibrate"
	"traystage/refimages"
	"traystage/vision"
)

func newRefsAddCommand() *cobra.Command {
	var graded gradedPhoto
	cmd := &cobra.Command{
		Use:   "add NAME --photo TRAY --stages LIST|FILE",
		Short: "Add graded halves to a reference set, as its next version",
		Long: `Add takes a tray photo whose halves somebody graded by eye and makes the next
version of a reference set with them as further plates. Stages are given in
reading order, tenths are allowed, and a blank means that the half was not
graded. The versions before stay as they are.
` + exitStatus,
		Example: `  traystage refs add gala --photo tray.jpg --stages 2.5,3,,4.5
  traystage refs add gala --photo tray.jpg --stages grades.csv`,
		Args: oneName,
		RunE: func(cmd *cobra.Command, args []string) error {
			return runRefsAdd(graded, args[0], cmd.OutOrStdout())
		},
	}
	graded.flags(cmd)
	return cmd
}

func runRefsAdd(graded gradedPhoto, name string, stdout io.Writer) error {
	if err := graded.check(); err != nil {
		return err
	}
	if name == refimages.BuiltinName {
		return fmt.Errorf("reference set %q: the built-in set is not added to; make your own with traystage refs new", name)
	}
	if plain, version := splitVersion(name); version > 0 {
		return usageError{fmt.Errorf("%q: add makes the next version of a set; name it without a version: %s", name, plain)}
	}
	if err := calibrate.ValidateName(name); err != nil {
		return usageError{err}
	}
	s, err := openShelf()
	if err != nil {
		return err
	}
	set, err := s.set(name)
	if err != nil {
		return err
	}
	plates, err := platesFrom(graded, set)
	if err != nil {
		return err
	}
	next, err := set.Next(plates...)
	if err != nil {
		return fmt.Errorf("%s: %w", graded.photo, err)
	}
	return keep(s, next, stdout)
}

// platesFrom measures a graded photo as the set asks for and makes a plate of
// every graded half.
func platesFrom(graded gradedPhoto, set calibrate.Set) ([]calibrate.Plate, error) {
	stages, err := readStages(graded.stages)
	if err != nil {
		return nil, err
	}
	photo, tray, err := measureFile(graded.photo, set)
	if err != nil {
		return nil, err
	}
	if len(stages) != len(tray.Halves) {
		return nil, countsDiffer(graded, photo, tray, len(stages))
	}
	pic, err := vision.Picture(photo, overlaySide, vision.Options{})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", graded.photo, err)
	}
	hash := sha256.Sum256(photo)
	var plates []calibrate.Plate
	for i, h := range tray.Halves {
		if math.IsNaN(stages[i]) {
			continue
		}
		if err := gradable(h, stages[i], set.Scale); err != nil {
			return nil, fmt.Errorf("%s: half %d: %w", graded.photo, h.Number, err)
		}
		crop, err := encodeJPEG(vision.Crop(pic, tray, h, cropSide))
		if err != nil {
			return nil, fmt.Errorf("%s: half %d: %w", graded.photo, h.Number, err)
		}
		source := fmt.Sprintf("photo %s (sha256 %x), half %d", filepath.Base(graded.photo), hash[:6], h.Number)
		plates = append(plates, calibrate.PlateFrom(observe(h), stages[i], source, crop))
	}
	if len(plates) == 0 {
		return nil, fmt.Errorf("%s: no half is graded; give at least one stage", graded.stages)
	}
	return plates, nil
}

func gradable(h vision.Half, stage float64, scale calibrate.Scale) error {
	if !scale.Contains(stage) {
		return fmt.Errorf("stage %v is off the scale, which runs from %v to %v; correct it or leave it blank", stage, scale.Stained, scale.Clear)
	}
	if h.Clipped {
		return fmt.Errorf("is cut off by the edge of the photo and cannot be a plate; leave its stage blank or photograph it whole")
	}
	if _, ok := h.Stained(); !ok {
		return fmt.Errorf("shows no flesh and cannot be a plate; leave its stage blank")
	}
	return nil
}

// countsDiffer tells both numbers and draws how the halves are numbered.
func countsDiffer(graded gradedPhoto, photo []byte, tray vision.Tray, stages int) error {
	err := fmt.Errorf("%s: %d stages are given and %d halves are found", graded.photo, stages, len(tray.Halves))
	base := filepath.Base(graded.photo)
	picture := strings.TrimSuffix(base, filepath.Ext(base)) + "_numbering.jpg"
	overlay, _, drawn := drawHalves(photo, tray, nil)
	if drawn == nil {
		drawn = writeFile(picture, overlay)
	}
	if drawn != nil {
		return withHint(err, "give one stage for each half in reading order, with a blank for those not graded")
	}
	return withHint(err, fmt.Sprintf("see %s for how they are numbered; give one stage for each in that order, with a blank for those not graded", picture))
}
