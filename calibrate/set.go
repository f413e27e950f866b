// Package calibrate turns the profile of a half into a stage, on a reference
// set that the grower calibrates.
package calibrate

import "math"

// Scale is the scale of stages of one set. Its direction is its own: Stained
// may be the larger number.
type Scale struct {
	Stained float64 `json:"stained"` // stage of a half that is all stained
	Clear   float64 `json:"clear"`   // stage of a half without stain
	Step    float64 `json:"step"`    // what a grader can tell apart, such as 0.1
}

// Contains says whether the stage lies on the scale, ends included.
func (s Scale) Contains(stage float64) bool {
	return stage >= math.Min(s.Stained, s.Clear) && stage <= math.Max(s.Stained, s.Clear)
}

// Plate is one reference: a half with a known stage and its profile.
type Plate struct {
	Stage   float64   `json:"stage"`
	Stained float64   `json:"stained"`           // stained fraction of the whole face, [0, 1]
	Zones   []float64 `json:"zones"`             // stained fraction of each zone from the core outward, [0, 1]
	Weights []float64 `json:"weights"`           // share of the flesh in each zone; they add up to 1
	Source  string    `json:"source"`            // where it came from: photo name and half number, or who drew it
	Picture []byte    `json:"picture,omitempty"` // the half as a small JPEG, to be shown beside a call
}

// Set is one immutable version of a reference set.
type Set struct {
	Name           string  `json:"name"`
	Version        int     `json:"version"` // from 1
	Scale          Scale   `json:"scale"`
	StainedDensity float64 `json:"stained_density"` // threshold of "stained", see vision.Options
	Note           string  `json:"note,omitempty"`
	Plates         []Plate `json:"plates"` // in order of stage from Stained to Clear
}

// Observation is what is known of one half when its stage is called.
type Observation struct {
	Zones   []float64 // stained fraction of each zone from the core outward
	Weights []float64 // share of the flesh in each zone; they add up to 1
	Stained float64   // stained fraction of the whole face
	// StainedLow and StainedHigh are the stained fractions with the threshold a quarter higher and lower.
	StainedLow, StainedHigh float64
	Masked                  float64  // share of the face that is not flesh
	Doubts                  []string // quality remarks in words, each a reason to look
}

// Call is the stage given to one half.
type Call struct {
	Stage      float64    // position on the set's scale
	Low, High  float64    // 90 % interval on the scale, Low <= High
	Between    [2]float64 // stages of the two plates that bracket it, in plate order
	Borderline bool       // deserves the grower's eye
	Reasons    []string   // why it is borderline, in words; empty when it is not
}
