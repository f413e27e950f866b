package calibrate

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// Graded halves draw the path of the plates towards themselves. At each knot
// and in each reading - the total, every zone, every quarter of the bearings -
// the path is moved by what solves, in least squares,
//
//	plate:  move at its knot + light of its photo      = 0 ± error of a reading
//	graded: move at its stage + light of its photo     = seen there - path there ± error of a reading and of a grade
//	photo:  light                                      = 0 ± lightError
//
// so that plates and graded halves count by how sure they are, and one tray in
// an odd light as one witness, not as sixteen. Moves between knots are in
// a straight line from one to the next; that the path has the shape which the
// plates gave it between them is left as it is. Halves whose grade lies far from where the path has
// them count less and less (the biweight of A. E. Beaton and J. W. Tukey, The
// Fitting of Power Series, Meaning Polynomials, Illustrated on Band-
// Spectroscopic Data, 1974), so a misread stage does not bend the path. The
// moved knots are then brought into order as those of plates are: the path is
// monotone by construction, and without graded halves it is that of the plates.
const (
	// lightError is how far the light of one photo moves the stained fraction
	// of a half that is half stained; clear and full halves have no edge of
	// stain to move. An assumption: what measuring aims at from tray to tray.
	lightError = 0.01
	// biweight is the tuning constant of the biweight, in robust standard
	// deviations: 95 % efficient for Gaussian errors (P. J. Huber, Robust
	// Statistics, 1981).
	biweight = 4.685
	// madToSD makes a median absolute deviation a standard deviation, for
	// Gaussian errors: 1 / 0.6745.
	madToSD = 1.4826
	// drawRounds of weighing and moving are enough for weights to settle to
	// within settled.
	drawRounds = 8
	settled    = 1e-3
	// fillerGuess is how well a reading is known between distant plates before
	// graded halves tell: hardly, a quarter of the face.
	fillerGuess = 0.25
	// scatterPrior is how many graded halves patternScatter is worth.
	scatterPrior = 8
)

// marker is a graded half laid beside the path.
type marker struct {
	x       float64 // position of its grade
	o       Observation
	pattern []float64 // nil where it does not fit the set's
	photo   int       // place of its photo in the list of lights
}

// reading is the value of a marker or knot in reading j; -1 is the total.
func readingOf(total float64, pattern []float64, j int) float64 {
	if j < 0 {
		return total
	}
	return pattern[j]
}

// drawn is the path of plates p drawn towards graded halves.
func (p *Path) drawn(plates []Plate, halves []Graded) (*Path, error) {
	d := p.newDrawing(plates, halves)
	q := p
	for range drawRounds {
		sd, changed := q.weigh(&d)
		if changed < settled {
			break
		}
		moved, err := d.moved(sd)
		if err != nil {
			return nil, err
		}
		next := Path{scale: p.scale, rings: p.rings, sectors: p.sectors, scatter: q.scatterOf(d), mask: d.usualMask()}
		if q, err = next.throughAny(moved); err != nil {
			return nil, err
		}
	}
	return q, nil
}

// newDrawing lays the halves beside the path of plates.
func (p *Path) newDrawing(plates []Plate, halves []Graded) drawing {
	photos := map[string]int{}
	light := func(photo string) int {
		if _, ok := photos[photo]; !ok {
			photos[photo] = len(photos)
		}
		return photos[photo]
	}
	d := drawing{base: p, knots: p.withFillers(halves), weight: make([]float64, len(halves)), called: make([]float64, len(halves))}
	for _, k := range d.knots {
		d.lights = append(d.lights, light(p.photoAt(plates, k.stage)))
	}
	for _, g := range halves {
		pattern, _ := p.patternSeen(g.Seen)
		d.markers = append(d.markers, marker{p.scale.position(g.Stage()), g.Seen, pattern, light(g.Photo)})
	}
	d.photos = len(photos)
	return d
}

// usualMask is the share of the face that is not flesh on the middle one of the
// markers.
func (d *drawing) usualMask() float64 {
	var masks []float64
	for _, m := range d.markers {
		masks = append(masks, m.o.Masked)
	}
	return median(masks)
}

// photoAt is the photo of the first plate of the stage, "" where not recorded.
func (p *Path) photoAt(plates []Plate, stage float64) string {
	i := slices.IndexFunc(plates, func(q Plate) bool { return q.Stage == stage && q.Origin != nil })
	if i < 0 {
		return ""
	}
	return plates[i].Origin.Photo
}

// withFillers is the path's knots and new ones in gaps of more than one and
// a half sevenths of the scale, its ends included, wherever two graded halves or more
// lie. They begin where the path runs; plates stands for their halves.
func (p *Path) withFillers(halves []Graded) []knot {
	seventh := p.scale.Span() / 7
	ends := slices.Concat([]float64{0}, p.x, []float64{p.scale.Span()})
	var out []knot
	for i := range len(ends) - 1 {
		if i > 0 {
			out = append(out, p.knots[i-1])
		}
		gap := ends[i+1] - ends[i]
		atEnd := i == 0 || i+2 == len(ends)
		if gap <= 1.5*seventh && !(atEnd && gap > seventh/2) {
			continue
		}
		steps := max(1, math.Round(gap/seventh))
		for k := range int(steps) + 1 {
			at := ends[i] + gap*float64(k)/steps
			if k == 0 && i > 0 || k == int(steps) && i+2 < len(ends) {
				continue // the plates' own places
			}
			near := 0
			for _, g := range halves {
				if math.Abs(p.scale.position(g.Stage())-at) <= gap/steps/2 {
					near++
				}
			}
			if near >= 2 {
				out = append(out, p.filler(at, near))
			}
		}
	}
	return out
}

