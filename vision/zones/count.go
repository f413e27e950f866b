package zones

import "math"

// Count sorts the labelled pixels of a face into n rings of equal width and
// into sectors. The three slices run in step, one entry a pixel: its class, its
// normalised radius, and its bearing from the core's centre in radians, from
// the x axis towards y, in [0, 2 pi). Pixels of class Outside are left out; n < 1 counts as
// DefaultCount.
func Count(class []Class, radius, bearing []float32, n int) Profile {
	if n < 1 {
		n = DefaultCount
	}
	p := Profile{Zones: make([]Zone, n), Sectors: make([]Zone, SectorCount)}
	for i := range p.Zones {
		p.Zones[i].Inner, p.Zones[i].Outer = float64(i)/float64(n), float64(i+1)/float64(n)
	}
	for i := range p.Sectors {
		p.Sectors[i].Outer = 1
	}
	for i, c := range class {
		if c == Outside {
			continue
		}
		p.Face++
		if c == NotFlesh {
			continue
		}
		ring := &p.Zones[min(int(float64(radius[i])*float64(n)), n-1)]
		sector := &p.Sectors[int(float64(bearing[i])/(2*math.Pi)*SectorCount)%SectorCount]
		if c == Hidden {
			ring.Hidden++
			sector.Hidden++
			continue
		}
		ring.Flesh++
		sector.Flesh++
		if c == Stained {
			ring.Stained++
			sector.Stained++
		}
	}
	return p
}
