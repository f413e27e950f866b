package instrument

import (
	"slices"
	"strings"
	"testing"

	"traystage/scoring/words"
)

func TestRemarks(t *testing.T) {
	pear := sides(PoundForce, 12, 13)
	pear.Tip = 8
	pressed := func(n int, f Firmness) Reading { return Reading{Fruit: n, Firmness: &f} }
	juiced := func(n int, s Solids) Reading { return Reading{Fruit: n, Solids: &s} }
	for _, c := range []struct {
		name     string
		readings []Reading
		want     []string // up to any semicolon
	}{
		{"nothing to say", []Reading{pressed(1, sides(PoundForce, 17, 16)), juiced(2, Solids{Brix: 12, Celsius: celsius(18)}), {Fruit: 3}}, nil},
		{"one side", []Reading{pressed(1, sides(PoundForce, 17)), pressed(2, sides(PoundForce, 17, 16)), pressed(5, sides(PoundForce, 16))},
			[]string{"fruit 1 and 5: only one side was pressed"}},
		{"uneven", []Reading{pressed(3, sides(PoundForce, 17, 13.9))}, []string{"fruit 3: the sides differ by more than 3 lbf"}},
		{"tip", []Reading{pressed(3, pear)}, []string{"fruit 3: the tip was not one for apples (11 mm), so the firmness stands beside no published target"}},
		{"juice", []Reading{juiced(1, Solids{Brix: 12}), juiced(2, Solids{Brix: 12, Celsius: celsius(8)}), juiced(3, Solids{Brix: 12, Compensated: true})},
			[]string{"fruit 1: the juice's temperature is not known and the refractometer does not correct for it",
				"fruit 2: soluble solids count as read: they can be corrected from 10 to 30 °C"}},
		{"kilograms taken for pounds", []Reading{pressed(1, sides(PoundForce, 7.4, 7.6)), pressed(2, sides(PoundForce, 8.1, 17))},
			[]string{"fruit 2: the sides differ by more than 3 lbf",
				"a firmness of 8.1 lbf, the middle one, would be more usual in kgf: look whether the unit is right"}},
		{"newtons taken for kilograms", []Reading{pressed(1, sides(KilogramForce, 74, 74))},
			[]string{"a firmness of 74 kgf, the middle one, would be more usual in N: look whether the unit is right"}},
		{"two units", []Reading{pressed(1, sides(PoundForce, 17, 17)), pressed(2, sides(KilogramForce, 7.5, 7.6))},
			[]string{"firmness was written in lbf and kgf, and each was taken as it says: look whether all are right"}},
		{"soft in any unit", []Reading{pressed(1, sides(PoundForce, 3, 3))}, nil},
	} {
		var got []string
		for _, r := range Remarks(c.readings) {
			text, _, _ := strings.Cut(words.For("en").Say(r), ";")
			got = append(got, text)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}
