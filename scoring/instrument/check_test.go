package instrument

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"traystage/scoring/words"
)

func day(d int) time.Time { return time.Date(2026, 9, d, 0, 0, 0, 0, time.UTC) }

func water(d int, shown float64) Check {
	return Check{Instrument: "R1", Kind: ZeroWater, Day: day(d), By: "jo", Shown: shown}
}

func weight(d int, shown float64) Check {
	return Check{Instrument: "P1", Kind: CheckWeight, Day: day(d), By: "jo", Expected: 12, Shown: shown, Unit: PoundForce}
}

func TestCheckPassed(t *testing.T) {
	kilos := weight(14, 0)
	kilos.Unit, kilos.Expected = KilogramForce, 5
	at := func(c Check, shown float64) Check { c.Shown = shown; return c }
	for _, c := range []struct {
		check Check
		want  bool
	}{
		{water(14, 0), true}, {water(14, 0.1), true}, {water(14, -0.1), true},
		{water(14, 0.11), false}, {water(14, -0.2), false}, {water(14, math.NaN()), false},
		{weight(14, 12), true}, {weight(14, 11.5), true}, {weight(14, 12.5), true},
		{weight(14, 12.6), false}, {weight(14, 11.4), false},
		// 0.22 kgf are 0.485 lbf, 0.23 kgf are 0.507 lbf.
		{at(kilos, 5.22), true}, {at(kilos, 5.23), false},
		{Check{}, false},
	} {
		if got := c.check.Passed(); got != c.want {
			t.Errorf("%v passed: %v", c.check, got)
		}
	}
}

func TestCheckValidate(t *testing.T) {
	change := func(c Check, how func(*Check)) Check { how(&c); return c }
	for _, c := range []struct {
		check Check
		want  string
	}{
		{water(14, 3), ""}, {weight(14, 3), ""},
		{change(water(14, 0), func(c *Check) { c.Kind = "look" }), `"look" is not a kind of check`},
		{change(water(14, 0), func(c *Check) { c.Day = time.Time{} }), "the check has no day"},
		{water(14, math.Inf(1)), "what the instrument showed is not a number"},
		{change(water(14, 0), func(c *Check) { c.Expected = 1 }), "purified water shows 0 °Brix"},
		{change(water(14, 0), func(c *Check) { c.Unit = Newton }), "purified water shows 0 °Brix"},
		{change(weight(14, 0), func(c *Check) { c.Unit = "stone" }), `"stone" is not a unit of force`},
		{change(weight(14, 0), func(c *Check) { c.Expected = 0 }), "a check weight weighs something"},
	} {
		got := ""
		if err := c.check.Validate(); err != nil {
			got, _, _ = strings.Cut(err.Error(), ";")
		}
		if got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

func TestCheckRemarks(t *testing.T) {
	pressed := Reading{Fruit: 1, Firmness: &Firmness{Sides: []Force{{17, PoundForce}}}}
	juiced := Reading{Fruit: 1, Solids: &Solids{Brix: 12}}
	both := []Reading{pressed, juiced}
	other := water(14, 0.4)
	other.Instrument = "R2"
	const (
		noWeight = "no check of the penetrometer is recorded; check it with a known weight before the first fruit"
		noWater  = "no check of the refractometer is recorded; check it for zero with purified water before the first fruit"
	)
	for _, c := range []struct {
		name     string
		checks   []Check
		readings []Reading
		want     []string
	}{
		{"nothing read", nil, []Reading{{Fruit: 1}}, nil},
		{"none", nil, both, []string{noWeight, noWater}},
		{"only what was read", nil, []Reading{juiced}, []string{noWater}},
		{"fresh", []Check{water(14, 0), weight(14, 12)}, both, nil},
		{"the day before", []Check{water(13, 0), weight(13, 12)}, both, nil},
		{"two days before", []Check{water(12, 0), weight(14, 12)}, both,
			[]string{"the refractometer was last checked on 12 September, 2 days before; check it for zero with purified water on the day"}},
		{"only afterwards", []Check{water(15, 0), weight(14, 12)}, both, []string{noWater}},
		{"failed", []Check{water(14, 0), weight(14, 11.2)}, both,
			[]string{"the penetrometer P1 failed its check of 14 September: it showed 11.2 lbf where 12 lbf was due; set it right and read again"}},
		{"failed, then set right", []Check{water(14, 0.5), water(14, 0), weight(14, 12)}, both, nil},
		{"passed, then failed", []Check{water(14, 0), water(14, 0.5), weight(14, 12)}, both,
			[]string{"the refractometer R1 failed its check of 14 September: it showed 0.5 °Brix where 0 °Brix was due; set it right and read again"}},
		{"one of two failed", []Check{water(14, 0), other, weight(14, 12)}, both,
			[]string{"the refractometer R2 failed its check of 14 September: it showed 0.4 °Brix where 0 °Brix was due; set it right and read again"}},
		{"an old failure of another", []Check{{Instrument: "R0", Kind: ZeroWater, Day: day(1), Shown: 2}, water(14, 0), weight(14, 12)}, both, nil},
	} {
		// At an hour of the day, as a photo has it.
		if got := words.For("en").SayAll(CheckRemarks(day(14).Add(9*time.Hour), c.checks, c.readings)); !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}
