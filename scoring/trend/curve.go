package trend

import "math"

// reading is a sample as the fit sees it.
type reading struct {
	x                  float64 // day
	progress, variance float64
	start              float64 // height to begin the fit from
}

// read turns a sample into a reading under a supposition.
func (t *Trend) read(s Sample, sup supposition) reading {
	r := reading{x: t.days(s.Day), progress: t.course.progress(s.Value)}
	r.start = t.course.height(t.course.inner(r.progress, s.N))
	_, growth := t.course.bend(r.start)
	u := s.Standard / t.course.per()
	r.variance = u*u + growth*growth*sup.scatter*sup.scatter + t.course.grain()
	return r
}

// inner moves the share cleared off the ends, where its logit has no value, by
// half a fruit.
func (c Course) inner(progress float64, n int) float64 {
	if !c.curved() {
		return progress
	}
	if n == 0 {
		n = usualFruit
	}
	return (progress*float64(n) + 0.5) / (float64(n) + 1)
}

// usualFruit is the size of a sample whose size was not told.
const usualFruit = 10

// grain is the variance of a stage from the step in which it is read. It counts
// for the mean in full: where all fruit are alike, as at the ends of a scale,
// rounding moves them all alike.
//
// Source: JCGM 100:2008 (GUM), F.2.2.1, for the rectangle.
func (c Course) grain() float64 {
	if !c.curved() {
		return 0
	}
	step := c.scale.Step / c.scale.Span()
	return step * step / 12
}

// What is taken as known of every S-curve, so that the sums stay finite when all
// samples lie at one end of the scale: the middle sample is not beyond all
// telling near it, and no block clears within a day. Beside one sample of ten
// fruit it weighs next to nothing.
const (
	vagueLevel = 6.0 // standard deviation of the logit
	vagueSlope = 2.0 // of the logit, per day
)

// known is what there is before the samples: the vague, and the prior.
func (t *Trend) known() normal {
	var n normal
	if t.course.curved() {
		n.add(0, 1/(vagueLevel*vagueLevel), 0)
		n.addSlope(0, 1/(vagueSlope*vagueSlope))
	}
	if p := t.Prior; p != nil {
		unit := t.course.steepest() * t.course.per()
		n.addSlope(p.Rate/unit, unit*unit/(p.Standard*p.Standard))
	}
	return n
}

// fitting is one curve being fitted.
type fitting struct {
	course   Course
	readings []reading
	known    normal
	supposition
}

// steps is the most that a fit takes; a handful is usual.
const steps = 50

// curve fits the course under one supposition. Its weight is the restricted log
// likelihood of the samples, up to a constant.
//
// Source of the likelihood: D. A. Harville, Maximum likelihood approaches to
// variance component estimation, Journal of the American Statistical
// Association 72, 1977.
func (t *Trend) curve(s supposition) chance {
	f := fitting{course: t.course, known: t.known(), supposition: s}
	for _, sample := range t.Samples {
		f.readings = append(f.readings, t.read(sample, s))
	}
	at := f.descend()
	info := f.around(at)
	solved := info.solve()
	solved.level, solved.slope = at.level, at.slope
	likelihood := -f.cost(at)/2 - math.Log(info.det())/2
	for _, r := range f.readings {
		likelihood -= math.Log(r.variance) / 2
	}
	return chance{line: solved, supposition: s, info: info, weight: likelihood}
}

// descend goes down to the line of least cost by Gauss and Newton's method.
func (f *fitting) descend() line {
	at := f.begin()
	cost := f.cost(at)
	for range steps {
		next, lower := f.better(at, cost)
		gain := cost - lower
		at, cost = next, lower
		if gain <= 1e-9*(1+cost) {
			break
		}
	}
	return at
}

// better takes one step down from a line, halved until it helps, or stays.
func (f *fitting) better(at line, cost float64) (line, float64) {
	around := f.around(at)
	next := around.solve()
	for range 30 {
		if lower := f.cost(next); lower < cost {
			return next, lower
		}
		next.level, next.slope = (at.level+next.level)/2, (at.slope+next.slope)/2
	}
	return at, cost
}

// seen is the mean that is read at a height, and how fast it grows.
func (f *fitting) seen(height float64) (progress, growth float64) {
	p, g := f.course.bend(height)
	if !f.course.curved() {
		return p, g
	}
	return f.dull + (1-2*f.dull)*p, (1 - 2*f.dull) * g
}

// begin is a line through the heights of the samples.
func (f *fitting) begin() line {
	n := f.known
	for _, r := range f.readings {
		_, growth := f.seen(r.start)
		w := growth * growth / r.variance
		n.add(r.x, w, w*r.start)
	}
	return n.solve()
}

// around gives the normal equations of the curve straightened about a line.
func (f *fitting) around(l line) normal {
	n := f.known
	for _, r := range f.readings {
		h := l.at(r.x)
		p, growth := f.seen(h)
		w := growth * growth / r.variance
		n.add(r.x, w, w*h+growth*(r.progress-p)/r.variance)
	}
	return n
}

// cost is the weighted sum of squares, with what was known before.
func (f *fitting) cost(l line) float64 {
	k := f.known
	sum := k.w*l.level*l.level + k.wxx*l.slope*l.slope - 2*k.wxy*l.slope
	for _, r := range f.readings {
		p, _ := f.seen(l.at(r.x))
		sum += (r.progress - p) * (r.progress - p) / r.variance
	}
	return sum
}
