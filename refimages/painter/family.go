package painter

import "math"

// Family is the way in which the stain leaves a face as the fruit ripens. The
// families are drawn after the types that charts for different cultivars show;
// their laws from stage to stained share are the painter's own, except that of
// Concentric, which is the straight line between the published ends of the scale
// (see refimages/SOURCES.md).
type Family string

const (
	// Concentric clears from the core outward, evenly all round.
	Concentric Family = "concentric"
	// Petals clears from the core along rays, so that a flower opens.
	Petals Family = "petals"
	// OneSided clears in ragged patches, one side well before the other.
	OneSided Family = "one-sided"
	// RimLast clears the middle of the cortex first; stain stays longest under
	// the skin and, fainter, around the core.
	RimLast Family = "rim-last"
	// Islands thins out over the whole face, until scattered islands are left.
	Islands Family = "islands"
)

// Families lists all families.
func Families() []Family { return []Family{Concentric, Petals, OneSided, RimLast, Islands} }

// Stained and Clear are the ends of the painter's scale.
const (
	StageStained = 1.0
	StageClear   = 8.0
)

// Share is the stained fraction of a face of this family at a stage of the scale
// 1 (all stained) to 8 (clear), in [0, 1]. With x = (stage-1)/7 the laws are
//
//	concentric  1 - x
//	petals      1 - 0.45 x - 0.55 x² (3 - 2x)
//	one-sided   (1 - x^1.5) / (1 + 0.6 x)
//	rim-last    (e^(-1.3x) - e^-1.3) / (1 - e^-1.3)
//	islands     0.55 (1 - x) + 0.225 (1 + cos πx)
//
// All fall strictly from 1 to 0. A stage outside the scale counts as its nearer end.
func (f Family) Share(stage float64) float64 {
	x := clamp((stage-StageStained)/(StageClear-StageStained), 0, 1)
	switch f {
	case Petals:
		return 1 - 0.45*x - 0.55*x*x*(3-2*x)
	case OneSided:
		return (1 - math.Pow(x, 1.5)) / (1 + 0.6*x)
	case RimLast:
		return (math.Exp(-1.3*x) - math.Exp(-1.3)) / (1 - math.Exp(-1.3))
	case Islands:
		return 0.55*(1-x) + 0.225*(1+math.Cos(math.Pi*x))
	default:
		return 1 - x
	}
}

// starch is how long the flesh at a place keeps its starch: the stain leaves
// the lowest values first. Only the order counts.
type starch struct {
	family Family
	turn   float64 // bearing of the first ray or of the side that clears first
	size   float64 // mean radius, mm
	n      noise
}

func newStarch(f Family, seed uint64, size float64) starch {
	r := random(seed, 11)
	return starch{family: f, turn: between(r, 0, 2*math.Pi), size: size, n: noise(r.Uint64())}
}

// keep is the order in which flesh clears, at x, y mm from the core's centre
// with normalised radius q and bearing th.
func (s starch) keep(x, y, q, th float64) float64 {
	coarse := s.n.layers(x*0.09, y*0.09, 3)
	fine := (s.n + 5).layers(x*0.55, y*0.55, 3)
	d, id := (s.n + 9).spots(x*0.95, y*0.95)
	grain := (id - 0.5) * smooth(0.8, 0.2, d)
	// starch goes along the strands that run outward, more so further out
	fine += 0.8 * (s.n+13).at(th*11+coarse, q*4) * smooth(0.15, 0.5, q)
	switch s.family {
	case Petals:
		// ten bundles, every other one weaker
		bend := th - s.turn + 0.1*coarse
		ray := 0.6*math.Cos(10*bend) + 0.4*math.Cos(5*bend)
		depth := 0.3 * smooth(0.08, 0.55, q)
		return q - depth*ray + 0.07*coarse + 0.07*fine + 0.09*grain
	case OneSided:
		side := math.Cos(th-s.turn) * q
		return 0.45*q - 0.42*side + 0.3*coarse + 0.12*fine + 0.1*grain
	case RimLast:
		mid := math.Abs(q - 0.5 - 0.03*math.Cos(5*(th-s.turn)))
		if q < 0.5 {
			mid *= 0.75
		}
		return mid*1.7 + 0.12*coarse + 0.1*fine + 0.1*grain
	case Islands:
		u, v := 0.11*x+0.05*y+0.5*coarse, 0.11*y-0.05*x+0.5*fine
		return 0.3*q + 0.5*(s.n+3).layers(u, v, 4) + 0.12*fine + 0.12*grain
	default:
		lobes := 0.03 * math.Cos(5*(th-s.turn))
		return q + lobes + 0.05*coarse + 0.05*fine + 0.08*grain
	}
}