// filler is a knot on the path at a position without plates.
func (p *Path) filler(at float64, halves int) knot {
	k := knot{stage: p.scale.stageAt(at), total: p.total.at(at), weights: p.weights, plates: float64(halves), filler: true}
	for j := range p.pattern {
		k.pattern = append(k.pattern, p.reading(j, at))
	}
	return k
}

// drawing is the state of drawing one path.
type drawing struct {
	base    *Path
	knots   []knot
	lights  []int // photo of each knot's plates
	markers []marker
	photos  int
	weight  []float64 // of each marker, [0, 1]
	called  []float64 // position of each marker on the path that weighed it last
}

// weigh gives each marker its place on this path and the weight that follows,
// and tells the robust standard deviation of grades about it, in stages, and by
// how much a weight changed at most.
func (p *Path) weigh(d *drawing) (sd, changed float64) {
	off := make([]float64, len(d.markers))
	for i, m := range d.markers {
		d.called[i] = p.position(m.o.Stained, m.pattern)
		off[i] = math.Abs(d.called[i] - m.x)
	}
	sd = math.Max(madToSD*median(off), baseShare*p.scale.Span())
	for i, r := range off {
		w := sq(math.Max(0, 1-sq(r/(biweight*sd))))
		changed = math.Max(changed, math.Abs(w-d.weight[i]))
		d.weight[i] = w
	}
	return sd, changed
}

// scatterOf is the scatter of the pattern that the markers show about the path,
// together with what is assumed of it.
func (p *Path) scatterOf(d drawing) float64 {
	sum, n := scatterPrior*sq(patternScatter), float64(scatterPrior)
	for i, m := range d.markers {
		if m.pattern != nil {
			off := p.offPath(m.pattern, d.called[i])
			sum += d.weight[i] * off * off / float64(len(p.pattern))
			n += d.weight[i]
		}
	}
	return math.Sqrt(sum / n)
}

// moved gives the knots as the markers draw them; sd is that of grades.
func (d *drawing) moved(sd float64) ([]knot, error) {
	out := slices.Clone(d.knots)
	for i := range out {
		out[i].pattern = slices.Clone(out[i].pattern)
	}
	for j := -1; j < len(d.base.pattern); j++ {
		moves, err := d.solve(j, sd)
		if err != nil {
			return nil, err
		}
		for i := range out {
			if j < 0 {
				out[i].total = unitRange(out[i].total + moves[i])
			} else {
				out[i].pattern[j] = unitRange(out[i].pattern[j] + moves[i])
			}
		}
	}
	return out, nil
}

func unitRange(v float64) float64 { return math.Max(0, math.Min(1, v)) }

// solve finds the moves of all knots in reading j.
func (d *drawing) solve(j int, sd float64) ([]float64, error) {
	n := len(d.knots)
	s := newSquares(n + d.photos)
	of := d.base.readingError(j)
	for i, k := range d.knots {
		if k.filler {
			s.add(0, fillerGuess, term{i, 1})
			continue
		}
		s.add(0, of/math.Sqrt(k.plates), term{i, 1}, term{n + d.lights[i], moves(k.total)})
	}
	for i, m := range d.markers {
		if d.weight[i] == 0 || j >= 0 && m.pattern == nil {
			continue
		}
		left, share := d.between(m.x)
		path := d.base.readingAt(j, m.x)
		err := math.Hypot(of, sd*d.base.slopeAt(j, m.x)) / math.Sqrt(d.weight[i])
		s.add(readingOf(m.o.Stained, m.pattern, j)-path, err,
			term{left, 1 - share}, term{min(left+1, n-1), share}, term{n + m.photo, moves(m.o.Stained)})
	}
	for i := range d.photos {
		s.add(0, lightError, term{n + i, 1})
	}
	solved, err := s.solve()
	if err != nil {
		return nil, err
	}
	return solved[:n], nil
}

// moves is how much of a change of light shows on a half of this total.
func moves(total float64) float64 { return 4 * total * (1 - total) }

// between finds the knot before x and how far x is on the way to the next.
func (d *drawing) between(x float64) (left int, share float64) {
	for left+2 < len(d.knots) && d.base.scale.position(d.knots[left+1].stage) <= x {
		left++
	}
	a := d.base.scale.position(d.knots[left].stage)
	b := d.base.scale.position(d.knots[left+1].stage)
	return left, unitRange((x - a) / (b - a))
}

// readingAt is what the path shows at position x in reading j; -1 is the total.
func (p *Path) readingAt(j int, x float64) float64 {
	if j < 0 {
		return p.total.at(x)
	}
	return p.reading(j, x)
}

// readingError is the standard error of reading j of one half.
func (p *Path) readingError(j int) float64 {
	if j < 0 {
		return totalError
	}
	return p.scatter / math.Sqrt(math.Max(p.weights[j], leastWeight))
}

// slopeAt is how fast reading j changes at position x, per stage, over a
// seventh of the scale.
func (p *Path) slopeAt(j int, x float64) float64 {
	h := p.scale.Span() / 14
	return (p.readingAt(j, x+h) - p.readingAt(j, x-h)) / (2 * h)
}

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
