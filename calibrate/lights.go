package calibrate

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mat"
)

// How much less the light of one photo stains all its halves, as a fraction of a half that is
// half stained, is a random effect: a draw from Student's t distribution about zero (K. L. Lange,
// R. J. A. Little and J. M. G. Taylor, Robust Statistical Modeling Using the t Distribution, 1989).
// Photos that agree share what they differ by from the plates; one far from all
// others is believed to be odd, and counts less the farther it is.
const (
	// lightScale is the scale of the distribution: half of all lights lie within 0.82
	// times it. It is what stained fractions of whole trays are off by in common.
	lightScale = 0.006
	// lightFreedom is its degrees of freedom. Two make one light in ten larger than
	// 2.9 scales and one in a hundred larger than 9.9.
	lightFreedom = 2.0
	// chartShare of that scale is the one of the plates' photo: what graders look at is the
	// chart, and who photographs it takes care. Fitted on all worlds' sets of one and two
	// trays when outlines were less good than now: at 1/4 one of thirty was worse than its chart by more than 0.005 stage, at 1/8
	// one, by 0.0053, and now none; with simulated charts in odd lights two trays take 8 to 10 % off the error at either.
	chartShare = 1.0 / 8
	// together makes up for what errors of one tray have in common beside its light: the
	// errors of a tray's halves are taken to be so many times as large, as if half of them
	// told. Fitted likewise: at 1 two of thirty sets were worse, at 1.4 that one, at 1.5 none, but from 1.46 on
	// three trays no longer overrule a plate that was measured badly; at 2 half of what they gain is lost.
	together = 1.4
	// drawRounds of weighing and solving are enough to settle to within settled,
	// in shares of the scale.
	drawRounds = 60
	settled    = 1e-6
	// convexRounds of them weigh by the absolute error, which has one optimum, so that the biweight begins
	// near it.
	convexRounds = 8
	// leastSwing of the scale per unit of light is what a half must move to tell of its
	// light: a tenth of what a half on a straight path moves where it is half stained.
	leastSwing = 0.1
)

// heavyWeight is by how much more than a Gaussian one of the same scale an effect of so
// many scales counts: (df + 1) / (df + effect²), the weight of the expectation maximisation for
// Student's t.
func heavyWeight(effect float64) float64 {
	return (lightFreedom + 1) / (lightFreedom + sq(effect))
}

// heavyCost is minus the logarithm of the density of such an effect, but for a constant.
func heavyCost(effect float64) float64 {
	return (lightFreedom + 1) / 2 * math.Log1p(sq(effect)/lightFreedom)
}

// solve finds the moves of the knots, given the lights of the photos, with weights of the
// halves' own errors that suit them.
func (d *drawing) solve() ([]float64, error) {
	n := len(d.knots)
	lights := d.findLights()
	moves := make([]float64, n)
	for i, k := range d.knots {
		moves[i] = d.path.swingAt(d.places[i]).swing*lights[d.lights[i]] - k.moved
	}
	for round := range drawRounds {
		weights, sd := d.weigh(moves, lights, round < convexRounds)
		s := newSquares(n)
		d.addKnots(s, moves, lights)
		for i, w := range d.witnesses {
			if weights[i] == 0 {
				continue
			}
			left, share := d.between(w.at)
			s.add(w.off+w.swing*lights[w.photo], together*math.Hypot(w.error, sd)/math.Sqrt(weights[i]), term{left, 1 - share}, term{min(left+1, n-1), share})
		}
		solved, err := s.solve()
		if err != nil {
			return nil, err
		}
		changed := 0.0
		for i, m := range solved {
			changed = math.Max(changed, math.Abs(m-moves[i]))
		}
		moves = solved
		if changed < settled*d.path.scale.Span() && round >= convexRounds {
			break
		}
	}
	return moves, nil
}

// addKnots adds what is known of the moves of knots without graded halves. A plate is one
// half, and one that was measured badly counts less: its own error is a draw from the same
// distribution as lights, but for its scale.
func (d *drawing) addKnots(s squares, moves, lights []float64) {
	for i, k := range d.knots {
		switch w := d.path.swingAt(d.places[i]); {
		case d.isEnd(i):
			s.add(-k.moved, tooNear, term{i, 1})
		case k.filler:
			s.add(-k.moved, fillerGuess*d.path.scale.Span(), term{i, 1})
		default:
			scale := w.error / math.Sqrt(k.plates)
			own := k.moved + moves[i] - w.swing*lights[d.lights[i]]
			s.add(w.swing*lights[d.lights[i]]-k.moved, scale/math.Sqrt(heavyWeight(own/scale)), term{i, 1})
		}
	}
}

