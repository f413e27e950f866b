package stain

import (
	"math"

	"traystage/vision/zones"
)

// sight is what a pixel shows, and how nearly it is something else.
type sight uint8

const (
	notFace sight = iota
	notFlesh
	unseen
	surelyClear
	barelyClear   // stained with the threshold as low as it may be
	barelyStained // clear with the threshold as high as it may be
	surelyStained
)

var classes = [...]zones.Class{
	notFace: zones.Outside, notFlesh: zones.NotFlesh, unseen: zones.Hidden,
	surelyClear: zones.Clear, barelyClear: zones.Clear,
	barelyStained: zones.Stained, surelyStained: zones.Stained,
}

// Thin stain may look thicker than it is, by sharpening and by stains that differ, and thinner still:
// phones flatten the contrast of a photo as well. Shares of the density. Assumptions: on the second painter's
// usual photos the bounds hold 84 of 88 fractions; where the tray's densest stain is thin, see flattened, they reach further.
const thicker, thinner = 0.25, 0.33

// judgement is a face whose pixels have their verdicts.
type judgement struct {
	q           *patch
	density     []float32 // of the complex
	verdicts    []verdict
	mixed       *beside
	threshold   float64
	over, under float64 // how much higher and lower the threshold may be, as shares of it
}

// sight of pixel i, whose verdict is v.
func (j *judgement) sight(i int, v verdict) sight {
	switch d := float64(j.density[i]); {
	case v == away:
		return notFace
	case v == mask:
		return notFlesh
	case v == hidden:
		return unseen
	case v == isStain:
		return surelyStained
	case v == isClear || d < (1-j.under)*j.threshold:
		return surelyClear
	default:
		switch times := d / j.limit(i); {
		case times >= 1+j.over:
			return surelyStained
		case times >= 1:
			return barelyStained
		case times >= 1-j.under:
			return barelyClear
		}
	}
	return surelyClear
}

// limit is the density from which pixel i is stained. Light adds, densities do
// not: a pixel half clear and half so dense as to be black has a density of 0.3. So
// beside dense stain it takes more than the threshold to be mostly stain. Where
// stain is thin all around, the threshold decides.
func (j *judgement) limit(i int) float64 {
	if float64(j.density[i]) > (1+j.over)*j.mixed.blackest {
		return j.threshold
	}
	q := j.q
	var densest float32
	x, y := i%q.w, i/q.w
	for ny := max(0, y-1); ny <= min(q.h-1, y+1); ny++ {
		for k := ny*q.w + max(0, x-1); k <= ny*q.w+min(q.w-1, x+1); k++ {
			if v := j.verdicts[k]; v == byLight || v == isStain {
				densest = max(densest, j.density[k])
			}
		}
	}
	return math.Max(j.threshold, j.mixed.limit[min(int(densest*besideSteps), len(j.mixed.limit)-1)])
}

// beside tells the density from which a pixel beside stain is stained itself.
type beside struct {
	limit    [2.5 * besideSteps]float64 // beside stain of a density of i/besideSteps
	blackest float64                    // beside stain that lets no light through
}

const besideSteps = 200

func (m Model) besideStain() *beside {
	b := beside{blackest: -math.Log10(1 - m.MixedShare)}
	for i := range b.limit {
		b.limit[i] = -math.Log10(1 - m.MixedShare*(1-lit(-float64(i)/besideSteps)))
	}
	return &b
}
