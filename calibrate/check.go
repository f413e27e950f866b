package calibrate

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"traystage/vision/note"
)

// Check is what a set shows of how far it can be trusted. Stages are those of
// the set's scale, errors called - known in the direction of its numbers. Its JSON
// holds the figures; what is said of them stands in the notes.
type Check struct {
	Set       string        `json:"set"`
	Scale     Scale         `json:"scale"`
	Verdict   Verdict       `json:"verdict"`
	Why       note.Note     `json:"-"`                  // the verdict in one sentence, with what to photograph next
	Findings  []note.Note   `json:"-"`                  // all that speaks against the set
	Plates    Errors        `json:"plates"`             // each plate but those of the first and last stage, called by the path without it
	Graded    Errors        `json:"graded"`             // each graded half, called by the path without its photo
	Disorder  []note.Note   `json:"-"`                  // plates that contradict each other
	Gaps      []Gap         `json:"gaps,omitempty"`     // neighbouring plates far apart, and ends of the scale without a plate
	Thin      []Gap         `json:"thin,omitempty"`     // stretches with fewer than two graded halves a seventh of the scale; none without any graded
	Suspects  []Suspect     `json:"suspects,omitempty"` // grades far from what their half looks like, farthest first
	Graders   []GraderCheck `json:"graders,omitempty"`  // in the order of their first grade
	Coverage  *Coverage     `json:"coverage,omitempty"` // of the intervals; nil below two graded photos with enough halves
	Needed    int           `json:"needed"`             // graded halves that are missing for 90 % intervals
	Common    float64       `json:"common"`             // standard uncertainty that all stages of a tray share; 0 where not calibrated
	Drift     *Drift        `json:"drift,omitempty"`    // against an older set; nil where none was given
	Tray      *TrayCheck    `json:"tray,omitempty"`     // a tray that the set does not hold; nil where none was given
	PhotoNext note.Note     `json:"-"`                  // what would help most; nothing where nothing is missing
}

// Errors are those of some calls.
type Errors struct {
	N       int     `json:"n"`
	MeanAbs float64 `json:"mean_abs"` // their mean size
	Bias    float64 `json:"bias"`     // their mean
	Worst   float64 `json:"worst"`    // the one of the largest size
	WorstOf string  `json:"worst_of,omitempty"`
}

// Gap is a stretch of the scale from one stage to another, in plate order.
type Gap struct {
	From float64 `json:"from"`
	To   float64 `json:"to"`
}

// Suspect is a grade that lies far from what its half looks like.
type Suspect struct {
	Source string  `json:"source"`
	Photo  string  `json:"photo"` // SHA-256 of the photo's bytes, in hexadecimal
	Half   int     `json:"half"`
	Graded float64 `json:"graded"`
	Called float64 `json:"called"`
}

// GraderCheck is what the set shows of one grader.
type GraderCheck struct {
	By      string     `json:"by"`
	Halves  int        `json:"halves"`
	Calls   *Agreement `json:"calls,omitempty"`  // grader - called by paths that do not know the tray; nil below three halves
	Others  *Agreement `json:"others,omitempty"` // grader - mean of the others, on halves that they graded too; nil below three
	Repeats int        `json:"repeats"`          // further readings of a half
	// Repeatability is the standard deviation of one reading about the mean of
	// a half's readings; two readings differ by less than 2.77 times it in 95 %
	// of cases (Bland and Altman 1986). 0 without repeats.
	Repeatability float64 `json:"repeatability"`
}

// Coverage counts the graded halves whose interval, by a set without their
// photo, holds their grade.
type Coverage struct {
	N         int     `json:"n"`
	Inside    int     `json:"inside"`
	MeanWidth float64 `json:"mean_width"` // stages
}

// TrayCheck is a graded tray called by the set.
type TrayCheck struct {
	Errors
	Agreement *Agreement `json:"agreement,omitempty"` // called - graded; nil below three halves
	Inside    int        `json:"inside"`              // intervals that hold the grade
}

const (
	// gapShare of the scale between neighbours is a gap: one and a half stages
	// of eight.
	gapShare = 1.5 / 7
	// thinBelow is the fewest halves of a seventh of the scale.
	thinBelow = 2
)

