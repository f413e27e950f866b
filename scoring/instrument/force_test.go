package instrument

import (
	"math"
	"strings"
	"testing"
)

func TestForceIn(t *testing.T) {
	units := []Unit{PoundForce, KilogramForce, Newton}
	for _, from := range units {
		for _, to := range units {
			there := Force{17.3, from}.In(to)
			if back := (Force{there, to}).In(from); math.Abs(back-17.3) > 1e-12 {
				t.Errorf("%s to %s and back: %v", from, to, back)
			}
		}
		// As read, to the last bit.
		if got := (Force{17.3, from}).In(from); got != 17.3 {
			t.Errorf("17.3 %s in its own unit is %v", from, got)
		}
		if x := (Force{1, from}).In("stone"); !math.IsNaN(x) {
			t.Errorf("in a unit that is none: %v", x)
		}
		if x := (Force{1, ""}).In(from); !math.IsNaN(x) {
			t.Errorf("from no unit: %v", x)
		}
	}
}

func TestParseUnit(t *testing.T) {
	for want, names := range map[Unit]string{
		PoundForce:    "lbf,lb,lbs,lb.,LBS,Lb-f,pounds,pound-force",
		KilogramForce: "kgf,kg,KG,kp,kilos,kg/cm2,kg/cm²,kg / cm^2,kgf/cm2,kilogram-force",
		Newton:        "N,n,newton,Newtons",
	} {
		for name := range strings.SplitSeq(names, ",") {
			if got, err := ParseUnit(name); got != want || err != nil {
				t.Errorf("%q is %q (%v), want %s", name, got, err, want)
			}
		}
	}
	for _, name := range []string{"", "g", "kPa", "psi", "lb/in2", "oz", "stone"} {
		if u, err := ParseUnit(name); err == nil {
			t.Errorf("%q taken for %s", name, u)
		}
	}
}

// sides is a firmness in one unit.
func sides(unit Unit, values ...float64) Firmness {
	f := Firmness{Tip: AppleTip}
	for _, x := range values {
		f.Sides = append(f.Sides, Force{x, unit})
	}
	return f
}

func TestFirmnessMean(t *testing.T) {
	mixed := Firmness{Sides: []Force{{1, KilogramForce}, {9.80665, Newton}}}
	for _, c := range []struct {
		f    Firmness
		unit Unit
		want float64
		ok   bool
	}{
		{sides(PoundForce, 17, 16), PoundForce, 16.5, true},
		{sides(PoundForce, 17), PoundForce, 17, true},
		{sides(KilogramForce, 7, 9), Newton, 8 * 9.80665, true},
		{mixed, KilogramForce, 1, true}, // both sides are 1 kgf
		{sides(PoundForce), PoundForce, 0, false},
		{sides("", 17), PoundForce, 0, false},
		{sides(PoundForce, 17), "stone", 0, false},
	} {
		if got, ok := c.f.Mean(c.unit); ok != c.ok || math.Abs(got-c.want) > 1e-12 {
			t.Errorf("mean of %v in %s: %v, %v, want %v", c.f.Sides, c.unit, got, ok, c.want)
		}
	}
}

func TestFirmnessSides(t *testing.T) {
	for _, c := range []struct {
		f               Firmness
		oneSide, uneven bool
	}{
		{sides(PoundForce), false, false},
		{sides(PoundForce, 17), true, false},
		{sides(PoundForce, 17.3, 14.3), false, false}, // 3.0, though 3.0000000000000018 in doubles
		{sides(PoundForce, 14.3, 17.4), false, true},
		{sides(KilogramForce, 7, 8.3), false, false}, // 1.3 kgf are 2.87 lbf
		{sides(KilogramForce, 7, 8.4), false, true},  // 1.4 kgf are 3.09 lbf
		{sides(Newton, 70, 75, 84), false, true},     // the first and the last: 14 N are 3.15 lbf
	} {
		if c.f.OneSide() != c.oneSide || c.f.Uneven() != c.uneven {
			t.Errorf("%v: one side %v, uneven %v", c.f.Sides, c.f.OneSide(), c.f.Uneven())
		}
	}
}

func TestParseTip(t *testing.T) {
	for text, want := range map[string]float64{"11": 11, "11 mm": 11, "11,1mm": 11.1, `7/16"`: 11.1125, "7/16 inch": 11.1125, "5/16": 7.9375} {
		if got, err := ParseTip(text); err != nil || math.Abs(got-want) > 1e-9 {
			t.Errorf("%q is %v mm (%v), want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "0", "-11", "7/0", "0/16", "7/16/2", "big", "nan", "11 in"} {
		if got, err := ParseTip(text); err == nil {
			t.Errorf("%q taken for %v mm", text, got)
		}
	}
}

func TestCheckTip(t *testing.T) {
	for tip, want := range map[float64]string{
		10.9: "", 11: "", 11.3: "", 11.4: "",
		8:          "the 8 mm tip is for pears and reads apples far too soft; press again with the 11 mm tip, no factor turns one into the other",
		7.9375:     "the 7.9375 mm tip is for pears and reads apples far too soft; press again with the 11 mm tip, no factor turns one into the other",
		6:          "a tip of 6 mm is not one for apples; press with the 11 mm tip (7/16 inch)",
		11.5:       "a tip of 11.5 mm is not one for apples; press with the 11 mm tip (7/16 inch)",
		math.NaN(): "a tip of NaN mm is not one for apples; press with the 11 mm tip (7/16 inch)",
	} {
		got := ""
		if err := CheckTip(tip); err != nil {
			got = err.Error()
		}
		if got != want {
			t.Errorf("%v mm: %q, want %q", tip, got, want)
		}
	}
}
