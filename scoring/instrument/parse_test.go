package instrument

import (
	"math"
	"reflect"
	"strings"
	"testing"
)

func TestParseFirmness(t *testing.T) {
	for text, want := range map[string]Firmness{
		"17.2/16.8":         sides(PoundForce, 17.2, 16.8),
		" 17,2 / 16,8 ":     sides(PoundForce, 17.2, 16.8),
		"17.2":              sides(PoundForce, 17.2),
		"7.8/7.6 kg":        sides(KilogramForce, 7.8, 7.6),
		"7.8kg/7.6kgf":      sides(KilogramForce, 7.8, 7.6),
		"7.8/7.6 kg/cm²":    sides(KilogramForce, 7.8, 7.6),
		"7.8 kg/cm2/7.6":    sides(KilogramForce, 7.8, 7.6),
		"76/74N":            sides(Newton, 76, 74),
		"17.2/16.8/17.0 lb": sides(PoundForce, 17.2, 16.8, 17),
		"600":               sides(PoundForce, 600), // not plausible, but a firmness
	} {
		if got, err := ParseFirmness(text, PoundForce); err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%q is %v (%v), want %v", text, got, err, want)
		}
	}
	for text, want := range map[string]string{
		"":                  `firmness "" is not a number, nor several parted by slashes; write it like 17.2/16.8`,
		"17.2/":             `firmness "17.2/" is not a number, nor several parted by slashes; write it like 17.2/16.8`,
		"17.2 16.8":         `firmness "17.2 16.8" is not a number, nor several parted by slashes; write it like 17.2/16.8`,
		"1.7.2":             `firmness "1.7.2" is not a number, nor several parted by slashes; write it like 17.2/16.8`,
		"17.2kg/16.8lb":     `firmness "17.2kg/16.8lb" is in kgf and in lbf; write both sides in one unit`,
		"17.2 kPa":          `firmness "17.2 kPa": "kPa" is not a unit of force; write lbf, kgf or N`,
		"1/2/3/4/5/6/7/8/9": `firmness "1/2/3/4/5/6/7/8/9" has 9 sides; write those of one fruit, as in 17.2/16.8`,
	} {
		if got, err := ParseFirmness(text, PoundForce); err == nil || err.Error() != want {
			t.Errorf("%q is %v, %v, want %s", text, got, err, want)
		}
	}
	if _, err := ParseFirmness("17.2", ""); err == nil || err.Error() != `firmness "17.2" has no unit; write lbf, kgf or N behind it` {
		t.Errorf("without any unit: %v", err)
	}
}

func TestParseSolids(t *testing.T) {
	for text, want := range map[string]Solids{
		"12.4":             {Brix: 12.4},
		"12,4 °Brix":       {Brix: 12.4},
		"12.4%":            {Brix: 12.4},
		"12.4@18C":         {Brix: 12.4, Celsius: celsius(18)},
		"12,4 @ 18,5 °C":   {Brix: 12.4, Celsius: celsius(18.5)},
		"12.4 brix @ 68°F": {Brix: 12.4, Celsius: celsius(20)},
		"12.4@18":          {Brix: 12.4, Celsius: celsius(18)},
		"12.4@-1":          {Brix: 12.4, Celsius: celsius(-1)},
	} {
		if got, err := ParseSolids(text); err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%q is %v (%v), want %v", text, got, err, want)
		}
	}
	for text, want := range map[string]string{
		"":           `soluble solids "" are not a number; write them like 12.4 or 12.4@18C`,
		"12.4 g":     `soluble solids "12.4 g": "g" is not a unit of them; write °Brix like 12.4 or 12.4@18C`,
		"12.4@":      `soluble solids "12.4@": temperature "" is not a number; write it like 18 or 64F`,
		"12.4@18@19": `soluble solids "12.4@18@19": temperature "18@19" is not a number; write it like 18 or 64F`,
		"12.4@291K":  `soluble solids "12.4@291K": temperature "291K": "K" is not °C or °F`,
	} {
		if got, err := ParseSolids(text); err == nil || err.Error() != want {
			t.Errorf("%q is %v, %v, want %s", text, got, err, want)
		}
	}
}

func TestParseNumberRefuses(t *testing.T) {
	for _, text := range []string{"", ".", "+", "-", "--1", "1,234.5", "1.234,5", "1 234", "1e3", "0x10", "1_0", "inf", "NaN", "½", "١٢", "1234567890", "0.1234567"} {
		if x, err := ParseNumber(text); err == nil {
			t.Errorf("%q taken for %v", text, x)
		}
	}
	for text, want := range map[string]float64{"5.": 5, ".5": 0.5, "+1,5": 1.5, "-0.5": -0.5, " 7 ": 7, "007": 7} {
		if x, err := ParseNumber(text); err != nil || x != want {
			t.Errorf("%q is %v (%v), want %v", text, x, err, want)
		}
	}
}