// CheckSet looks at a set by itself. Sets of many photos take some seconds: step, if given, is
// told after each part of the work how much of it is done, and where the context ends the
// check does too, with its error. It fails where the set cannot be fitted.
func CheckSet(ctx context.Context, s Set, step func(done, of int)) (Check, error) {
	p, err := Fit(s)
	if err != nil {
		return Check{}, err
	}
	c := Check{Set: s.title(), Scale: s.Scale, Needed: s.GradedNeeded(), Disorder: s.disorder(p), Gaps: s.gaps(), Thin: s.thin()}
	c.Common, _, _ = p.CommonError()
	folds := s.folds()
	work := progress{ctx, step, len(s.Plates) + len(folds), 0}
	if c.Plates, err = s.plateErrors(&work); err != nil {
		return Check{}, err
	}
	if len(s.sampled()) > 0 {
		if err := c.judgeGraded(s, p); err != nil {
			return Check{}, err
		}
		if c.Coverage, err = coverage(s, folds, &work); err != nil {
			return Check{}, err
		}
	}
	c.decide()
	return c, nil
}

// progress counts the parts of a check.
type progress struct {
	ctx      context.Context
	step     func(done, of int)
	of, done int
}

// next is told when a part begins; an error says that the work is no longer wanted.
func (w *progress) next() error {
	if w.step != nil {
		w.step(w.done, w.of)
	}
	w.done++
	return w.ctx.Err()
}

// plateErrors calls each plate but those of the first and last stage by the
// path without it.
func (s Set) plateErrors(work *progress) (Errors, error) {
	var off []float64
	var names []string
	first, last := s.Plates[0].Stage, s.Plates[len(s.Plates)-1].Stage
	for i, plate := range s.Plates {
		if err := work.next(); err != nil {
			return Errors{}, err
		}
		if plate.Stage == first || plate.Stage == last {
			continue
		}
		rest := s
		rest.Plates = slices.Delete(slices.Clone(s.Plates), i, i+1)
		p, err := fitHalves(rest, s.Graded)
		if err != nil {
			continue // without it the others cannot be told apart: that is in the gaps
		}
		off = append(off, p.Call(plate.seen()).Stage-plate.Stage)
		names = append(names, s.plate(i))
	}
	return errorsOf(off, names), nil
}

// seen is the plate as it was observed.
func (p Plate) seen() Observation {
	return Observation{Stained: p.Stained, Zones: p.Zones, Weights: p.Weights, Sectors: p.Sectors}
}

func errorsOf(off []float64, names []string) Errors {
	e := Errors{N: len(off)}
	if len(off) == 0 {
		return e
	}
	for i, v := range off {
		e.MeanAbs += math.Abs(v) / float64(len(off))
		if math.Abs(v) >= math.Abs(e.Worst) {
			e.Worst, e.WorstOf = v, names[i]
		}
	}
	e.Bias = stat.Mean(off, nil)
	return e
}

// disorder tells of plates that are more stained than ones nearer the stained
// end, if within what can be measured, and of plates of one stage that look
// unlike each other.
func (s Set) disorder(p *Path) []note.Note {
	var out []note.Note
	for j := 1; j < len(s.Plates); j++ {
		if i := s.leastStainedBefore(j); i >= 0 && s.Plates[j].Stained > s.Plates[i].Stained {
			out = append(out, note.New("set.as_stained", note.Notes("a", s.plateNote(j)), note.Notes("b", s.plateNote(i))))
		}
		if a, b := s.Plates[j-1], s.Plates[j]; a.Stage == b.Stage {
			if far := p.apart(a.seen(), b.seen()); far > math.Sqrt2*farOff*p.usualOff() {
				out = append(out, note.New("set.plates_unlike", note.Notes("a", s.plateNote(j)), note.Notes("b", s.plateNote(j-1))))
			}
		}
	}
	return out
}

// plateNote names a plate.
func (s Set) plateNote(i int) note.Note {
	return note.New("set.plate", note.Count("n", i+1), note.Stage("stage", s.Plates[i].Stage))
}

// apart is the distance between the patterns of two halves.
func (p *Path) apart(a, b Observation) float64 {
	sum := 0.0
	pa, pb := p.patternOf(a.Zones, a.Sectors), p.patternOf(b.Zones, b.Sectors)
	for j := range pa {
		sum += p.weights[j] * sq(pa[j]-pb[j])
	}
	return math.Sqrt(sum)
}

// gaps are the stretches without a plate.
func (s Set) gaps() []Gap {
	var out []Gap
	at := s.Scale.Stained
	for _, p := range s.Plates {
		if math.Abs(p.Stage-at) > gapShare*s.Scale.Span() {
			out = append(out, Gap{at, p.Stage})
		}
		at = p.Stage
	}
	if math.Abs(s.Scale.Clear-at) > gapShare*s.Scale.Span() {
		out = append(out, Gap{at, s.Scale.Clear})
	}
	return out
}

