package calibrate

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/interp"
)

const (
	// totalError is the standard error of a measured total, a fraction of the
	// face. It is what measuring aims at and an assumption here; only its ratio
	// to patternScatter moves a stage.
	totalError = 0.006
	// patternScatter is how far the zones of halves with one total stray: a
	// zone that holds the share w of the flesh by patternScatter / sqrt(w),
	// since few pixels are easily all of one kind. That is 0.05 in the outer
	// zone and 0.2 in the core, as painted halves that clear in
	// patches showed; halves that clear in rings or rays stray by a third of it.
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
	// the plates are, with the sign turned so that it falls as curves do.
	warp   curve
	floor  float64 // least half width of an interval, stages
	length float64 // of the path in profile space, root of the flesh-weighted square
}

// knot is one stage of the path: its plate, or the mean of its plates. Its slices
// may be those of the plate and are only read.
type knot struct {
	stage, total   float64
	zones, weights []float64
	plates         float64
}

// Fit lays the path through the plates of the set. Plates of one stage count as
// their mean, and so do near neighbours whose stain cannot be told apart, as that
// of graded halves often cannot. Fit fails on a set that Validate refuses and
// where stages further apart look the same.
func Fit(s Set) (*Path, error) {
	if err := s.Validate(); err != nil {
		return nil, err
	}
	knots := knotsOf(s.Plates)
	for {
		p, alike, err := lay(s.Scale, knots)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", s.title(), err)
		}
		if alike < 0 {
			p.fitWidths()
			return p, nil
		}
		a, b := knots[alike].stage, knots[alike+1].stage
		if len(knots) == 2 || math.Abs(b-a) > joinWithin*s.Scale.Span() {
			return nil, fmt.Errorf("%s: the plates of stage %g and stage %g cannot be told apart: photograph them again or leave one out", s.title(), a, b)
		}
		knots = joinKnots(knots, alike)
	}
}

// lay lays the path through the knots. Where two of them cannot be told apart
// it gives the first of the pair, else -1.
func lay(scale Scale, knots []knot) (*Path, int, error) {
	p := &Path{scale: scale, knots: knots}
	totals := make([]float64, len(knots))
	for i, k := range knots {
		p.x = append(p.x, scale.position(k.stage))
		totals[i] = k.total
	}
	p.total = newCurve(p.x, neverRising(totals))
	if err := p.fitZones(); err != nil {
		return nil, 0, err
	}
	return p, p.fitWarp(), nil
}

// knotsOf joins plates of one stage; plates stand in order of stage.
func knotsOf(plates []Plate) []knot {
	var out []knot
	for _, p := range plates {
		k := knot{p.Stage, p.Stained, p.Zones, p.Weights, 1}
		if n := len(out); n > 0 && out[n-1].stage == p.Stage {
			out[n-1] = out[n-1].join(k)
			continue
		}
		out = append(out, k)
	}
	return out
}

// joinKnots replaces knot i and the next by their mean. A knot at an end of the
// path keeps its stage, so that the path reaches as far as its plates.
func joinKnots(knots []knot, i int) []knot {
	joined := knots[i].join(knots[i+1])
	switch {
	case i == 0:
		joined.stage = knots[0].stage
	case i+2 == len(knots):
		joined.stage = knots[i+1].stage
	}
	return slices.Concat(knots[:i], []knot{joined}, knots[i+2:])
}

// join is the mean of two knots, each counted with its plates.
func (k knot) join(o knot) knot {
	share := o.plates / (k.plates + o.plates)
	mean := func(a, b float64) float64 { return a + share*(b-a) }
	out := knot{stage: mean(k.stage, o.stage), total: mean(k.total, o.total), plates: k.plates + o.plates}
	for j := range k.zones {
		out.zones = append(out.zones, mean(k.zones[j], o.zones[j]))
		out.weights = append(out.weights, mean(k.weights[j], o.weights[j]))
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
	// joinWithin is the share of the scale within which plates that cannot be
	// told apart are joined: three quarters of a stage of eight, less than the
	// steps of any chart in whole stages from 1-5 to 0-10.
	joinWithin = 0.75 / 7
)

// fitWarp finds how far the zones can be trusted, and the warp. Where every
// zone clears in order the curves see each plate where it is and the warp
// changes nothing. Zones that go up and down from plate to plate show plates
// elsewhere; they are listened to less until the plates stand well apart. It
// gives the first of two knots that cannot be told apart, or -1.
func (p *Path) fitWarp() int {
	var seen []float64
	best, trusted := -1.0, 0.0
	apart := make([]float64, len(p.x)-1) // of each gap, with the trust that suits it most
	for _, p.trust = range []float64{1, 0.25, 0.0625, 0} {
		s := p.seenKnots()
		gaps := p.gapsAsSeen(s)
		if least := slices.Min(gaps); least > best {
			best, seen, trusted = least, s, p.trust
		}
		if best >= clearlyApart {
			break
		}
		for i, g := range gaps {
			apart[i] = math.Max(apart[i], g)
		}
	}
	if best < barelyApart {
		return slices.Index(apart, slices.Min(apart))
	}
	p.trust = trusted
	turned := make([]float64, len(p.x))
	for i, x := range p.x {
		turned[i] = -x
	}
	p.warp = newCurve(seen, turned)
	return -1
}

// seenKnots are the positions at which the curves see the knots.
func (p *Path) seenKnots() []float64 {
	out := make([]float64, len(p.knots))
	for i, k := range p.knots {
		out[i] = p.seen(k.total, k.zones)
	}
	return out
}

// gapsAsSeen are the distances between neighbouring knots as seen, as shares of
// their distances in stages.
func (p *Path) gapsAsSeen(seen []float64) []float64 {
	out := make([]float64, len(seen)-1)
	for i := range out {
		out[i] = (seen[i+1] - seen[i]) / (p.x[i+1] - p.x[i])
	}
	return out
}

// position is where on the path a half lies, in stages from the stained end.
// Without zones the total alone says.
func (p *Path) position(total float64, zones []float64) float64 {
	if zones == nil {
		return p.total.where(total)
	}
	return -p.warp.at(p.seen(total, zones))
}