// weigh gives each half the weight of its own error about these moves and lights,
// and tells the robust standard deviation of own errors, in stages. The weights are those of
// Huber, with corners at one standard deviation, where convex, else of the biweight.
func (d *drawing) weigh(moves, lights []float64, convex bool) (weights []float64, sd float64) {
	off := make([]float64, len(d.witnesses))
	for i, w := range d.witnesses {
		left, share := d.between(w.at)
		move := (1-share)*moves[left] + share*moves[min(left+1, len(moves)-1)]
		off[i] = math.Abs(w.off - move + w.swing*lights[w.photo])
	}
	sd = math.Max(madToSD*median(off), baseShare*d.path.scale.Span())
	for _, r := range off {
		if convex {
			weights = append(weights, sd/math.Max(sd, r))
			continue
		}
		weights = append(weights, sq(math.Max(0, 1-sq(r/(biweight*sd)))))
	}
	return weights, sd
}

// findLights are the lights of all photos. The halves of each tell its light against the
// path as it stands, by the median, which a few misread grades do not move; so do the
// plates, by how far they have been moved. What is then the same in all is no light but
// the path's own error, see middleOf.
func (d *drawing) findLights() []float64 {
	told := make([][]float64, d.photos)
	least := leastSwing * d.path.scale.Span()
	for _, w := range d.witnesses {
		if w.swing > least {
			told[w.photo] = append(told[w.photo], -w.off/w.swing)
		}
	}
	for i, k := range d.knots {
		if w := d.path.swingAt(d.places[i]); !k.filler && w.swing > least {
			told[d.lights[i]] = append(told[d.lights[i]], k.moved/w.swing)
		}
	}
	lights := make([]float64, d.photos)
	var known, scales []float64
	for i, v := range told {
		if len(v) == 0 {
			continue
		}
		lights[i] = median(v)
		known, scales = append(known, lights[i]), append(scales, lightScale)
		if slices.Contains(d.lights, i) {
			scales[len(scales)-1] *= chartShare
		}
	}
	middle := middleOf(known, scales)
	for i := range lights {
		lights[i] -= middle
	}
	return lights
}

// middleOf is the location of values that are draws from Student's t of these scales, by the estimator
// of E. J. G. Pitman (The Estimation of the Location and Scale Parameters of a Continuous Population of
// any Given Form, 1939): the mean of all places, each weighed with how likely it makes the values. It
// moves with the values, and no start can catch it beside the best place.
func middleOf(values, scales []float64) float64 {
	if len(values) == 0 {
		return 0
	}
	cost := func(at float64) float64 {
		sum := 0.0
		for i, v := range values {
			sum += heavyCost((v - at) / scales[i])
		}
		return sum
	}
	best := slices.MinFunc(values, func(a, b float64) int { return cmp.Compare(cost(a), cost(b)) })
	least, moment, mass := cost(best), 0.0, 0.0
	places, weights := make([]float64, middlePoints), make([]float64, middlePoints)
	for _, s := range stretches(values, scales) {
		quad.Legendre{}.FixedLocations(places, weights, s[0], s[1])
		for i, at := range places {
			w := weights[i] * math.Exp(least-cost(at))
			mass += w
			moment += w * (at - best)
		}
	}
	return best + moment/mass
}

// stretches are those over which a density with a peak at each value is integrated: the
// peaks' surroundings in steps that grow tenfold, out to where the tails tell nothing.
func stretches(values, scales []float64) [][2]float64 {
	var ends []float64
	for i, v := range values {
		for step := scales[i]; step < middleTail*lightScale; step *= 10 {
			ends = append(ends, v-step, v+step)
		}
		ends = append(ends, v, v-middleTail*lightScale, v+middleTail*lightScale)
	}
	slices.Sort(ends)
	ends = slices.Compact(ends)
	var out [][2]float64
	for i := range len(ends) - 1 {
		out = append(out, [2]float64{ends[i], ends[i+1]})
	}
	return out
}

const (
	// middleTail times the scale from the nearest value all is integrated: with two photos the
	// density falls as the sixth power of the distance.
	middleTail = 300
	// middlePoints of Gauss and Legendre in each stretch are exact to a ten thousandth of a scale.
	middlePoints = 24
)

// squares gathers the normal equations of a least squares problem.
type squares struct {
	a *mat.SymDense
	b *mat.VecDense
}

// term is one unknown of an equation with its factor.
type term struct {
	unknown int
	factor  float64
}

func newSquares(unknowns int) squares {
	return squares{mat.NewSymDense(unknowns, nil), mat.NewVecDense(unknowns, nil)}
}

// add takes in the equation sum of terms = value, give or take err.
func (s squares) add(value, err float64, terms ...term) {
	w := 1 / (err * err)
	for i, t := range terms {
		s.b.SetVec(t.unknown, s.b.AtVec(t.unknown)+w*t.factor*value)
		for k, u := range terms[i:] {
			product := w * t.factor * u.factor
			if k > 0 && t.unknown == u.unknown {
				product *= 2 // an unknown that stands in two terms
			}
			s.a.SetSym(t.unknown, u.unknown, s.a.At(t.unknown, u.unknown)+product)
		}
	}
}

func (s squares) solve() ([]float64, error) {
	var c mat.Cholesky
	var x mat.VecDense
	if ok := c.Factorize(s.a); !ok {
		return nil, errors.New("the graded halves do not determine a path")
	}
	if err := c.SolveVecTo(&x, s.b); err != nil {
		return nil, err
	}
	return x.RawVector().Data, nil
}