// thin are the sevenths of the scale with too few graded halves, neighbours
// joined.
func (s Set) thin() []Gap {
	if len(s.Graded) == 0 {
		return nil
	}
	var counts [7]int
	seventh := s.Scale.Span() / 7
	for _, g := range s.Graded {
		counts[min(6, int(s.Scale.position(g.Stage())/seventh))]++
	}
	var out []Gap
	open := false
	for i, n := range counts {
		from, to := s.Scale.stageAt(float64(i)*seventh), s.Scale.stageAt(float64(i+1)*seventh)
		switch {
		case n >= thinBelow:
			open = false
		case open:
			out[len(out)-1].To = to
		default:
			out, open = append(out, Gap{from, to}), true
		}
	}
	return out
}

// judgeGraded fills in what the graded halves tell.
func (c *Check) judgeGraded(s Set, p *Path) error {
	g, err := crossOver(s, p)
	if err != nil {
		return err
	}
	halves := s.sampled()
	called := make([]float64, len(halves))
	off, names := make([]float64, len(halves)), make([]string, len(halves))
	for i, h := range halves {
		called[i] = s.Scale.stageAt(s.Scale.position(h.Stage()) + g.off[i])
		off[i], names[i] = called[i]-h.Stage(), h.Source
	}
	c.Graded = errorsOf(off, names)
	c.Suspects = suspects(s, p)
	c.Graders = graderChecks(s.Scale, halves, called)
	return nil
}

// Suspects are the grades of a set that lie far from what their halves look
// like, farthest first: so far that the path listens to them no longer. It fails
// where the set cannot be fitted.
func Suspects(s Set) ([]Suspect, error) {
	p, err := fitHalves(s, s.Graded)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", s.title(), err)
	}
	return suspects(s, p), nil
}

// suspects are those about the path of the set: off by more than the biweight listens to,
// or by a gross error, once the light of their photo is taken away.
func suspects(s Set, p *Path) []Suspect {
	if len(s.Graded) == 0 {
		return nil
	}
	off := p.ownErrors(s.Graded)
	sd := math.Max(madToSD*median(off), baseShare*s.Scale.Span())
	most := math.Min(biweight*sd, math.Max(grossShare*s.Scale.Span(), grossBy*sd))
	var order []int
	for i := range off {
		if off[i] > most {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(off[b], off[a]) })
	var out []Suspect
	for _, i := range order {
		h := s.Graded[i]
		out = append(out, Suspect{h.Source, h.Photo, h.Half, h.Stage(), s.Scale.stageAt(p.called(h.Seen))})
	}
	return out
}

const (
	// grossShare of the scale is a gross error of a grade: a stage of eight, twice what
	// graders of one sample differ by.
	grossShare = 2 * floorShare
	// grossBy robust standard deviations are beyond what chance does to 32 grades.
	grossBy = 3
)

// gross counts the grades that are a stage of eight or more off.
func (c *Check) gross() int {
	n := 0
	for _, s := range c.Suspects {
		if math.Abs(s.Graded-s.Called) > grossShare*c.Scale.Span() {
			n++
		}
	}
	return n
}

// ownErrors are the sizes of called - graded of halves, without what the light of
// their photo does.
func (p *Path) ownErrors(halves []Graded) []float64 {
	var known []leftOut
	for _, h := range halves {
		x := p.called(h.Seen)
		known = append(known, leftOut{photo: h.Photo, off: x - p.scale.position(h.Stage()), swing: p.swingAt(x).swing})
	}
	trays := traysOf(known, p.scale)
	var out []float64
	for _, h := range known {
		out = append(out, math.Abs(h.own(trays)))
	}
	return out
}

// called is the position of a half.
func (p *Path) called(o Observation) float64 {
	pattern, _ := p.patternSeen(o)
	return p.position(o.Stained, pattern)
}

// agreement is nil where there are too few pairs.
func agreement(a, b []float64, scale Scale) *Agreement {
	if len(a) < fewestPairs {
		return nil
	}
	out := agree(a, b, scale)
	return &out
}

// coverage judges the halves of each fold by the set without its photos. It is nil
// where that leaves too few graded halves, as it does with one photo.
func coverage(s Set, folds [][]string, work *progress) (*Coverage, error) {
	var out Coverage
	for _, photos := range folds {
		if err := work.next(); err != nil {
			return nil, err
		}
		left := func(h Graded) bool { return slices.Contains(photos, h.Photo) }
		rest := s
		rest.Graded = slices.DeleteFunc(slices.Clone(s.Graded), left)
		if !rest.Calibrated() {
			continue
		}
		p, err := Fit(rest)
		if err != nil {
			return nil, err
		}
		for _, h := range s.sampled() {
			if !left(h) {
				continue
			}
			c := p.Call(h.Seen)
			out.N++
			out.MeanWidth += c.High - c.Low
			if c.Low <= h.Stage() && h.Stage() <= c.High {
				out.Inside++
			}
		}
	}
	if out.N == 0 {
		return nil, nil
	}
	out.MeanWidth /= float64(out.N)
	return &out, nil
}
