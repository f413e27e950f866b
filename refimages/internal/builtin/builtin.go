// Package builtin paints the reference set that comes with the program. It is
// run by go generate in refimages and by the test that holds the stored set
// against it; the program itself reads the stored set.
package builtin

import (
	"fmt"

	"traystage/calibrate"
	"traystage/refimages/painter"
)

const (
	seed    = 1924 // of all plates: one flesh, one skin; outlines and cores differ by stage
	side    = 200  // of a plate's picture, pixels
	quality = 88   // of its JPEG
)

// Paint makes the set: eight plates that clear from the core outward, all stained at 1
// and clear at 8, the stained fraction falling by a seventh from plate to plate.
func Paint() calibrate.Set {
	s := calibrate.Set{
		Name: "builtin-1-8", Version: 1,
		Scale:          calibrate.Scale{Stained: painter.StageStained, Clear: painter.StageClear, Step: 0.1},
		StainedDensity: painter.StainedDensity,
		Note: "Painted plates, not photographs: stain clears from the core outward and its share falls evenly from all at 1 to none at 8. " +
			"Calibrate a set of your own on your varieties before you rely on stages.",
	}
	for stage := painter.StageStained; stage <= painter.StageClear; stage++ {
		img, truth := painter.Plate(painter.Concentric, stage, seed, side)
		s.Plates = append(s.Plates, calibrate.Plate{
			Stage: stage, Stained: truth.Stained, Zones: truth.Zones, Weights: truth.Weights,
			Source:  fmt.Sprintf("painted, family %s, seed %d", truth.Family, seed),
			Picture: painter.EncodeJPEG(img, painter.Meta{Quality: quality}),
		})
	}
	return s
}
