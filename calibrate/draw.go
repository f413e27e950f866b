package calibrate

import (
	"cmp"
	"math"
	"slices"
)

// Graded halves draw the path of the plates towards themselves: they tell which stages
// the path's places stand for. How the pattern changes along the path stays what the
// plates show; few photos cannot tell more. Every half is seen at some place on the path of plates; that its
// grade is another stage may be because
//
//	the path has that place too early or too late (a move of its knots),
//	the light of its photo, or of the plates', stains all halves more or less,
//	it was measured or graded with an error of its own:
//
//	grade - place seen = move there - swing × (light of its photo) ± own error
//	plate:           0 = all moves of its knot - swing × (light of the plates' photo) ± error of a reading
//
// Moves between knots lie in a straight line. Lights are random effects with heavy
// tails (lights.go): a tray in an odd light is then one poor witness, not sixteen good ones.
// Own errors are weighed once the light is taken away, by the biweight (A. E. Beaton
// and J. W. Tukey, The Fitting of Power Series, Meaning Polynomials, Illustrated on
// Band-Spectroscopic Data, 1974), so that a misread stage does not bend the path and an
// odd light does not make good grades look misread. The moved knots are kept in order: the
// path is monotone by construction, and without graded halves it is that of the plates.
const (
	// biweight is the tuning constant of the biweight, in robust standard
	// deviations: 95 % efficient for Gaussian errors (P. J. Huber, Robust
	// Statistics, 1981).
	biweight = 4.685
	// madToSD makes a median absolute deviation a standard deviation, for
	// Gaussian errors: 1 / 0.6745.
	madToSD = 1.4826
	// fillerGuess is how well a place is known between distant plates before graded
	// halves tell: hardly, a quarter of the scale.
	fillerGuess = 0.25
	// leastLeft of the distance between two knots is left when graded halves move
	// them towards each other.
	leastLeft = 0.25
	// drawPasses of drawing are made, each on the path that the one before drew: places
	// between knots follow a curve, moves a straight line.
	drawPasses = 8
	// drawnEnough is how little of the scale a pass may move the path to be the last: a
	// hundredth of a stage of eight.
	drawnEnough = 0.01 / 7
)

// drawn is the path of plates p drawn towards graded halves.
func (p *Path) drawn(plates []Plate, halves []Graded) (*Path, error) {
	laid := Path{scale: p.scale, rings: p.rings, sectors: p.sectors, mask: usualMaskOf(halves)}
	q, err := laid.throughAny(p.withFillers(p.places(halves)))
	for pass, most := 0, math.Inf(1); pass < drawPasses && most > drawnEnough*p.scale.Span(); pass++ {
		if err != nil {
			return nil, err
		}
		d := q.newDrawing(plates, halves)
		moves, failed := d.solve()
		if failed != nil {
			return nil, failed
		}
		most = math.Max(slices.Max(moves), -slices.Min(moves))
		q, err = laid.throughAny(d.moved(moves))
	}
	return q, err
}

// places are where the path sees halves.
func (p *Path) places(halves []Graded) []float64 {
	out := make([]float64, len(halves))
	for i, h := range halves {
		out[i] = p.called(h.Seen)
	}
	return out
}

// usualMaskOf is the share of the face that is not flesh on the middle one of the
// halves.
func usualMaskOf(halves []Graded) float64 {
	var masks []float64
	for _, h := range halves {
		masks = append(masks, h.Seen.Masked)
	}
	return median(masks)
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
	d := drawing{path: p, knots: p.knots, places: p.x}
	for _, k := range d.knots {
		d.lights = append(d.lights, light(p.photoAt(plates, k.stage)))
	}
	seen := p.places(halves)
	for i, h := range halves {
		w := p.swingAt(seen[i])
		w.photo, w.off = light(h.Photo), p.scale.position(h.Stage())-seen[i]
		d.witnesses = append(d.witnesses, w)
	}
	d.photos = len(photos)
	return d
}

