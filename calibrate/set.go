package calibrate

import (
	"fmt"
	"slices"
)

// Plate is one reference: a half with a known stage and its profile.
type Plate struct {
	Stage   float64   `json:"stage"`
	Stained float64   `json:"stained"`           // stained fraction of the whole face, [0, 1]
	Zones   []float64 `json:"zones"`             // stained fraction of each zone from the core outward, [0, 1]
	Weights []float64 `json:"weights"`           // share of the flesh in each zone; they add up to 1
	Source  string    `json:"source"`            // where it came from: photo name and half number, or who drew it
	Picture []byte    `json:"picture,omitempty"` // the half as a small JPEG, to be shown beside a call
}

// PlateFrom makes a plate of a measured half whose stage is known. Picture is
// a small JPEG of the half, or nil. The plate shares nothing with its sources.
func PlateFrom(o Observation, stage float64, source string, picture []byte) Plate {
	return Plate{Stage: stage, Stained: o.Stained, Zones: o.Zones, Weights: o.Weights, Source: source, Picture: picture}.clone()
}

func (p Plate) clone() Plate {
	p.Zones, p.Weights, p.Picture = slices.Clone(p.Zones), slices.Clone(p.Weights), slices.Clone(p.Picture)
	return p
}

// Set is one immutable version of a reference set: New makes the first, Next
// each one after it.
type Set struct {
	Name           string  `json:"name"`
	Version        int     `json:"version"`          // from 1
	Parent         string  `json:"parent,omitempty"` // digest of the version this one was made from; empty for the first
	Scale          Scale   `json:"scale"`
	StainedDensity float64 `json:"stained_density"` // threshold of "stained", see vision.Options
	Note           string  `json:"note,omitempty"`
	Plates         []Plate `json:"plates"` // in order of stage from Stained to Clear
}

// New makes version 1 of a set of plates given in any order.
func New(name string, scale Scale, stainedDensity float64, plates ...Plate) (Set, error) {
	s := Set{Name: name, Version: 1, Scale: scale, StainedDensity: stainedDensity}
	return s.with(plates)
}

// Next makes the version after this one: the plates of this one and those
// given, in order of stage, and the digest of this one as its parent. This
// version is left as it is.
func (s Set) Next(plates ...Plate) (Set, error) {
	if len(plates) == 0 {
		return Set{}, fmt.Errorf("%s: no plates given: a new version needs at least one", s.title())
	}
	digest, err := s.Digest()
	if err != nil {
		return Set{}, err
	}
	next := s
	next.Version++
	next.Parent = digest
	return next.with(slices.Concat(s.Plates, plates))
}

// with is the set with copies of these plates in order.
func (s Set) with(plates []Plate) (Set, error) {
	s.Plates = make([]Plate, len(plates))
	for i, p := range plates {
		s.Plates[i] = p.clone()
	}
	slices.SortStableFunc(s.Plates, s.byStage)
	if err := s.Validate(); err != nil {
		return Set{}, err
	}
	return s, nil
}

// byStage orders plates from the stained end to the clear end.
func (s Set) byStage(a, b Plate) int {
	switch d := s.Scale.position(a.Stage) - s.Scale.position(b.Stage); {
	case d < 0:
		return -1
	case d > 0:
		return 1
	}
	return 0
}

// Calibrated says whether the intervals of the set's calls rest on graded
// halves. Plates alone do not tell how far graders and halves stray from them,
// so it is false and the intervals are wide.
func (s Set) Calibrated() bool { return false }

// title names the version in errors.
func (s Set) title() string { return fmt.Sprintf("set %q version %d", s.Name, s.Version) }
