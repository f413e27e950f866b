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
	Sectors []float64 `json:"sectors,omitempty"` // stained fraction by bearing, see Observation; nil where not measured
	Source  string    `json:"source"`            // where it came from: photo name and half number, or who drew it
	Picture []byte    `json:"picture,omitempty"` // the half as a small JPEG, to be shown beside a call
	Origin  *Origin   `json:"origin,omitempty"`  // the half it was taken from; nil where that was not recorded
}

// Origin says which half of which photo a plate is, and who gave it its stage.
type Origin struct {
	Photo string `json:"photo"`        // SHA-256 of the photo's bytes, in hexadecimal
	Half  int    `json:"half"`         // its number in reading order, from 1
	By    string `json:"by,omitempty"` // initials of who gave the stage
}

// PlateFrom makes a plate of a measured half whose stage is known. Picture is
// a small JPEG of the half, or nil. The plate shares nothing with its sources.
func PlateFrom(o Observation, stage float64, source string, picture []byte) Plate {
	return Plate{Stage: stage, Stained: o.Stained, Zones: o.Zones, Weights: o.Weights, Sectors: o.Sectors, Source: source, Picture: picture}.clone()
}

func (p Plate) clone() Plate {
	p.Zones, p.Weights, p.Sectors, p.Picture = slices.Clone(p.Zones), slices.Clone(p.Weights), slices.Clone(p.Sectors), slices.Clone(p.Picture)
	if p.Origin != nil {
		origin := *p.Origin
		p.Origin = &origin
	}
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
	// Graded are the halves that people graded by eye, by photo in the order in
	// which the photos came, then by number.
	Graded []Graded `json:"graded,omitempty"`
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
	next, err := s.successor()
	if err != nil {
		return Set{}, err
	}
	return next.with(slices.Concat(s.Plates, plates))
}

// successor is the version after this one, still with the same halves.
func (s Set) successor() (Set, error) {
	digest, err := s.Digest()
	if err != nil {
		return Set{}, err
	}
	s.Version++
	s.Parent = digest
	return s, nil
}

// with is the set with copies of these plates in order.
func (s Set) with(plates []Plate) (Set, error) {
	s.Plates = make([]Plate, len(plates))
	for i, p := range plates {
		s.Plates[i] = p.clone()
	}
	slices.SortStableFunc(s.Plates, s.byStage)
	graded := s.Graded
	s.Graded = nil
	for _, g := range graded {
		s.Graded = append(s.Graded, g.clone())
	}
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
// halves. Plates alone do not tell how far graders and halves stray from them;
// without enough graded halves the intervals are wide.
func (s Set) Calibrated() bool { return s.GradedNeeded() == 0 }

// GradedNeeded is how many more graded halves the set needs to be calibrated.
func (s Set) GradedNeeded() int { return max(0, fewestGraded-len(s.sampled())) }

// sampled are the graded halves that were not chosen for having been called
// wrong.
func (s Set) sampled() []Graded {
	return slices.DeleteFunc(slices.Clone(s.Graded), func(g Graded) bool { return g.Adopted })
}

// title names the version in errors.
func (s Set) title() string { return fmt.Sprintf("set %q version %d", s.Name, s.Version) }
