package calibrate

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/interp"
)

const (
	// totalError is the standard error of a measured total, a fraction of the
	// face: what the stain masks of painted halves with known truth showed.
	totalError = 0.006
	// patternScatter is how far the zones of halves with one total stray: a
	// zone that holds the share w of the flesh by patternScatter / sqrt(w),
	// since few pixels are easily all of one kind. That is 0.05 in the outer
	// zone and 0.2 in the core, as painted halves that clear in patches showed.
	patternScatter = 0.03
	// leastWeight keeps a zone that the plates hardly show from dividing by 0.
	leastWeight = 0.001
)

// Path is a set made ready to call stages: the curves of the total and of each
// zone along the positions of its plates, a position being the distance from
// the stained end in stages. It does not change and may be used by several
// goroutines.
type Path struct {
	scale   Scale
	knots   []knot
	x       []float64 // positions of the knots, strictly increasing
	total   curve
	zones   []curve                  // never rising
	rough   []interp.PiecewiseLinear // what each zone's plates have above or below its curve
	weights []float64                // share of the flesh that each zone has on the plates
	doubt   []float64                // variance of one half's reading of each zone
	trust   float64                  // share of the zones' information that is listened to, [0, 1]
	// warp takes the positions at which the curves see the plates to where
	// the plates are, both with the sign turned so that it falls as curves do.
	warp   curve
	floor  float64 // least half width of an interval, stages
	length float64 // of the path in profile space, root of the flesh-weighted square
}

// knot is one stage of the path: its plate, or the mean of its plates.
type knot struct {
	stage, total   float64
	zones, weights []float64
	plates         float64
}

// Fit lays the path through the plates of the set. It fails on a set that
// Validate refuses and where two stages cannot be told apart.
func Fit(s Set) (*Path, error) {
	if err := s.Validate(); err != nil {
		return nil, err
	}
	p := &Path{scale: s.Scale, knots: knotsOf(s.Plates)}
	totals := make([]float64, len(p.knots))
	for i, k := range p.knots {
		p.x = append(p.x, s.Scale.position(k.stage))
		totals[i] = k.total
	}
	p.total = newCurve(p.x, neverRising(totals))
	if err := p.fitZones(); err != nil {
		return nil, fmt.Errorf("%s: %w", s.title(), err)
	}
	if err := p.fitWarp(); err != nil {
		return nil, fmt.Errorf("%s: %w", s.title(), err)
	}
	p.fitWidths()
	return p, nil
}

// knotsOf joins plates of one stage; plates stand in order of stage.
func knotsOf(plates []Plate) []knot {
	var out []knot
	for _, p := range plates {
		if n := len(out); n == 0 || out[n-1].stage != p.Stage {
			out = append(out, knot{stage: p.Stage, zones: make([]float64, len(p.Zones)), weights: make([]float64, len(p.Zones))})
		}
		k := &out[len(out)-1]
		k.plates++
		k.total += (p.Stained - k.total) / k.plates
		for j := range p.Zones {
			k.zones[j] += (p.Zones[j] - k.zones[j]) / k.plates
			k.weights[j] += (p.Weights[j] - k.weights[j]) / k.plates
		}
	}
	return out
}

// fitZones makes each zone's curve of its plates' values brought into order,
// and doubts the zone the more the further they had to be moved.
func (p *Path) fitZones() error {
	for j := range p.knots[0].zones {
		values, weight := make([]float64, len(p.knots)), 0.0
		for i, k := range p.knots {
			values[i] = k.zones[j]
			weight += k.weights[j] / float64(len(p.knots))
		}
		ordered := neverRising(values)
		moved := 0.0
		for i := range values {
			moved += sq(values[i] - ordered[i])
			values[i] -= ordered[i]
		}
		p.weights = append(p.weights, weight)
		p.zones = append(p.zones, newCurve(p.x, ordered))
		var rough interp.PiecewiseLinear
		if err := rough.Fit(p.x, values); err != nil {
			return err
		}
		p.rough = append(p.rough, rough)
		p.doubt = append(p.doubt, sq(patternScatter)/math.Max(weight, leastWeight)+moved/float64(len(values)))
	}
	return nil
}

// gathered is the information that the plates have passed by the position x.
func (p *Path) gathered(x float64) float64 {
	sum := p.total.infoAt(x) / sq(totalError)
	for j, z := range p.zones {
		sum += p.trust * z.infoAt(x) / p.doubt[j]
	}
	return sum
}

// told is the information that a half's readings have passed, each by its own
// curve. It never rises with any of them.
func (p *Path) told(total float64, zones []float64) float64 {
	sum := p.total.infoAt(p.total.where(total)) / sq(totalError)
	for j, z := range p.zones {
		sum += p.trust * z.infoAt(z.where(zones[j])) / p.doubt[j]
	}
	return sum
}

// seen is the position at which the plates have gathered what the half tells.
func (p *Path) seen(total float64, zones []float64) float64 {
	told, last := p.told(total, zones), p.x[len(p.x)-1]
	if told <= 0 {
		return p.x[0]
	}
	return bisect(p.x[0], last, func(x float64) bool { return p.gathered(x) >= told })
}

const (
	// clearlyApart is the share of the distance between two neighbouring stages
	// at which their plates must be seen for the zones to be trusted fully.
	clearlyApart = 0.5
	// barelyApart is the share below which they cannot be told apart at all.
	barelyApart = 0.05
)

// fitWarp finds how far the zones can be trusted, and the warp. Where every
// zone clears in order the curves see each plate where it is and the warp
// changes nothing. Zones that go up and down from plate to plate show plates
// elsewhere; they are listened to less until the plates stand well apart.
func (p *Path) fitWarp() error {
	best, seen, at := -1.0, []float64(nil), 0
	trusted := 0.0
	for _, p.trust = range []float64{1, 0.25, 0.0625, 0} {
		s := make([]float64, len(p.knots))
		for i, k := range p.knots {
			s[i] = p.seen(k.total, k.zones)
		}
		if apart, i := p.leastApart(s); apart > best {
			best, seen, at, trusted = apart, s, i, p.trust
		}
		if best >= clearlyApart {
			break
		}
	}
	if best < barelyApart {
		return fmt.Errorf("the plates of stage %g and stage %g cannot be told apart: photograph them again or leave one out", p.knots[at].stage, p.knots[at+1].stage)
	}
	p.trust = trusted
	turned := make([]float64, len(p.x))
	for i, x := range p.x {
		turned[i] = -x
	}
	p.warp = newCurve(seen, turned)
	return nil
}

// leastApart is the least distance between neighbouring plates as seen, as
// a share of their distance in stages, and the gap that has it.
func (p *Path) leastApart(seen []float64) (float64, int) {
	least, at := math.Inf(1), 0
	for i := range len(seen) - 1 {
		if r := (seen[i+1] - seen[i]) / (p.x[i+1] - p.x[i]); r < least {
			least, at = r, i
		}
	}
	return least, at
}

// position is where on the path a half lies, in stages from the stained end.
// Without zones the total alone says.
func (p *Path) position(total float64, zones []float64) float64 {
	if zones == nil {
		return p.total.where(total)
	}
	return -p.warp.at(p.seen(total, zones))
}
