package calibrate

import (
	"fmt"
	"math"
	"slices"
)

// Observation is what is known of one half when its stage is called.
type Observation struct {
	Zones   []float64 // stained fraction of each zone from the core outward
	Weights []float64 // share of the flesh in each zone; they add up to 1
	Stained float64   // stained fraction of the whole face
	// StainedLow and StainedHigh are the stained fractions with the threshold
	// a quarter higher and lower; both 0 where that was not measured.
	StainedLow, StainedHigh float64
	Masked                  float64  // share of the face that is not flesh
	Doubts                  []string // quality remarks in words, each a reason to look
}

// Call is the stage given to one half.
type Call struct {
	Stage      float64    // position on the set's scale
	Low, High  float64    // 90 % interval on the scale, Low <= High
	Between    [2]float64 // stages of the two plates that bracket it, in plate order
	Borderline bool       // deserves the grower's eye
	Reasons    []string   // why it is borderline, in words; empty when it is not
}

// Call gives the half its stage, its interval and the reasons to look at it.
// A half beyond the first or last plate gets that plate's stage and an interval
// that reaches to the end of the scale. Zones that do not fit the set's are left
// out, and a half without a stained fraction gets the whole scale; both are
// borderline.
func (p *Path) Call(o Observation) Call {
	if !isFraction(o.Stained) {
		return p.unknown(o)
	}
	zones := o.Zones
	if !p.fits(zones) {
		zones = nil
	}
	x := p.position(o.Stained, zones)
	side := p.beyond(o.Stained)
	off := 0.0
	if zones != nil && side == within { // beyond an end no plate can be like it
		off = p.offPath(zones, x)
	}
	width := p.widths(o, off, x)
	from, to := x-width.stained, x+width.clear
	switch side {
	case beyondStained:
		from = 0
	case beyondClear:
		to = p.scale.Span()
	}
	c := p.callFrom(x, from, to)
	c.Reasons = slices.Concat(o.Doubts, p.zoneReasons(o, zones, off), p.endReasons(side))
	if math.Max(width.stained, width.clear) > muchWider*p.floor {
		c.Reasons = append(c.Reasons, "its stage is much less sure than is usual with this set")
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
	if k := slices.Index(p.x, x); k >= 0 {
		stage = p.knots[k].stage // to the last digit, also where the stage is no binary fraction
	}
	return Call{
		Stage:   stage,
		Low:     math.Min(a, b),
		High:    math.Max(a, b),
		Between: [2]float64{p.knots[i].stage, p.knots[i+1].stage},
	}
}

func (p *Path) unknown(o Observation) Call {
	c := p.callFrom((p.x[0]+p.x[len(p.x)-1])/2, 0, p.scale.Span())
	c.Borderline = true
	c.Reasons = append(slices.Clone(o.Doubts), "no flesh could be measured on it")
	return c
}

// fits says whether the zones can be laid beside those of the plates.
func (p *Path) fits(zones []float64) bool {
	return len(zones) == len(p.zones) && !slices.ContainsFunc(zones, func(z float64) bool { return !isFraction(z) })
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

// zoneReasons says what is odd about the pattern of a half that lies so far
// off the path.
func (p *Path) zoneReasons(o Observation, zones []float64, off float64) []string {
	if zones == nil {
		return []string{p.zonesLeftOut(o)}
	}
	if off > farOff*p.usualOff() {
		return []string{"its pattern is unlike every plate of the set"}
	}
	return nil
}

func (p *Path) zonesLeftOut(o Observation) string {
	if n := len(o.Zones); n != len(p.zones) {
		return fmt.Sprintf("it has %d zones where the set has %d, so only its total was used", n, len(p.zones))
	}
	return "a zone of it could not be measured, so only its total was used"
}

func (p *Path) endReasons(at side) []string {
	switch at {
	case beyondStained:
		return []string{fmt.Sprintf("it is more stained than the first plate, stage %g", p.knots[0].stage)}
	case beyondClear:
		return []string{fmt.Sprintf("it is less stained than the last plate, stage %g", p.knots[len(p.knots)-1].stage)}
	}
	return nil
}
