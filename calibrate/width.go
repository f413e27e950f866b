package calibrate

import "math"

// How sure a stage is differs from half to half. Its doubt to either side is
//
//	sqrt(base² + measured² + pattern² + between² + step²)
//
// base: what no photo tells. Without graded halves it is how far graders and
// halves of one stage stray from the plates, the floor, at least half a stage of
// a scale from 1 to 8; the doubt is then the half width of the interval. It errs on
// the wide side; the set says that it is not calibrated. With graded halves
// base is small, and how many times its doubt a stage is off by is taken from
// them, see crossed.
// measured: how far the stage moves when the total moves by what the photo
// leaves open. pattern: how far off the path the half lies, beyond what is
// usual. between: how far the curve between two plates may be wrong. step:
// half the grader's step.
const (
	// floorShare of the scale is the least half width: 0.5 on a scale from 1
	// to 8. Trained graders of one sample differ by about so much (common
	// practice, no source).
	floorShare = 0.5 / 7
	// baseShare of the scale is the base with graded halves: a tenth of a stage
	// of eight, the finest step that charts are read to.
	baseShare = 0.1 / 7
	// floorGap is the least half width as a share of the mean gap between plates.
	floorGap = 0.5
	// leastOpen is the least that a photo leaves open of the total, as the half
	// width of a 90 % interval: 1.645 times totalError.
	leastOpen = 0.01
	// usualMask is the share of a face that skin, seeds and core may take
	// without a word. An assumption, on the high side; graded halves show the
	// share that is usual in the set.
	usualMask = 0.25
	// hiddenDiffers is how far the stained fraction of a hidden part may differ
	// from that of the rest: what is not seen may be stained in any share, and 90 %
	// of a uniform distribution on 0 to 1 lie within 0.45 of its middle.
	hiddenDiffers = 0.45
	// doubted is how much more of a face may be stained, or less, where the photo
	// leaves a doubt that is said in words: twice leastOpen. An assumption.
	doubted = 0.02
	// betweenShare of a gap is how far off the curve may be in its middle. It is
	// a little more than what straight lines between eight plates are off by for a
	// share that falls as a parabola, but for the last gap: the line is off by
	// 1/4 of the second difference over the slope, at most 0.083 of a gap.
	betweenShare = 0.1
	// patternShare of a distance off the path goes into the stage. Most of a call rests on the
	// total, which a strange pattern leaves as it is. Fitted on the second painter's photos,
	// many of which show other patterns than their set: at 1 the intervals of what
	// testers send are 0.85 stage wide and hold 95 %, at 1/2 0.64 and 93 %.
	patternShare = 0.5
	// farOff times the usual distance from the path is unlike every plate. The
	// squared distance of a half with five zones is about a chi-squared value of
	// four degrees of freedom over five; 2.5² times its usual size is reached by
	// chance three times in a million. It is so far out that even readings that
	// go together, as neighbouring zones do, seldom come there by chance.
	farOff = 2.5
	// muchWider times the floor is an interval to look at.
	muchWider = 1.5
)

// fitWidths finds what all intervals of the set share.
func (p *Path) fitWidths() {
	last := len(p.x) - 1
	mean := (p.x[last] - p.x[0]) / float64(last)
	p.floor = math.Max(floorShare*p.scale.Span(), floorGap*mean)
	for i := range last {
		sum := 0.0
		for j := range p.pattern {
			d := p.knots[i+1].pattern[j] - p.knots[i].pattern[j]
			sum += p.weights[j] * d * d
		}
		p.length += math.Sqrt(sum)
	}
}

// widths reach from a stage towards the two ends of the scale, in stages.
type widths struct{ stained, clear float64 }

// doubt is that of one half.
type doubt struct {
	called   float64 // by the set: base, pattern, between and step, stages
	measured widths  // by its photo
}

// doubtOf is the doubt of a half at position x, so far off the path.
func (p *Path) doubtOf(o Observation, off, x, base float64) doubt {
	more, less := p.openSides(o)
	at := p.total.where(o.Stained)
	return doubt{
		called:   math.Sqrt(base*base + p.scale.Step*p.scale.Step/4 + sq(p.betweenDoubt(x)) + sq(p.patternDoubt(off))),
		measured: widths{stained: at - p.total.where(o.Stained+more), clear: p.total.where(o.Stained-less) - at},
	}
}

// reaches are the doubt to either side, with that of the set so many times.
func (d doubt) reaches(times float64) widths {
	return widths{math.Hypot(times*d.called, d.measured.stained), math.Hypot(times*d.called, d.measured.clear)}
}

// times is how many times the doubt of the set it takes to reach as far as the half is off.
func (d doubt) times(off float64) float64 {
	measured := d.measured.clear
	if off > 0 { // called too clear
		measured = d.measured.stained
	}
	return math.Sqrt(math.Max(0, sq(off)-sq(measured))) / d.called
}

func sq(v float64) float64 { return v * v }

// openSides is how much more and how much less of the face may be stained than
// was measured.
func (p *Path) openSides(o Observation) (more, less float64) {
	measured := isFraction(o.StainedLow) && isFraction(o.StainedHigh)
	if measured && (o.StainedLow != 0 || o.StainedHigh != 0) {
		more, less = o.StainedHigh-o.Stained, o.Stained-o.StainedLow
	}
	unseen := 0.0
	if isFraction(o.Masked) {
		unseen = sq(hiddenDiffers * math.Max(0, o.Masked-p.mask))
	}
	if len(o.Doubts) > 0 {
		unseen += sq(doubted)
	}
	return math.Sqrt(unseen + sq(math.Max(leastOpen, more))), math.Sqrt(unseen + sq(math.Max(leastOpen, less)))
}

// betweenDoubt is 0 at the plates and largest in the middle of a wide gap.
func (p *Path) betweenDoubt(x float64) float64 {
	i := gapOf(p.x, x)
	gap := p.x[i+1] - p.x[i]
	u := (x - p.x[i]) / gap
	return betweenShare * gap * 4 * u * (1 - u)
}

// patternDoubt turns a distance from the path, beyond what halves of the set's kind have,
// into stages at the mean speed of the path.
func (p *Path) patternDoubt(off float64) float64 {
	if p.length == 0 {
		return 0
	}
	last := len(p.x) - 1
	beyond := math.Max(0, off-math.Max(1, p.stray)*p.usualOff())
	return patternShare * beyond * (p.x[last] - p.x[0]) / p.length
}
