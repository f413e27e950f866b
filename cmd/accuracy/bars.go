package main

import (
	"maps"
	"math"
)

// kind says how much is asked of a group.
type kind string

const (
	plain kind = "plain" // a tray as the photo guide asks for it
	hard  kind = "hard"  // glare, deep shadow, steep tilt, clutter
	none  kind = "none"  // photos without halves

	// Plain and hard trays called on a set with graded halves; one of them with
	// some grades misread.
	calibratedPlain kind = "plain calibrated"
	calibratedHard  kind = "hard calibrated"
	misread         kind = "misread"

	// The second painter's: clean photos, what testers send, and worse.
	secondPlain     kind = "second plain"
	usual           kind = "usual"
	rough           kind = "rough"
	secondNone      kind = "second none"
	secondPlainCal  kind = "second plain calibrated"
	usualCalibrated kind = "usual calibrated"
	roughCalibrated kind = "rough calibrated"

	real kind = "real" // photographs without a half

	// Of the second painter's, the hardest few are kept with the code: what their
	// means may be is what they were when they were kept, with a tenth of room.
	keptUsual kind = "kept usual"
	keptRough kind = "kept rough"
)

// limit is the bar for one kind of group.
type limit struct {
	least, most float64 // infinite on a side where nothing is asked
}

func atMost(v float64) *limit            { return &limit{math.Inf(-1), v} }
func atLeast(v float64) *limit           { return &limit{v, math.Inf(1)} }
func between(least, most float64) *limit { return &limit{least, most} }

func (l *limit) holds(v float64) bool { return l.least <= v && v <= l.most }

// onGraded says whether the halves are called on sets with graded halves.
func (k kind) onGraded() bool {
	switch k {
	case calibratedPlain, calibratedHard, misread, secondPlainCal, usualCalibrated, roughCalibrated:
		return true
	}
	return false
}

// bars are what the project holds itself to, by kind of group and row. An interval
// that holds far more than it says is as wrong as one that holds less. Misread grades may
// add 0.05 to the error.
var bars = map[kind]map[string]*limit{
	plain: measuring(0.97, 0.012, 0.12, 0.06, map[string]*limit{stained95: atMost(0.035)}),
	hard:  measuring(0.95, 0.03, 0.25, 0.15, nil),
	none:  {notMeasured: atMost(0), halvesTold: atMost(0)},

	calibratedPlain: {
		stageError: atMost(0.08), inInterval: between(0.85, 0.96), intervalWidth: atMost(0.5), borderline: atMost(0.15),
		largeMarked: atLeast(0.9), blockMean: atMost(0.06),
	},
	calibratedHard: {stageError: atMost(0.18), inInterval: between(0.85, 0.96), largeMarked: atLeast(0.9), blockMean: atMost(0.15)},
	misread:        {stageError: atMost(0.13), blockMean: atMost(0.06)},

	secondPlain:     sent(0.995, 1, 0.975, 0.010, 0.08),
	usual:           sent(0.985, 0.9, 0.965, 0.020, 0.15),
	rough:           sent(0.96, 0.75, 0.95, 0.045, 0.30),
	secondNone:      {notMeasured: atMost(0), halvesTold: atMost(0)},
	secondPlainCal:  {stageError: atMost(0.08), inInterval: between(0.85, 0.96), intervalWidth: atMost(0.5), largeMarked: atLeast(0.9)},
	usualCalibrated: {stageError: atMost(0.15), inInterval: between(0.85, 0.96), intervalWidth: atMost(0.7), largeMarked: atLeast(0.9)},
	roughCalibrated: {stageError: atMost(0.30), inInterval: between(0.85, 0.96), intervalWidth: atMost(1.2), largeMarked: atLeast(0.9)},

	keptUsual: sent(1, 1, 0.945, 0.031, 0.19),
	keptRough: sent(1, 1, 0.945, 0.051, 0.33),

	real: {notMeasured: atMost(0), halvesTold: atMost(1.0 / 54)},
}

// measuring are the bars of the first two painters' trays.
func measuring(outline, stained, stage, block float64, more map[string]*limit) map[string]*limit {
	out := map[string]*limit{
		notMeasured: atMost(0), halvesFound: atLeast(0.99), falseHalves: atMost(0.01), inOrderRow: atLeast(1),
		overlap: atLeast(outline), stainedError: atMost(stained), stageError: atMost(stage), blockMean: atMost(block),
	}
	maps.Copy(out, more)
	return out
}

// sent are the bars of the second painter's trays.
func sent(found, order, outline, stained, stage float64) map[string]*limit {
	return map[string]*limit{
		notMeasured: atMost(0), halvesFound: atLeast(found), falseHalves: atMost(0), inOrderRow: atLeast(order),
		overlap: atLeast(outline), stainedError: atMost(stained), stageError: atMost(stage), largeMarked: atLeast(0.9),
	}
}
