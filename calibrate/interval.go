package calibrate

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

const (
	// miss is the share of true stages that may lie outside an interval.
	miss = 0.10
	// fewestGraded is the least number n of graded halves with which an interval
	// of 90 % is finite: the ⌈0.9 (n+1)⌉-th smallest of n scores must exist.
	fewestGraded = 9
	// mostFolds bounds the work of leaving photos out.
	mostFolds = 10
	// priorLight and priorFreedom are what is believed of the lights of photos before
	// any is graded: a standard deviation, as a fraction of a half that is half stained, worth so many
	// photos. An assumption on the wide side: stained fractions of plain trays were off in common by half
	// as much on all painters' photos.
	priorLight   = 0.012
	priorFreedom = 4
)

// grades is what graded halves tell of the errors of a path's calls. A call errs by
// what is the half's own and by what all halves of its photo share, and a set knows many
// halves of few photos. So the two are told apart:
//
//   - own: each graded half is called by a path that knows no half of its photo. How far it
//     is then off, once the light of its photo and, in quadrature, what the photo leaves open
//     are taken away, divided by the doubt of the set, is its score (J. Lei and others, Distribution-Free Predictive Inference for
//     Regression, 2018). A new half is off by no more than the ⌈0.9 (n+1)⌉-th smallest of n scores times that
//     doubt and what its own photo leaves open with a probability of 90 %, whatever the distribution
//     (V. Vovk, A. Gammerman and G. Shafer, Algorithmic Learning in a Random World, 2005).
//   - light: the lights of the graded photos, each against the path without it, are too few for
//     a quantile. Theirs is a scaled inverse chi-squared variance on top of a prior, which makes the light
//     of a new photo a Student t (A. Gelman and others, Bayesian Data Analysis, 2013,
//     section 2.6).
//
// The reaches of both are added in quadrature. A tray unlike all graded ones could not have been
// one of them: grade trays in several lights.
type grades struct {
	own     float64   // how many times the doubt of the set a half reaches by itself
	light   float64   // how far the light of a new photo reaches, as a fraction of a half that is half stained
	freedom float64   // degrees of freedom behind the light
	common  float64   // standard uncertainty that all stages of a tray share, stages
	off     []float64 // stages by which each graded half was off, called - graded, towards clear
	places  []float64 // positions of all grades, rising
}

// crossed judges each graded half of the set by the path without its photo. It
// is nil where there are too few halves; p is the path with all of them.
func crossed(s Set, p *Path) (*grades, error) {
	if !s.Calibrated() {
		return nil, nil
	}
	return crossOver(s, p)
}

// leftOut is a graded half called by a path that does not know its photo.
type leftOut struct {
	photo string
	off   float64 // called - graded, stages towards clear
	doubt doubt
	swing float64 // see witness
}

// crossOver does so however few there are.
func crossOver(s Set, p *Path) (*grades, error) {
	halves, err := leaveOut(s)
	if err != nil {
		return nil, err
	}
	g := &grades{}
	for i, h := range s.sampled() {
		g.off = append(g.off, halves[i].off)
		g.places = append(g.places, p.scale.position(h.Stage()))
	}
	slices.Sort(g.places)
	trays := traysOf(halves, p.scale)
	g.reach(halves, trays)
	g.share(halves, trays)
	return g, nil
}

// leaveOut calls each sampled half of the set by the path without its photo, or
// without its tenth of the photos where there are more than ten.
func leaveOut(s Set) ([]leftOut, error) {
	folds := s.folds()
	foldOf := func(h Graded) int {
		return slices.IndexFunc(folds, func(photos []string) bool { return slices.Contains(photos, h.Photo) })
	}
	var paths []*Path
	for k := range folds {
		kept := slices.DeleteFunc(slices.Clone(s.Graded), func(h Graded) bool { return foldOf(h) == k })
		path, err := fitHalves(s, kept)
		if err != nil {
			return nil, err
		}
		paths = append(paths, path)
	}
	var out []leftOut
	for _, h := range s.sampled() {
		path := paths[foldOf(h)]
		x, doubt := path.doubted(h.Seen)
		out = append(out, leftOut{h.Photo, x - s.Scale.position(h.Stage()), doubt, path.swingAt(x).swing})
	}
	return out, nil
}

// folds are the photos with sampled halves, each by itself or, where there are more than
// mostFolds, dealt out to so many.
func (s Set) folds() [][]string {
	photos := photosOf(s.sampled())
	out := make([][]string, min(len(photos), mostFolds))
	for i, photo := range photos {
		out[i%len(out)] = append(out[i%len(out)], photo)
	}
	return out
}

