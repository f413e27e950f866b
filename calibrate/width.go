package calibrate

import "math"

// An interval without graded halves cannot be derived: how far a grader and
// another half of the same stage stray from the plates is not known. The half
// width to either side is therefore
//
//	sqrt(floor² + measured² + pattern² + between² + step²)
//
// floor: what is not known, at least half a stage of a scale from 1 to 8.
// measured: how far the stage moves when the total moves by what the photo
// leaves open. pattern: how far off the path the half lies, beyond what is
// usual. between: how far the curve between two plates may be wrong. step:
// half the grader's step. It errs on the wide side; the set says that it is
// not calibrated.
const (
	// floorShare of the scale is the least half width: 0.5 on a scale from 1
	// to 8. Trained graders of one sample differ by about so much (common
	// practice, no source).
	floorShare = 0.5 / 7
	// floorGap is the least half width as a share of the mean gap between plates.
	floorGap = 0.5
	// leastOpen is the least that a photo leaves open of the total, as the half
	// width of a 90 % interval: 1.645 times totalError.
	leastOpen = 0.01
	// usualMask is the share of a face that skin, seeds and core may take
	// without a word. An assumption, on the high side.
	usualMask = 0.25
	// hiddenDiffers is how far the stained fraction of a hidden part may differ
	// from that of the rest. An assumption: a hidden rim may differ by more.
	hiddenDiffers = 0.25
	// betweenShare of a gap is how far off the curve may be in its middle. It is
	// twice what straight lines between eight plates are off by for a share that
	// falls as the 1.6th power, but for the last gap, where the curve itself is
	// off by less than half of this.
	betweenShare = 0.1
	// farOff times the usual distance from the path is unlike every plate. The
	// squared distance of a half with five zones is about a chi-squared value of
	// four degrees of freedom over five; 2.5² times its usual size is reached by
	// chance three times in a million.
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
		for j := range p.zones {
			d := p.knots[i+1].zones[j] - p.knots[i].zones[j]
			sum += p.weights[j] * d * d
		}
		p.length += math.Sqrt(sum)
	}
}

// widths are the half widths of one interval towards the two ends of the
// scale, in stages.
type widths struct{ stained, clear float64 }

// widths are those of a half at position x, so far off the path.
func (p *Path) widths(o Observation, off, x float64) widths {
	more, less := openSides(o)
	at := p.total.where(o.Stained)
	shared := p.floor*p.floor + p.scale.Step*p.scale.Step/4 + sq(p.betweenDoubt(x)) + sq(p.patternDoubt(off))
	return widths{
		stained: math.Sqrt(shared + sq(at-p.total.where(o.Stained+more))),
		clear:   math.Sqrt(shared + sq(p.total.where(o.Stained-less)-at)),
	}
}

func sq(v float64) float64 { return v * v }

// openSides is how much more and how much less of the face may be stained than
// was measured.
func openSides(o Observation) (more, less float64) {
	measured := isFraction(o.StainedLow) && isFraction(o.StainedHigh)
	if measured && (o.StainedLow != 0 || o.StainedHigh != 0) {
		more, less = o.StainedHigh-o.Stained, o.Stained-o.StainedLow
	}
	hidden := 0.0
	if isFraction(o.Masked) {
		hidden = hiddenDiffers * math.Max(0, o.Masked-usualMask)
	}
	return math.Max(leastOpen, more) + hidden, math.Max(leastOpen, less) + hidden
}

// betweenDoubt is 0 at the plates and largest in the middle of a wide gap.
func (p *Path) betweenDoubt(x float64) float64 {
	i := gapOf(p.x, x)
	gap := p.x[i+1] - p.x[i]
	u := (x - p.x[i]) / gap
	return betweenShare * gap * 4 * u * (1 - u)
}

// patternDoubt turns a distance from the path, beyond the usual, into stages at
// the mean speed of the path.
func (p *Path) patternDoubt(off float64) float64 {
	if p.length == 0 {
		return 0
	}
	last := len(p.x) - 1
	return math.Max(0, off-p.usualOff()) * (p.x[last] - p.x[0]) / p.length
}

// offPath is the distance of the half's pattern from the plates' at position x:
// the root of the flesh-weighted mean square over the zones.
func (p *Path) offPath(zones []float64, x float64) float64 {
	sum := 0.0
	for j, z := range zones {
		d := z - p.zones[j].at(x) - p.rough[j].Predict(x)
		sum += p.weights[j] * d * d
	}
	return math.Sqrt(sum)
}

// usualOff is the distance that halves of one total have from each other:
// each of n zones adds weight times patternScatter² / weight.
func (p *Path) usualOff() float64 { return patternScatter * math.Sqrt(float64(len(p.zones))) }
