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
	// patternScatter is how far the readings of the pattern stray among halves
	// of one total: one that holds the share w of the flesh by patternScatter /
	// sqrt(w). Were the stain laid in independent patches that each hold the
	// share a of the face, a reading at half stain would have the binomial
	// variance a/(4w); 0.03 is that of patches an eighth of the face's width
	// across. An assumption. Graded halves of few photos do not change it: about a path
	// that was drawn through them they seem to stray less than others will.
	patternScatter = 0.03
	// leastWeight keeps a zone that the plates hardly show from dividing by 0.
	leastWeight = 0.001
)

// Path is a set made ready to call stages: the curves of the total and of each
// reading of the pattern along the positions of its knots, a position being the
// distance from the stained end in stages. It does not change and may be used by
// several goroutines.
type Path struct {
	scale   Scale
	rings   int // zones of the set
	sectors int // bearings that its plates were measured in; 0 where the path goes by the zones alone
	knots   []knot
	x       []float64 // positions of the knots, strictly increasing
	total   curve
	pattern []curve                  // of each reading, see patternOf; never rising
	rough   []interp.PiecewiseLinear // what each reading's knots have above or below its curve
	weights []float64                // share of the flesh behind each reading on the plates
	doubt   []float64                // variance of one half in each reading
	mask    float64                  // share of a face that is usually not flesh, [0, 1]
	trust   float64                  // share of the pattern's information that is listened to, [0, 1]
	// warp takes the positions at which the curves see the plates to where
	// the plates are, with the sign turned so that it falls as curves do.
	warp   curve
	floor  float64 // least half width of an interval without graded halves, stages
	length float64 // of the path in profile space, root of the flesh-weighted square
	stray  float64 // how far halves of the set's kind lie off the path, as a multiple of what is usual
	grades *grades // what graded halves tell of its errors; nil where there are too few
}

// knot is one stage of the path: its plate, the mean of its plates, or what
// graded halves make of either. Its slices are only read.
type knot struct {
	stage, total     float64
	pattern, weights []float64
	plates           float64 // plates or graded halves that it stands for
	filler           bool    // laid where only graded halves lie
	moved            float64 // stages by which graded halves move it from its plates' stage towards clear
}

// Fit lays the path through the plates of the set and draws it towards its
// graded halves, see drawn. Plates of one stage count as their mean, and so do
// near neighbours whose stain cannot be told apart. Fit fails on a set that
// Validate refuses and where stages further apart look the same.
func Fit(s Set) (*Path, error) {
	if err := s.Validate(); err != nil {
		return nil, err
	}
	p, err := fitHalves(s, s.Graded)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", s.title(), err)
	}
	p.stray = strayOf(s)
	if p.grades, err = crossed(s, p); err != nil {
		return nil, fmt.Errorf("%s: %w", s.title(), err)
	}
	return p, nil
}

// fitHalves is the path of the set's plates and these graded halves.
func fitHalves(s Set, halves []Graded) (*Path, error) {
	empty := Path{scale: s.Scale, rings: len(s.Plates[0].Zones), sectors: sectorsOf(s), mask: usualMask}
	plates, err := empty.through(empty.knotsOf(s.Plates))
	if err != nil || len(halves) == 0 {
		return plates, err
	}
	return plates.drawn(s.Plates, halves)
}

// through lays a path like this one through the knots, joining near neighbours
// that cannot be told apart.
func (p Path) through(knots []knot) (*Path, error) {
	return p.throughWithin(knots, joinWithin*p.scale.Span())
}

// throughAny is through for knots that were moved: however far apart those that
// cannot be told apart, they are joined.
func (p Path) throughAny(knots []knot) (*Path, error) {
	return p.throughWithin(knots, p.scale.Span())
}

func (p Path) throughWithin(knots []knot, within float64) (*Path, error) {
	for {
		q, alike, err := p.lay(knots)
		if err != nil {
			return nil, err
		}
		if alike < 0 {
			q.fitWidths()
			return q, nil
		}
		a, b := knots[alike].stage, knots[alike+1].stage
		if len(knots) == 2 || math.Abs(b-a) > within {
			return nil, fmt.Errorf("the plates of stage %g and stage %g cannot be told apart: photograph them again or leave one out", a, b)
		}
		knots = joinKnots(knots, alike)
	}
}

// lay lays a path like this one through the knots. Where two of them cannot be
// told apart it gives the first of the pair, else -1.
func (p Path) lay(knots []knot) (*Path, int, error) {
	q := &Path{scale: p.scale, rings: p.rings, sectors: p.sectors, mask: p.mask, knots: knots}
	totals := make([]float64, len(knots))
	for i, k := range knots {
		q.x = append(q.x, q.scale.position(k.stage)+k.moved)
		totals[i] = k.total
	}
	q.total = newCurve(q.x, neverRising(totals))
	if err := q.fitPattern(); err != nil {
		return nil, 0, err
	}
	return q, q.fitWarp(), nil
}

