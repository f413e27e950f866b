package instrument

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Remark is something that whoever relies on readings must know.
type Remark struct {
	Fruit []int  // those it is about, in order; empty when it is about all
	Text  string // in words
}

// String is the remark in one line: "fruit 3 and 7: only one side was pressed".
func (r Remark) String() string {
	if len(r.Fruit) == 0 {
		return r.Text
	}
	return "fruit " + numbers(r.Fruit) + ": " + r.Text
}

// Remarks says what is doubtful in the readings of one sample: a side not
// pressed, sides far apart, a tip not for apples, juice not taken to 20 °C,
// several units, firmness that would be more usual in another.
func Remarks(readings []Reading) []Remark {
	var out []Remark
	add := func(text string, is func(Reading) bool) {
		var fruit []int
		for _, r := range readings {
			if is(r) {
				fruit = append(fruit, r.Fruit)
			}
		}
		if len(fruit) > 0 {
			out = append(out, Remark{fruit, text})
		}
	}
	add("only one side was pressed; press two opposite sides", func(r Reading) bool {
		return r.Firmness != nil && r.Firmness.OneSide()
	})
	add(fmt.Sprintf("the sides differ by more than %s lbf; press again, slowly and straight", decimal(SidesApart)), func(r Reading) bool {
		return r.Firmness != nil && r.Firmness.Uneven()
	})
	add("the tip was not one for apples (11 mm), so the firmness stands beside no published target", func(r Reading) bool {
		return r.Firmness != nil && CheckTip(r.Firmness.Tip) != nil
	})
	add("the juice's temperature is not known and the refractometer does not correct for it; soluble solids count as read", corrected(NoTemperature))
	add("soluble solids count as read: they can be corrected from 10 to 30 °C; bring the juice to the room's warmth and read again", corrected(OutsideTable))
	for _, text := range []string{mixedUnits(readings), unusualUnit(readings)} {
		if text != "" {
			out = append(out, Remark{Text: text})
		}
	}
	return out
}

// mixedUnits says so when fruit of one sample were read in several units.
func mixedUnits(readings []Reading) string {
	var units []string
	for _, r := range readings {
		if r.Firmness == nil {
			continue
		}
		for _, side := range r.Firmness.Sides {
			if !slices.Contains(units, string(side.Unit)) {
				units = append(units, string(side.Unit))
			}
		}
	}
	if len(units) < 2 {
		return ""
	}
	return fmt.Sprintf("firmness was written in %s, and each was taken as it says: look whether all are right", strings.Join(units, " and "))
}

func corrected(c Correction) func(Reading) bool {
	return func(r Reading) bool {
		if r.Solids == nil {
			return false
		}
		_, done := r.Solids.At20()
		return done == c
	}
}

// Firmness of apples near harvest, lbf: a little beyond the 11 to 19 lbf of
// published targets. Common practice, no source.
const softUsual, hardUsual = 10, 26

// unusualUnit says so when the middle firmness of a sample is none of apples
// near harvest, but would be one in another unit: a sheet in kilograms taken
// for one in pounds.
func unusualUnit(readings []Reading) string {
	var forces []Force
	for _, r := range readings {
		if r.Firmness != nil {
			forces = append(forces, r.Firmness.Sides...)
		}
	}
	if len(forces) == 0 {
		return ""
	}
	slices.SortFunc(forces, func(a, b Force) int {
		return cmp.Compare(a.In(Newton), b.In(Newton))
	})
	middle := forces[len(forces)/2]
	usual := func(u Unit) bool {
		x := Force{middle.Value, u}.In(PoundForce)
		return x >= softUsual && x <= hardUsual
	}
	if !middle.Unit.Valid() || usual(middle.Unit) {
		return ""
	}
	for _, u := range []Unit{PoundForce, KilogramForce, Newton} {
		if usual(u) {
			return fmt.Sprintf("a firmness of %s, the middle one, would be more usual in %s: look whether the unit is right", middle, u)
		}
	}
	return ""
}

// numbers lists numbers as people write them: "3", "3 and 7", "3, 7 and 9",
// runs of three and more as "3 to 5".
func numbers(sorted []int) string {
	var words []string
	for i := 0; i < len(sorted); {
		end := i
		for end+1 < len(sorted) && sorted[end+1] == sorted[end]+1 {
			end++
		}
		if end-i >= 2 {
			words = append(words, fmt.Sprintf("%d to %d", sorted[i], sorted[end]))
			i = end + 1
			continue
		}
		words = append(words, strconv.Itoa(sorted[i]))
		i++
	}
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " and " + words[last]
}
