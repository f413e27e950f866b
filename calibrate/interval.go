package calibrate

import (
	"math"
	"slices"
)

const (
	// miss is the share of true stages that may lie outside an interval.
	miss = 0.10
	// fewestGraded is the least number n of graded halves with which an interval
	// of 90 % is finite: the ⌈0.9 (n+1)⌉-th smallest of n scores must exist.
	fewestGraded = 9
	// mostFolds bounds the work of leaving photos out.
	mostFolds = 10
)

// grades is what graded halves tell of the errors of a path's calls.
//
// The interval is that of cross-conformal prediction, CV+ (R. F. Barber,
// E. J. Candès, A. Ramdas and R. J. Tibshirani, Predictive Inference with the
// Jackknife+, 2021), on scores that are divided by each half's doubt (J. Lei and
// others, Distribution-Free Predictive Inference for Regression, 2018). Folds
// are photos: a half is judged by a path that knows no half of its tray, so that
// what one light does to a whole tray is in its score. With one graded photo the
// path left is that of the plates and the interval is the split conformal one
// (V. Vovk, A. Gammerman and G. Shafer, Algorithmic Learning in a Random World,
// 2005), which holds the grade of a new half with a probability of at least
// 90 %, whatever the distribution, so long as the new half could as well have
// been one of the graded. With several, about 90 % is held, and in the worst
// case no less than about 80 %. A tray in a light that no graded tray had could
// not have been one of them: grade trays in several lights.
type grades struct {
	folds  []*Path   // each without the halves of some photos
	fold   []int     // of each half, the path that does not know it
	score  []float64 // how many times its doubt the half's stage was off
	off    []float64 // stages by which it was off, called - graded, towards clear
	photo  []string  // its photo
	places []float64 // positions of all grades, rising
}

// crossed judges each graded half of the set by the path without its photo. It
// is nil where there are too few halves; p is the path with all of them.
func crossed(s Set, p *Path) (*grades, error) {
	if !s.Calibrated() {
		return nil, nil
	}
	return crossOver(s, p)
}

// crossOver does so however few there are.
func crossOver(s Set, p *Path) (*grades, error) {
	g := &grades{}
	photos := photosOf(s.sampled())
	n := min(len(photos), mostFolds)
	foldOf := func(h Graded) int { return slices.Index(photos, h.Photo) % n } // -1 of a photo without sampled halves
	for k := range n {
		kept := slices.DeleteFunc(slices.Clone(s.Graded), func(h Graded) bool { return foldOf(h) == k })
		path, err := fitHalves(s, kept)
		if err != nil {
			return nil, err
		}
		g.folds = append(g.folds, path)
	}
	for _, h := range s.sampled() {
		k, at := foldOf(h), p.scale.position(h.Stage())
		x, d := g.folds[k].doubted(h.Seen)
		g.fold = append(g.fold, k)
		g.off = append(g.off, x-at)
		g.score = append(g.score, math.Max((x-at)/d.stained, (at-x)/d.clear))
		g.photo = append(g.photo, h.Photo)
		g.places = append(g.places, at)
	}
	slices.Sort(g.places)
	return g, nil
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

// doubted is where on the path a half lies and its doubt there.
func (p *Path) doubted(o Observation) (x float64, d widths) {
	pattern, _ := p.patternSeen(o)
	x, off, _ := p.place(o, pattern)
	return x, p.doubtOf(o, off, x, baseShare*p.scale.Span())
}

// interval is that of a half called at x: it holds x, with a probability of
// about 90 % the stage that graders would give, and is no finer than they write.
func (g *grades) interval(o Observation, x, step float64) (from, to float64) {
	n := len(g.score)
	lows, highs := make([]float64, n), make([]float64, n)
	at, doubt := make([]float64, len(g.folds)), make([]widths, len(g.folds))
	for k, path := range g.folds {
		at[k], doubt[k] = path.doubted(o)
	}
	for i, k := range g.fold {
		lows[i] = at[k] - g.score[i]*doubt[k].stained
		highs[i] = at[k] + g.score[i]*doubt[k].clear
	}
	slices.Sort(lows)
	slices.Sort(highs)
	k := conformalRank(n)
	return math.Min(x-step/2, lows[n-k]), math.Max(x+step/2, highs[k-1])
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
// uncertainty in stages and the degrees of freedom behind it. It is that of the
// trays' medians of called - graded, each called by a path that does not know
// the tray, about 0: the path goes through their middle. ok is false for a set
// that is not calibrated. The counterpart without graded halves is
// scoring.Uncalibrated.
func (p *Path) CommonError() (standard, freedom float64, ok bool) {
	if p.grades == nil {
		return 0, 0, false
	}
	trays := p.grades.trayErrors()
	sum := 0.0
	for _, e := range trays {
		sum += e * e
	}
	n := float64(len(trays))
	return math.Sqrt(sum / n), n, true
}

// trayErrors are the medians of called - graded of each graded photo, in stages
// towards clear.
func (g *grades) trayErrors() []float64 {
	var out []float64
	var done []string
	for _, photo := range g.photo {
		if slices.Contains(done, photo) {
			continue
		}
		done = append(done, photo)
		var off []float64
		for i, other := range g.photo {
			if other == photo {
				off = append(off, g.off[i])
			}
		}
		out = append(out, median(off))
	}
	return out
}
