package instrument

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// newtons is the size of each unit of force, N. All are exact: the pound is
// 0.45359237 kg, standard gravity 9.80665 m/s².
// Source: NIST SP 811 (2008), Guide for the Use of the SI, appendix B.
var newtons = map[Unit]float64{
	PoundForce:    0.45359237 * 9.80665,
	KilogramForce: 9.80665,
	Newton:        1,
}

// Valid says whether the unit is one of those that the package knows.
func (u Unit) Valid() bool { return newtons[u] != 0 }

// In is the force in another unit, unrounded; in its own unit it is the value
// as it was read. It is NaN when either unit is not valid.
func (f Force) In(unit Unit) float64 {
	switch {
	case !f.Unit.Valid() || !unit.Valid():
		return math.NaN()
	case f.Unit == unit:
		return f.Value
	}
	return f.Value * newtons[f.Unit] / newtons[unit]
}

// String is the force as it was read: "17.2 lbf".
func (f Force) String() string {
	return strconv.FormatFloat(f.Value, 'f', -1, 64) + " " + string(f.Unit)
}

// unitNames are the spellings of units, in small letters, without spaces,
// points and hyphens.
var unitNames = map[string]Unit{
	"lbf": PoundForce, "lb": PoundForce, "lbs": PoundForce, "lbsf": PoundForce,
	"pound": PoundForce, "pounds": PoundForce, "poundforce": PoundForce, "poundsforce": PoundForce,

	"kgf": KilogramForce, "kg": KilogramForce, "kgs": KilogramForce, "kp": KilogramForce, "kilopond": KilogramForce,
	"kilo": KilogramForce, "kilos": KilogramForce, "kilogram": KilogramForce, "kilograms": KilogramForce,
	"kilogramforce": KilogramForce, "kilogramsforce": KilogramForce,

	"n": Newton, "newton": Newton, "newtons": Newton,
}

// perArea are the spellings of kilograms per square centimetre.
var perArea = map[string]bool{
	"kg/cm2": true, "kg/cm²": true, "kg/cm^2": true, "kgf/cm2": true, "kgf/cm²": true, "kgf/cm^2": true,
	"kp/cm2": true, "kp/cm²": true, "kp/cm^2": true, "kg/sqcm": true, "kgcm2": true,
}

// ParseUnit reads the name of a unit of force: lbf, lb, lbs, pounds, kgf, kg,
// kp, N, newtons and the like.
//
// It takes kg/cm² for kgf: sheets write it for the kilograms shown by a
// penetrometer with the 11 mm tip, whose area, 0.95 cm², is called 1 cm².
// True pressures, such as kPa, are refused.
func ParseUnit(s string) (Unit, error) {
	unit, _, err := parseUnit(s)
	return unit, err
}

// parseUnit also says whether the unit was written as one of pressure.
func parseUnit(s string) (unit Unit, pressure bool, err error) {
	name := strings.ToLower(strings.NewReplacer(" ", "", "\u00a0", "", ".", "", "-", "", "_", "").Replace(s))
	if perArea[name] {
		return KilogramForce, true, nil
	}
	if unit, ok := unitNames[name]; ok {
		return unit, false, nil
	}
	return "", false, fmt.Errorf("%q is not a unit of force; write lbf, kgf or N", strings.TrimSpace(s))
}
