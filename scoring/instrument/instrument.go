// Package instrument holds what is read off a fruit by hand and instrument:
// firmness, soluble solids, red colour and ground colour, with the checks that
// say whether the instruments could be trusted.
//
// ReadSheets takes a tester's sheet whole or refuses it with the rows and columns
// to put right; WriteTemplate gives an empty one; ParseFirmness and ParseSolids
// take single readings. Plausible refuses what no apple can have; Remarks and
// CheckRemarks say what a report must tell beside its figures.
//
// Values are kept as they were read, in the unit they were read in, and
// converted only to be compared or shown: see Force.In and Solids.At20. The
// package is plain numbers and text: it opens no file and reads no clock.
package instrument

import "time"

// Unit is a unit of force, as it is written.
type Unit string

const (
	PoundForce    Unit = "lbf"
	KilogramForce Unit = "kgf"
	Newton        Unit = "N"
)

// Force is a force as it was read.
type Force struct {
	Value float64
	Unit  Unit
}

// Firmness is the force that drives a tip into the pared flesh of one fruit.
type Firmness struct {
	Sides []Force // one entry for each side pressed, in the order pressed
	Tip   float64 // diameter of the tip, mm; 11 for apples
}

// Solids are the soluble solids of one fruit's juice.
type Solids struct {
	Brix        float64  // as the instrument showed it, °Brix (% mass sucrose)
	Celsius     *float64 // temperature of the juice; nil when it was not recorded
	Compensated bool     // the instrument corrects for temperature itself
}

// Ground is the ground colour of one fruit on a scale that the grower names.
type Ground struct {
	Score float64
	Scale string // such as "1-4 card"
}

// Reading is what was read off one fruit. What was not read is nil or empty.
type Reading struct {
	Fruit    int // number of the fruit in its sample, from 1
	Firmness *Firmness
	Solids   *Solids
	Red      *float64 // blushed share of the skin, per cent, [0, 100]
	Ground   *Ground
	Note     string // free remarks of the tester
}

// CheckKind says what was checked on an instrument.
type CheckKind string

const (
	// ZeroWater: a refractometer shows 0 with purified water.
	ZeroWater CheckKind = "zero with purified water"
	// CheckWeight: a penetrometer shows the force of a known weight.
	CheckWeight CheckKind = "check weight"
)

// Check is one check of an instrument.
type Check struct {
	Instrument      string // as the tester calls it
	Kind            CheckKind
	Day             time.Time // when, in whole days or finer
	By              string    // initials
	Expected, Shown float64   // °Brix for ZeroWater, Unit for CheckWeight
	Unit            Unit      // empty for ZeroWater
}