// knotsOf joins plates of one stage; plates stand in order of stage.
func (p Path) knotsOf(plates []Plate) []knot {
	var out []knot
	for _, plate := range plates {
		k := knot{plate.Stage, plate.Stained, p.patternOf(plate.Zones, plate.Sectors), p.sharesOf(plate.Weights), 1, false, 0}
		if n := len(out); n > 0 && out[n-1].stage == plate.Stage {
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
		joined.stage, joined.moved = knots[0].stage, knots[0].moved
	case i+2 == len(knots):
		joined.stage, joined.moved = knots[i+1].stage, knots[i+1].moved
	}
	return slices.Concat(knots[:i], []knot{joined}, knots[i+2:])
}

// join is the mean of two knots, each counted with its plates.
func (k knot) join(o knot) knot {
	share := o.plates / (k.plates + o.plates)
	mean := func(a, b float64) float64 { return a + share*(b-a) }
	out := knot{stage: mean(k.stage, o.stage), total: mean(k.total, o.total), plates: k.plates + o.plates, moved: mean(k.moved, o.moved)}
	for j := range k.pattern {
		out.pattern = append(out.pattern, mean(k.pattern[j], o.pattern[j]))
		out.weights = append(out.weights, mean(k.weights[j], o.weights[j]))
	}
	return out
}

// fitPattern makes each reading's curve of its knots' values brought into order,
// and doubts the reading the more the further they had to be moved.
func (p *Path) fitPattern() error {
	views := 1.0
	if p.sectors > 0 {
		views = 2 // zones and quarters are the same pixels, parted in two ways: each tells half
	}
	for j := range p.knots[0].pattern {
		values, weight := make([]float64, len(p.knots)), 0.0
		for i, k := range p.knots {
			values[i] = k.pattern[j]
			weight += k.weights[j] / float64(len(p.knots))
		}
		ordered := neverRising(values)
		moved := 0.0
		for i := range values {
			moved += sq(values[i] - ordered[i])
			values[i] -= ordered[i]
		}
		p.weights = append(p.weights, weight)
		p.pattern = append(p.pattern, newCurve(p.x, ordered))
		var rough interp.PiecewiseLinear
		if err := rough.Fit(p.x, values); err != nil {
			return err
		}
		p.rough = append(p.rough, rough)
		p.doubt = append(p.doubt, views*sq(patternScatter)/math.Max(weight, leastWeight)+moved/float64(len(values)))
	}
	return nil
}

// gathered is the information that the plates have passed by the position x.
func (p *Path) gathered(x float64) float64 {
	sum := p.total.infoAt(x) / sq(totalError)
	for j, r := range p.pattern {
		sum += p.trust * r.infoAt(x) / p.doubt[j]
	}
	return sum
}

// told is the information that a half's readings have passed, each by its own
// curve. It never rises with any of them.
func (p *Path) told(total float64, pattern []float64) float64 {
	sum := p.total.infoAt(p.total.where(total)) / sq(totalError)
	for j, r := range p.pattern {
		sum += p.trust * r.infoAt(r.where(pattern[j])) / p.doubt[j]
	}
	return sum
}

// seen is the position at which the plates have gathered what the half tells.
func (p *Path) seen(total float64, pattern []float64) float64 {
	told, last := p.told(total, pattern), p.x[len(p.x)-1]
	if told <= 0 {
		return p.x[0]
	}
	return bisect(p.x[0], last, func(x float64) bool { return p.gathered(x) >= told })
}

const (
	// clearlyApart is the share of the distance between two neighbouring stages
	// at which their plates must be seen for the pattern to be trusted fully.
	clearlyApart = 0.5
	// barelyApart is the share below which they cannot be told apart at all.
	barelyApart = 0.05
	// joinWithin is the share of the scale within which plates that cannot be
	// told apart are joined: three quarters of a stage of eight, less than the
	// steps of any chart in whole stages from 1-5 to 0-10.
	joinWithin = 0.75 / 7
)

// fitWarp finds how far the pattern can be trusted, and the warp. Where every
// reading clears in order the curves see each plate where it is and the warp
// changes nothing. Readings that go up and down from plate to plate show plates
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
		out[i] = p.seen(k.total, k.pattern)
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
// Without a pattern the total alone says.
func (p *Path) position(total float64, pattern []float64) float64 {
	if pattern == nil {
		return p.total.where(total)
	}
	return -p.warp.at(p.seen(total, pattern))
}

// StainedAt is the stained fraction that the path shows at a stage: of halves of
// that stage the usual one. Beyond the path's ends it is that of the end.
func (p *Path) StainedAt(stage float64) float64 { return p.total.at(p.scale.position(stage)) }