// photoAt is the photo of the plate nearest to the stage, "" where not recorded.
func (p *Path) photoAt(plates []Plate, stage float64) string {
	nearest := slices.MinFunc(plates, func(a, b Plate) int {
		return cmp.Compare(math.Abs(a.Stage-stage), math.Abs(b.Stage-stage))
	})
	if nearest.Origin == nil {
		return ""
	}
	return nearest.Origin.Photo
}

// withFillers is the path's knots and new ones in gaps of more than one and
// a half sevenths of the scale, its ends included, wherever two graded halves or more
// are seen. They begin where the path runs; plates stands for their halves.
func (p *Path) withFillers(seen []float64) []knot {
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
			for _, x := range seen {
				if math.Abs(x-at) <= gap/steps/2 {
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

// drawing is what is known when a path is drawn.
type drawing struct {
	path      *Path
	knots     []knot
	places    []float64 // positions of the knots
	lights    []int     // photo of each knot's plates
	witnesses []witness
	photos    int
}

// witness is a graded half laid beside the path.
type witness struct {
	at    float64 // position at which the path sees it
	off   float64 // position of its grade - at
	swing float64 // stages towards the stained end that a unit of light moves it
	error float64 // standard error of at, stages
	photo int
}

// swingAt is a half at position x: how its place moves with light, and how surely it
// is seen there. A place is where each reading's share of information
// gathers, so that it moves by the mean of what each reading alone would say, weighed with
// the information.
func (p *Path) swingAt(x float64) witness {
	info, moved := 0.0, 0.0
	for j := -1; j < len(p.pattern); j++ {
		slope, err := p.slopeAt(j, x), p.readingError(j)
		share := 1.0
		if j >= 0 {
			share = p.trust
		}
		info += share * sq(slope/err)
		moved -= share * slope / sq(err) * moves(p.readingAt(j, x))
	}
	if info == 0 {
		return witness{at: x, error: p.scale.Span() * fillerGuess}
	}
	return witness{at: x, swing: moved / info, error: math.Min(1/math.Sqrt(info), p.scale.Span()*fillerGuess)}
}

// moves is how much of a change of light shows on a half, or a part of it, that
// is stained so much: clear and full ones have no edge of stain to move.
func moves(stained float64) float64 { return 4 * stained * (1 - stained) }

// between finds the knot before x and how far x is on the way to the next.
func (d *drawing) between(x float64) (left int, share float64) {
	for left+2 < len(d.places) && d.places[left+1] <= x {
		left++
	}
	a, b := d.places[left], d.places[left+1]
	return left, unitRange((x - a) / (b - a))
}

func unitRange(v float64) float64 { return math.Max(0, math.Min(1, v)) }

// moved gives the knots at their moved places, in order and on the scale.
func (d *drawing) moved(by []float64) []knot {
	out := slices.Clone(d.knots)
	at := make([]float64, len(out))
	for i := range out {
		at[i] = math.Max(0, math.Min(d.path.scale.Span(), d.places[i]+by[i]))
		if i > 0 {
			at[i] = math.Max(at[i], at[i-1]+leastLeft*(d.places[i]-d.places[i-1]))
		}
	}
	last := len(out) - 1
	at[last] = math.Min(at[last], d.path.scale.Span())
	for i := last - 1; i >= 0; i-- {
		at[i] = math.Min(at[i], at[i+1]-leastLeft*(d.places[i+1]-d.places[i]))
	}
	for i := range out {
		out[i].moved = at[i] - d.path.scale.position(out[i].stage)
	}
	return out
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
	return math.Sqrt(p.doubt[j])
}

// slopeAt is how fast reading j changes at position x, per stage, over a
// seventh of the scale.
func (p *Path) slopeAt(j int, x float64) float64 {
	h := p.scale.Span() / 14
	return (p.readingAt(j, x+h) - p.readingAt(j, x-h)) / (2 * h)
}

// isEnd says whether a knot's plates show an end of the scale: what is all stained, or
// without stain, is so in any light and stays where it is.
func (d *drawing) isEnd(i int) bool {
	return cmp.Compare(d.places[i], 0) == 0 || d.places[i] == d.path.scale.Span()
}
