package instrument

import (
	"cmp"
	"slices"

	"traystage/vision/note"
)

// ofFruit is what is said of some fruit of a sample alone.
func ofFruit(fruit []int, what note.Note) note.Note {
	return note.New("reading.of_fruit", note.Counts("fruit", fruit), note.Notes("what", what))
}

// Remarks says what is doubtful in the readings of one sample: a side not
// pressed, sides far apart, a tip not for apples, juice not taken to 20 °C,
// several units, firmness that would be more usual in another.
func Remarks(readings []Reading) []note.Note {
	var out []note.Note
	add := func(what note.Note, is func(Reading) bool) {
		var fruit []int
		for _, r := range readings {
			if is(r) {
				fruit = append(fruit, r.Fruit)
			}
		}
		if len(fruit) > 0 {
			out = append(out, ofFruit(fruit, what))
		}
	}
	add(note.New("reading.one_side"), func(r Reading) bool {
		return r.Firmness != nil && r.Firmness.OneSide()
	})
	add(note.New("reading.uneven", note.Figure("apart", SidesApart, 0, string(PoundForce))), func(r Reading) bool {
		return r.Firmness != nil && r.Firmness.Uneven()
	})
	add(note.New("reading.other_tip"), func(r Reading) bool {
		return r.Firmness != nil && CheckTip(r.Firmness.Tip) != nil
	})
	add(note.New("reading.no_temperature"), corrected(NoTemperature))
	add(note.New("reading.outside_table"), corrected(OutsideTable))
	return append(out, note.Once(mixedUnits(readings), unusualUnit(readings))...)
}

// mixedUnits says so when fruit of one sample were read in several units.
func mixedUnits(readings []Reading) note.Note {
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
		return note.Note{}
	}
	return note.New("reading.mixed_units", note.Names("units", units))
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
func unusualUnit(readings []Reading) note.Note {
	var forces []Force
	for _, r := range readings {
		if r.Firmness != nil {
			forces = append(forces, r.Firmness.Sides...)
		}
	}
	if len(forces) == 0 {
		return note.Note{}
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
		return note.Note{}
	}
	for _, u := range []Unit{PoundForce, KilogramForce, Newton} {
		if usual(u) {
			return note.New("reading.unusual_unit", asRead("middle", middle.Value, string(middle.Unit)), note.Name("unit", string(u)))
		}
	}
	return note.Note{}
}
