package calibrate

import (
	"math"
	"slices"

	"traystage/vision/note"
)

// Observation is what is known of one half when its stage is called.
type Observation struct {
	Stained float64   `json:"stained"` // stained fraction of the whole face
	Zones   []float64 `json:"zones"`   // stained fraction of each zone from the core outward
	Weights []float64 `json:"weights"` // share of the flesh in each zone; they add up to 1
	// Sectors are the stained fractions by bearing from the core, in order
	// around it, see SectorsOf; nil where they were not measured.
	Sectors []float64 `json:"sectors,omitempty"`
	// StainedLow and StainedHigh are how little and how much of the face the photo
	// allows to be stained; both 0 where that was not measured.
	StainedLow  float64     `json:"stained_low,omitempty"`
	StainedHigh float64     `json:"stained_high,omitempty"`
	Masked      float64     `json:"masked,omitempty"` // share of the face that is not flesh
	Doubts      []note.Note `json:"doubts,omitempty"` // quality remarks, each a reason to look
}

func (o Observation) clone() Observation {
	o.Zones, o.Weights, o.Sectors, o.Doubts = slices.Clone(o.Zones), slices.Clone(o.Weights), slices.Clone(o.Sectors), slices.Clone(o.Doubts)
	return o
}

// Call is the stage given to one half.
type Call struct {
	Stage      float64     // position on the set's scale
	Low, High  float64     // 90 % interval on the scale, Low <= High
	Between    [2]float64  // stages of the two plates that bracket it, in plate order
	Borderline bool        // deserves the grower's eye
	Reasons    []note.Note // why it is borderline; empty when it is not
	// Worth is what confirming the call may change, to put the calls that are
	// most worth a look first: the stages from Stage to the farther end of the
	// interval, and the length of the scale on top where the interval straddles
	// a target, because such a call may turn the verdict.
	Worth float64
}

// Call gives the half its stage, its interval and the reasons to look at it.
// A half beyond the first or last plate gets that plate's stage and an interval
// that reaches to the end of the scale. A pattern that does not fit the set's is
// left out, and a half without a stained fraction gets the whole scale; both are
// borderline, and so is a call whose interval straddles one of the targets,
// stages at which the block's verdict turns.
func (p *Path) Call(o Observation, targets ...float64) Call {
	if !isFraction(o.Stained) {
		return p.unknown(o, targets)
	}
	pattern, missing := p.patternSeen(o)
	x, off, side := p.place(o, pattern)
	from, to := p.interval(o, x, off, side)
	c := p.callFrom(x, from, to)
	c.Reasons = slices.Concat(o.Doubts, p.patternReasons(missing, off), p.endReasons(side))
	if math.Max(x-from, to-x) > p.wide() && side == within {
		c.Reasons = append(c.Reasons, note.New(CallUnsure))
	}
	return c.weighed(p.scale, targets)
}

// place is where on the path a half lies, how far off it, and beyond which end.
func (p *Path) place(o Observation, pattern []float64) (x, off float64, at side) {
	x = p.position(o.Stained, pattern)
	at = p.beyond(o.Stained)
	if pattern != nil && at == within { // beyond an end no plate can be like it
		off = p.offPath(pattern, x)
	}
	return x, off, at
}

// interval is the 90 % interval in positions, which may lie beyond the ends of
// the scale. Where no half was graded near x it is no narrower than without
// graded halves.
func (p *Path) interval(o Observation, x, off float64, at side) (from, to float64) {
	d := p.doubtOf(o, off, x, p.floor).reaches(1)
	from, to = x-d.stained, x+d.clear
	if p.grades != nil {
		low, high := p.gradedInterval(o, off, x)
		if p.grades.near(x, p.scale) {
			from, to = low, high
		}
		from, to = math.Min(from, low), math.Max(to, high)
	}
	switch at {
	case beyondStained:
		from = 0
	case beyondClear:
		to = p.scale.Span()
	}
	return from, to
}

// wide is how far an interval reaches that deserves a look: with graded halves
// half a stage of a scale from 1 to 8, the error that a call must not hide;
// without, as much more than its floor.
func (p *Path) wide() float64 {
	if p.grades != nil {
		return floorShare * p.scale.Span()
	}
	return muchWider * p.floor
}

// weighed completes a call with what the targets make of it.
func (c Call) weighed(scale Scale, targets []float64) Call {
	c.Worth = math.Max(c.Stage-c.Low, c.High-c.Stage)
	for _, t := range targets {
		if c.Low < t && t < c.High {
			c.Reasons = append(c.Reasons, note.New(CallStraddles, note.Stage("target", t)))
			c.Worth += scale.Span()
			break
		}
	}
	c.Borderline = len(c.Reasons) > 0
	return c
}

// callFrom turns positions into stages and finds the bracketing plates.
func (p *Path) callFrom(x, from, to float64) Call {
	a := p.scale.stageAt(from)
	b := p.scale.stageAt(to)
	i := gapOf(p.x, x)
	stage := p.scale.stageAt(x)
	if k := slices.Index(p.x, x); k >= 0 && p.knots[k].moved == 0 {
		stage = p.knots[k].stage // to the last digit, also where the stage is no binary fraction
	}
	return Call{
		Stage:   stage,
		Low:     math.Min(a, b),
		High:    math.Max(a, b),
		Between: [2]float64{p.knots[i].stage, p.knots[i+1].stage},
	}
}

func (p *Path) unknown(o Observation, targets []float64) Call {
	c := p.callFrom((p.x[0]+p.x[len(p.x)-1])/2, 0, p.scale.Span())
	c.Reasons = append(slices.Clone(o.Doubts), note.New(CallNoFlesh))
	return c.weighed(p.scale, targets)
}

type side int

const (
	within side = iota
	beyondStained
	beyondClear
)

// beyond says whether the half lies off an end of the path by more than can be
// measured, where the scale goes on.
func (p *Path) beyond(total float64) side {
	last := len(p.x) - 1
	switch {
	case p.x[0] > 0 && total > p.total.y[0]+rise:
		return beyondStained
	case p.x[last] < p.scale.Span() && total < p.total.y[last]-rise:
		return beyondClear
	}
	return within
}

// patternReasons says what is odd about the pattern of a half that lies so far
// off the path.
func (p *Path) patternReasons(missing note.Note, off float64) []note.Note {
	if !missing.IsZero() {
		return []note.Note{missing}
	}
	if off > farOff*p.usualOff() {
		return []note.Note{note.New(CallUnlike)}
	}
	return nil
}

func (p *Path) endReasons(at side) []note.Note {
	switch at {
	case beyondStained:
		return []note.Note{note.New(CallBeforeFirst, note.Stage("plate", p.knots[0].stage))}
	case beyondClear:
		return []note.Note{note.New(CallAfterLast, note.Stage("plate", p.knots[len(p.knots)-1].stage))}
	}
	return nil
}
