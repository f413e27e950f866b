package calibrate

import (
	"math"
	"slices"

	"traystage/vision/note"
	"traystage/vision/zones"
)

// SectorsOf gives the stained fraction of each bearing of a profile, as
// Observation.Sectors wants them. It is nil where a bearing shows no flesh.
func SectorsOf(p zones.Profile) []float64 {
	out := make([]float64, len(p.Sectors))
	for i, s := range p.Sectors {
		f, ok := s.Fraction()
		if !ok {
			return nil
		}
		out[i] = f
	}
	if len(out) == 0 {
		return nil
	}
	return out
}

// quarters is in how many groups the bearings of a half are read.
const quarters = 4

// patternOf is the pattern of a half as the path reads it: the stained fraction
// of each zone from the core outward and, on a path with sectors, the mean of
// the least stained quarter of the bearings, of the next, and so on. Ordering
// the bearings by stain makes a half the same however it lies on the tray and
// keeps what streaks and a stained side show: quarters that are far apart. No
// reading ever falls when any part of the half is more stained.
func (p *Path) patternOf(zones, sectors []float64) []float64 {
	if p.sectors == 0 {
		return zones
	}
	ordered := slices.Sorted(slices.Values(sectors))
	out := slices.Clone(zones)
	each := len(ordered) / quarters
	for q := range quarters {
		sum := 0.0
		for _, f := range ordered[q*each : (q+1)*each] {
			sum += f
		}
		out = append(out, sum/float64(each))
	}
	return out
}

// sharesOf is the share of the flesh behind each reading of the pattern.
func (p *Path) sharesOf(weights []float64) []float64 {
	if p.sectors == 0 {
		return weights
	}
	out := slices.Clone(weights)
	for range quarters {
		out = append(out, 1.0/quarters)
	}
	return out
}

// sectorsOf is the number of bearings that every plate of the set was measured
// in, or 0.
func sectorsOf(s Set) int {
	n := len(s.Plates[0].Sectors)
	for _, p := range s.Plates {
		if len(p.Sectors) != n {
			return 0
		}
	}
	return n
}

// patternSeen is the pattern of a half, or nil with the reason where
// it cannot be laid beside that of the plates.
func (p *Path) patternSeen(o Observation) (pattern []float64, reason note.Note) {
	switch {
	case len(o.Zones) != p.rings:
		return nil, note.New(CallOtherZones, note.Count("zones", len(o.Zones)), note.Count("set", p.rings))
	case !areFractions(o.Zones):
		return nil, note.New(CallZoneMissing)
	case p.sectors > 0 && (len(o.Sectors) != p.sectors || !areFractions(o.Sectors)):
		return nil, note.New(CallSideMissing)
	}
	return p.patternOf(o.Zones, o.Sectors), note.Note{}
}

func areFractions(values []float64) bool {
	return !slices.ContainsFunc(values, func(v float64) bool { return !isFraction(v) })
}

// offPath is the distance of the half's pattern from the path at position x:
// the root of the flesh-weighted sum of squares over its readings.
func (p *Path) offPath(pattern []float64, x float64) float64 {
	sum := 0.0
	for j, v := range pattern {
		sum += p.weights[j] * sq(v-p.reading(j, x))
	}
	return math.Sqrt(sum)
}

// reading is what the path shows at position x in reading j of the pattern.
func (p *Path) reading(j int, x float64) float64 { return p.pattern[j].at(x) + p.rough[j].Predict(x) }

// usualOff is the distance that halves of one total have from each other: each
// of n readings adds weight times scatter² / weight.
func (p *Path) usualOff() float64 { return patternScatter * math.Sqrt(float64(len(p.pattern))) }