func TestPlausible(t *testing.T) {
	red := func(x float64) Reading { return Reading{Fruit: 4, Red: &x} }
	firm := func(f Firmness) Reading { return Reading{Fruit: 4, Firmness: &f} }
	juice := func(s Solids) Reading { return Reading{Fruit: 4, Solids: &s} }
	ground := func(g Ground) Reading { return Reading{Fruit: 4, Ground: &g} }
	for _, c := range []struct {
		r    Reading
		want string // the error up to its semicolon; empty for none
	}{
		{Reading{Fruit: 4}, ""},
		{firm(sides(PoundForce, 2, 40)), ""},
		{firm(sides(PoundForce, 17, 1.9)), "fruit 4: firmness 1.9 lbf lies outside 2 to 40 lbf"},
		{firm(sides(PoundForce, 40.1)), "fruit 4: firmness 40.1 lbf lies outside 2 to 40 lbf"},
		{firm(sides(KilogramForce, 0.9, 18.1)), ""},
		{firm(sides(KilogramForce, 72)), "fruit 4: firmness 72 kgf lies outside 0.9 to 18.1 kgf"},
		{firm(sides(Newton, 7.2)), "fruit 4: firmness 7.2 N lies outside 8.9 to 177.9 N"},
		{firm(sides("stone", 1)), `fruit 4: "stone" is not a unit of force`},
		{firm(sides(PoundForce, math.NaN())), "fruit 4: firmness NaN lbf lies outside 2 to 40 lbf"},
		{juice(Solids{Brix: 5}), ""},
		{juice(Solids{Brix: 25, Celsius: celsius(45)}), ""},
		{juice(Solids{Brix: 4.9}), "fruit 4: soluble solids 4.9 °Brix lies outside 5 to 25 °Brix"},
		{juice(Solids{Brix: 124}), "fruit 4: soluble solids 124 °Brix lies outside 5 to 25 °Brix"},
		{juice(Solids{Brix: 12.4, Celsius: celsius(64)}), "fruit 4: juice temperature 64 °C lies outside 0 to 45 °C"},
		{red(0), ""}, {red(100), ""},
		{red(101), "fruit 4: red colour 101 % lies outside 0 to 100 %"},
		{ground(Ground{4, "1-4 card"}), ""},
		{ground(Ground{0.9, "1-4 card"}), "fruit 4: ground colour 0.9 lies outside 1 to 4"},
		{ground(Ground{4.1, "1–4 card"}), "fruit 4: ground colour 4.1 lies outside 1 to 4"},
		{ground(Ground{10, ""}), ""}, {ground(Ground{10, "own fan"}), ""},
		{ground(Ground{11, ""}), "fruit 4: ground colour 11 lies outside 0 to 10"},
	} {
		got := ""
		if err := c.r.Plausible(); err != nil {
			got, _, _ = strings.Cut(err.Error(), ";")
		}
		if got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// What is read must be read the same when it is written out again.
func FuzzParseFirmness(f *testing.F) {
	for _, s := range []string{"17.2/16.8", "7,8/7,6 kg/cm2", "76N", "17lb/16lb", "/", "1e9", "°", "-1"} {
		f.Add(s, "lbf")
	}
	f.Add("17.2", "")
	f.Fuzz(func(t *testing.T, s, unit string) {
		got, err := ParseFirmness(s, Unit(unit))
		if err != nil {
			if got.Sides != nil {
				t.Errorf("%q refused, yet it gave %v", s, got)
			}
			return
		}
		var parts []string
		for _, side := range got.Sides {
			parts = append(parts, side.String())
		}
		again, err := ParseFirmness(strings.Join(parts, "/"), "")
		if err != nil || !reflect.DeepEqual(again, got) {
			t.Errorf("%q is %v, written again %v (%v)", s, got, again, err)
		}
	})
}

func FuzzParseSolids(f *testing.F) {
	for _, s := range []string{"12.4", "12,4@18C", "12.4 °Brix @ 64 °F", "@", "12.4@", "1@°", "-0"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got, err := ParseSolids(s)
		if err != nil {
			return
		}
		if math.IsNaN(got.Brix) || math.IsInf(got.Brix, 0) || got.Compensated || (got.Celsius != nil) != strings.Contains(s, "@") {
			t.Errorf("%q is %v", s, got)
		}
		if value, done := got.At20(); !done.Counts() && value != tenth(got.Brix) {
			t.Errorf("%q: %s, yet %v became %v", s, done, got.Brix, value)
		}
	})
}

func FuzzParseTip(f *testing.F) {
	for _, s := range []string{"11", "11,1 mm", `7/16"`, "5/16 inch", "/", "0/0", "1/256"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		x, err := ParseTip(s)
		if err != nil {
			return
		}
		if again, err := ParseTip(decimal(x)); !(x > 0) || math.IsInf(x, 0) || err == nil && math.Abs(again-x) > 1e-4 {
			t.Errorf("%q is %v mm, written again %v", s, x, again)
		}
	})
}
