package workbench

import (
	"cmp"
	"math"
	"slices"

	"traystage/calibrate"
)

// NearPlates are two plates of a new set, next to each other in stage, that show almost as much stain. Fruit of the variety may
// be so; more often one of the two was misread, or stained too little. Stages between them would be called by next to nothing.
type NearPlates struct{ One, Other calibrate.Plate }

// nearPlates finds such plates: they differ by less than a quarter of what their stages would if the stain went evenly.
func nearPlates(set calibrate.Set) (out []NearPlates) {
	const least = 0.25
	plates := slices.Clone(set.Plates)
	slices.SortStableFunc(plates, func(a, b calibrate.Plate) int { return cmp.Compare(a.Stage, b.Stage) })
	span := math.Abs(set.Scale.Clear - set.Scale.Stained)
	for i := range len(plates) - 1 {
		a, b := plates[i], plates[i+1]
		if a.Stage != b.Stage && math.Abs(a.Stained-b.Stained) < least*(b.Stage-a.Stage)/span {
			out = append(out, NearPlates{a, b})
		}
	}
	return out
}