// tray is what the halves of one left out photo have in common.
type tray struct {
	photo string
	off   float64 // median of called - graded
	light float64 // median of the lights that its halves tell; 0 where none tells
	tells bool
}

// traysOf are the photos of left out halves, in their order.
func traysOf(halves []leftOut, scale Scale) []tray {
	var out []tray
	for i, h := range halves {
		if slices.ContainsFunc(halves[:i], func(o leftOut) bool { return o.photo == h.photo }) {
			continue
		}
		var off, lights []float64
		for _, o := range halves[i:] {
			if o.photo != h.photo {
				continue
			}
			off = append(off, o.off)
			if o.swing > leastSwing*scale.Span() {
				lights = append(lights, -o.off/o.swing)
			}
		}
		t := tray{photo: h.photo, off: median(off), tells: len(lights) > 0}
		if t.tells {
			t.light = median(lights)
		}
		out = append(out, t)
	}
	return out
}

// own is what the half was off by itself, without the light of its photo.
func (h leftOut) own(trays []tray) float64 {
	i := slices.IndexFunc(trays, func(t tray) bool { return t.photo == h.photo })
	return h.off + h.swing*trays[i].light
}

// reach finds how far a half reaches by itself and by the light of its photo.
func (g *grades) reach(halves []leftOut, trays []tray) {
	var scores []float64
	for _, h := range halves {
		own := h.own(trays)
		scores = append(scores, h.doubt.times(own))
	}
	slices.Sort(scores)
	g.own = scores[min(conformalRank(len(scores)), len(scores))-1]
	squares, n := priorFreedom*sq(priorLight), float64(priorFreedom)
	for _, t := range trays {
		if t.tells {
			squares += sq(t.light)
			n++
		}
	}
	g.light = distuv.StudentsT{Mu: 0, Sigma: 1, Nu: n}.Quantile(1-miss/2) * math.Sqrt(squares/n)
}

// share finds the error that halves of a tray have in common: that of the trays' medians
// of called - graded, about 0, on top of what is believed of lights where the graded
// halves lie.
func (g *grades) share(halves []leftOut, trays []tray) {
	swings := 0.0
	for _, h := range halves {
		swings += sq(h.swing) / float64(len(halves))
	}
	squares := priorFreedom * sq(priorLight) * swings
	for _, t := range trays {
		squares += sq(t.off)
	}
	g.common = math.Sqrt(squares / (priorFreedom + float64(len(trays))))
	g.freedom = priorFreedom + float64(len(trays))
}

// photosOf lists the photos of graded halves in order.
func photosOf(halves []Graded) []string {
	var out []string
	for _, h := range halves {
		if !slices.Contains(out, h.Photo) {
			out = append(out, h.Photo)
		}
	}
	return out
}

// doubted is where on the path a half lies and its own doubt there.
func (p *Path) doubted(o Observation) (x float64, d doubt) {
	pattern, _ := p.patternSeen(o)
	x, off, _ := p.place(o, pattern)
	return x, p.doubtOf(o, off, x, baseShare*p.scale.Span())
}

// gradedInterval is that of a half called at x by a path with grades: it holds x, with
// a probability of about 90 % the stage that graders would give, and is no finer than
// they write.
func (p *Path) gradedInterval(o Observation, off, x float64) (from, to float64) {
	own := p.doubtOf(o, off, x, baseShare*p.scale.Span()).reaches(p.grades.own)
	light := p.grades.light * p.swingAt(x).swing
	less, more := math.Hypot(own.stained, light), math.Hypot(own.clear, light)
	return x - math.Max(p.scale.Step/2, less), x + math.Max(p.scale.Step/2, more)
}

// conformalRank is which of n scores in rising order a new one exceeds with
// a probability of at most 10 %: ⌈0.9 (n+1)⌉. It is above n where n is too small.
func conformalRank(n int) int {
	const rounding = 1e-9
	return int(math.Ceil((1-miss)*float64(n+1) - rounding))
}

// near says whether a half was graded within a seventh of the scale of x.
func (g *grades) near(x float64, scale Scale) bool {
	i, _ := slices.BinarySearch(g.places, x)
	for _, k := range []int{i - 1, i} {
		if k >= 0 && k < len(g.places) && math.Abs(g.places[k]-x) <= scale.Span()/7 {
			return true
		}
	}
	return false
}

// CommonError is the error that all stages of one tray share: its standard
// uncertainty in stages and the degrees of freedom behind it. ok is false for a set
// that is not calibrated. The counterpart without graded halves is
// scoring.Uncalibrated.
func (p *Path) CommonError() (standard, freedom float64, ok bool) {
	if p.grades == nil {
		return 0, 0, false
	}
	return p.grades.common, p.grades.freedom, true
}
