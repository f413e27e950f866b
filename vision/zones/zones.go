// Package zones turns the labelled pixels of one cut face into its profile:
// the stained fraction of each radial zone.
//
// Everything here is plain numbers. Pixel coordinates have their origin at the
// top left corner of the top left pixel, x to the right and y down, so the
// centre of the first pixel is (0.5, 0.5). The normalised radius of a point is
// 0 at the core's centre and 1 on the outline, measured along the bearing from
// the core's centre through that point, so that a tilted or lopsided face has
// the same zones as a round one.
package zones

import "math"

// Class says what one pixel of a cut face shows.
type Class uint8

const (
	// Outside is not the cut face.
	Outside Class = iota
	// Clear is flesh without stain.
	Clear
	// Stained is flesh that holds the iodine stain.
	Stained
	// NotFlesh is skin ring, seed cavity, seed, core lining or dirt: it counts on neither side.
	NotFlesh
	// Hidden is flesh that does not show whether it is stained, such as under
	// glare: it counts on neither side, but its zone keeps its weight.
	Hidden
)

// DefaultCount is the number of zones unless a reference set says otherwise.
const DefaultCount = 5

// Zone is a ring (or a sector) of the face with its pixel counts.
type Zone struct {
	Inner, Outer float64 // normalised radius, 0 at the core's centre, 1 at the outline
	Stained      int     // stained flesh, pixels
	Flesh        int     // stained and clear flesh, pixels
	Hidden       int     // flesh that does not show which it is, pixels
}

// Fraction is stained flesh / flesh, in [0, 1]. It is false where no flesh was seen.
func (z Zone) Fraction() (float64, bool) {
	if z.Flesh == 0 {
		return 0, false
	}
	return float64(z.Stained) / float64(z.Flesh), true
}

// Profile is what one half shows: its zones from the core outward and the same
// flesh again by bearing.
type Profile struct {
	Zones []Zone // rings of equal width in normalised radius, from the core outward
	// Sectors holds the same flesh by bearing from the core's centre: SectorCount
	// equal sectors, the first starting at the x axis, turning towards y.
	Sectors []Zone
	// Face counts every pixel of the cut face, flesh or not: Face minus Flesh is
	// what was masked.
	Face int
}

// SectorCount is the number of bearings a profile keeps.
const SectorCount = 12

// Stained is the stained fraction of the whole face, in [0, 1]: what a zone
// hides is taken to be stained as the rest of it is, so that glare over clear flesh does
// not make a half look more stained. It is false where no flesh was seen.
func (p Profile) Stained() (float64, bool) {
	var stained, flesh float64
	for i, z := range p.Zones {
		f, ok := p.nearest(i)
		if !ok {
			return 0, false
		}
		stained += float64(z.Stained) + f*float64(z.Hidden)
		flesh += float64(z.Flesh + z.Hidden)
	}
	if flesh == 0 {
		return 0, false
	}
	return stained / flesh, true
}

// Fractions gives the stained fraction of each zone. A zone without flesh takes
// the value of its nearest neighbour that has some (the inner one at equal
// distance), so that the result can be compared zone by zone; it is nil where
// no zone has flesh.
func (p Profile) Fractions() []float64 {
	out := make([]float64, len(p.Zones))
	for i := range p.Zones {
		f, ok := p.nearest(i)
		if !ok {
			return nil
		}
		out[i] = f
	}
	return out
}

func (p Profile) nearest(i int) (float64, bool) {
	for d := range p.Zones {
		for _, j := range []int{i - d, i + d} {
			if j < 0 || j >= len(p.Zones) {
				continue
			}
			if f, ok := p.Zones[j].Fraction(); ok {
				return f, true
			}
		}
	}
	return 0, false
}

// Weights gives the share of the flesh, hidden or not, that lies in each zone;
// they add up to 1. It is nil where no zone has flesh.
func (p Profile) Weights() []float64 {
	flesh := 0
	for _, z := range p.Zones {
		flesh += z.Flesh + z.Hidden
	}
	if flesh == 0 {
		return nil
	}
	out := make([]float64, len(p.Zones))
	for i, z := range p.Zones {
		out[i] = float64(z.Flesh+z.Hidden) / float64(flesh)
	}
	return out
}

// Masked is the share of the face that is not flesh or hides what it is, in [0, 1].
func (p Profile) Masked() float64 {
	if p.Face == 0 {
		return 0
	}
	flesh := 0
	for _, z := range p.Zones {
		flesh += z.Flesh
	}
	return 1 - float64(flesh)/float64(p.Face)
}

// Hidden is the share of the flesh that does not show whether it is stained, in [0, 1].
func (p Profile) Hidden() float64 {
	hidden, all := 0, 0
	for _, z := range p.Zones {
		hidden += z.Hidden
		all += z.Hidden + z.Flesh
	}
	return float64(hidden) / float64(max(all, 1))
}

// Asymmetry is the strength of the first harmonic of the stained fraction
// around the core, in [0, 1]: 0 when every bearing is stained alike, near 0.6
// when one side is all stained and the other all clear.
func (p Profile) Asymmetry() float64 {
	var x, y, n float64
	for i, s := range p.Sectors {
		f, ok := s.Fraction()
		if !ok {
			continue
		}
		a := 2 * math.Pi * (float64(i) + 0.5) / float64(len(p.Sectors))
		x += f * math.Cos(a)
		y += f * math.Sin(a)
		n++
	}
	if n == 0 {
		return 0
	}
	return 2 * math.Hypot(x, y) / n
}
