package stain

import (
	"math"

	"traystage/vision/internal/parallel"
	"traystage/vision/zones"
)

// Reading is what one face shows.
type Reading struct {
	Profile   zones.Profile
	Low, High float64 // stained fraction with the threshold a quarter higher and a quarter lower
	Glare     float64 // share of the face in glare
	Browned   float64 // share of the flesh that is browned
	Faint     float64 // share of the flesh within a quarter of the threshold
	Clear     float64 // share of the flesh that gave the light; 0 when it came from elsewhere
	LightSeen bool    // clear flesh was seen on this face or another of the tray
	Focus     float64 // sharpness of the face, 0 to 1; see focus
	Level     float64 // red of clear flesh at the core, log10 of full scale
}

// Read tells what every face of one tray shows, with n zones. threshold is the
// red density from which flesh counts as stained.
func Read(p Picture, faces []Face, n int, threshold float64) []Reading {
	threshold *= seenDensity
	patches := make([]*patch, len(faces))
	parallel.Each(len(faces), func(i int) { patches[i] = cut(p, faces[i]) })
	stored := newCurve(rollOff(patches))
	ls := lights(patches, sampled(patches, stored), stored)
	out := make([]Reading, len(faces))
	parallel.Each(len(faces), func(i int) {
		patches[i].expose(stored)
		out[i] = patches[i].read(ls[i], n, threshold)
	})
	return out
}

// seenDensity is how much of its density thin stain shows: the level of clear
// flesh is that of flesh with its faintest stains. Measured on the tuning trays; 1 is none lost.
const seenDensity = 0.92

// stainedShare is the share of the light that stain as dense as the densest
// pixel beside it would take from a pixel, from which on the pixel counts as stained
// and not as clear flesh with some stain in it. It is more than a half because that
// neighbour is itself mixed: on painted tuning trays, pixels that are half stained
// lose 0.57 to 0.60 of it beside a density of 0.5 to 0.9. 0.54 is what the
// ray-traced trays, whose borders are softer, bear without loss.
const stainedShare = 0.54

// verdict of one pixel, apart from the threshold.
type verdict uint8

const (
	away    verdict = iota // not the face
	byLight                // flesh: stained from the threshold on
	mask                   // neither: skin, core
	hidden                 // flesh under glare that hides which it is
	isClear                // flesh that is clear whatever its density: browned, or seen clear through glare
	isStain                // flesh seen stained through glare
)

func (q *patch) read(l light, n int, threshold float64) Reading {
	density, verdicts, out := q.judge(l, threshold)
	out.Clear, out.LightSeen, out.Level, out.Focus = l.share, l.known, l.level, q.focus()
	seen := make([]sight, len(verdicts))
	for i, v := range verdicts {
		seen[i] = q.sight(i, v, density, verdicts, threshold)
	}
	for _, e := range q.rim {
		seen[e.at] = seen[e.inward]
	}
	class := make([]zones.Class, len(seen))
	var count [surelyStained + 1]float64
	for i, s := range seen {
		class[i] = classes[s]
		count[s]++
	}
	flesh := math.Max(count[surelyClear]+count[barelyClear]+count[barelyStained]+count[surelyStained], 1)
	out.Profile = zones.Count(class, q.rho, q.bearing, n)
	stained, _ := out.Profile.Stained()
	out.Low = math.Max(0, stained-count[barelyStained]/flesh)
	out.High = math.Min(1, stained+count[barelyClear]/flesh)
	return out
}

// sight is what a pixel shows, and how nearly it is something else.
type sight uint8

const (
	notFace sight = iota
	notFlesh
	unseen
	surelyClear
	barelyClear   // stained with the threshold a quarter lower
	barelyStained // clear with the threshold a quarter higher
	surelyStained
)

var classes = [...]zones.Class{
	notFace: zones.Outside, notFlesh: zones.NotFlesh, unseen: zones.Hidden,
	surelyClear: zones.Clear, barelyClear: zones.Clear,
	barelyStained: zones.Stained, surelyStained: zones.Stained,
}

// sight of pixel i, whose verdict is v.
func (q *patch) sight(i int, v verdict, density []float32, verdicts []verdict, threshold float64) sight {
	switch d := float64(density[i]); {
	case v == away:
		return notFace
	case v == mask:
		return notFlesh
	case v == hidden:
		return unseen
	case v == isStain:
		return surelyStained
	case v == isClear || d < 0.75*threshold:
		return surelyClear
	default:
		switch times := d / q.limit(i, density, verdicts, threshold); {
		case times >= 1.25:
			return surelyStained
		case times >= 1:
			return barelyStained
		case times >= 0.75:
			return barelyClear
		}
	}
	return surelyClear
}

// limit is the density from which pixel i is stained. Light adds, densities do
// not: a pixel half clear and half so dense as to be black has a density of 0.3. So
// beside dense stain it takes more than the threshold to be mostly stain. Where
// stain is thin all around, the threshold decides.
func (q *patch) limit(i int, density []float32, verdicts []verdict, threshold float64) float64 {
	if float64(density[i]) > 1.25*blackest {
		return threshold
	}
	var densest float32
	x, y := i%q.w, i/q.w
	for ny := max(0, y-1); ny <= min(q.h-1, y+1); ny++ {
		for k := ny*q.w + max(0, x-1); k <= ny*q.w+min(q.w-1, x+1); k++ {
			if v := verdicts[k]; v == byLight || v == isStain {
				densest = max(densest, density[k])
			}
		}
	}
	return math.Max(threshold, beside[min(int(densest*besideSteps), len(beside)-1)])
}

// beside is the limit beside stain of a density of i/besideSteps, up to one that
// lets next to no light through.
var beside = func() (limit [2.5 * besideSteps]float64) {
	for i := range limit {
		limit[i] = -math.Log10(1 - stainedShare*(1-lit(-float64(i)/besideSteps)))
	}
	return limit
}()

const besideSteps = 200

// blackest is the limit beside stain that lets no light through.
var blackest = -math.Log10(1 - stainedShare)

// lit is the light of which log is the logarithm to base 10; math.Pow takes three times as long.
func lit(log float64) float64 { return math.Exp(log * math.Ln10) }

// brightest is the 8-bit red above which glare has blown the pixel out.
const brightest = 240

// tooDark is the red density that browning does not reach.
const tooDark = 0.35

// judge gives every pixel its red density and its verdict.
func (q *patch) judge(l light, threshold float64) ([]float32, []verdict, Reading) {
	density := make([]float32, len(q.rho))
	bluer := make([]float32, len(q.rho)) // log10 blue less red than clear flesh's
	for row := 0; row < len(q.rho); row += q.w {
		u, v := q.at(row)
		red, step := float32(l.red(u, v)), float32(l.slopeU/q.face.Radius)
		for i := row; i < row+q.w; i++ {
			if q.rho[i] < 1 {
				density[i] = red - q.r[i]
				bluer[i] = q.b[i] - q.r[i] - float32(l.blue)
			}
			red += step
		}
	}
	hollow := q.cavities(density, bluer)
	if !l.known {
		// Where no face of the tray shows clear flesh, what is light in a core is its lining.
		for i, d := range density {
			hollow[i] = hollow[i] || q.rho[i] < coreReach && float64(d) < 2*threshold
		}
	}
	verdicts := make([]verdict, len(q.rho))
	var out Reading
	var face, flesh, faint, brown, glare float64
	for i := range q.rho {
		if q.rho[i] >= 1 {
			continue
		}
		face++
		d := float64(density[i])
		switch warmDark := d >= 0.75*threshold && bluer[i] < -0.06; {
		case !q.flesh[i] || hollow[i]:
			verdicts[i] = mask
		case bluer[i]-density[i] > 0.07: // more blue than clear flesh could show
			glare++
			verdicts[i] = throughGlare(d, float64(q.r[i]), float64(q.b[i]), l.blue, threshold)
			if verdicts[i] == isStain && q.raw[3*i+2] > brightest {
				verdicts[i] = hidden // a blown-out red hides how much more it was than the blue
			}
		case warmDark && (q.rho[i] > 0.9 || d > tooDark):
			verdicts[i] = mask // skin that the flesh edge missed, or a shaded side
		case warmDark:
			brown++
			verdicts[i] = isClear
		default:
			verdicts[i] = byLight
		}
		if verdicts[i] != mask && verdicts[i] != hidden {
			flesh++
			if math.Abs(d-threshold) < 0.25*threshold {
				faint++
			}
		}
	}
	out.Glare, out.Browned, out.Faint = glare/math.Max(face, 1), brown/math.Max(flesh, 1), faint/math.Max(flesh, 1)
	return density, verdicts, out
}

// throughGlare tells stain where white light lies over the face: it adds the
// same to red and blue, so their difference is that of the flesh beneath. d is the
// red density, r and b are log10 of linear light, blue is that of clear flesh less its red.
func throughGlare(d, r, b, blue, threshold float64) verdict {
	red := r + d // of clear flesh here
	seen := lit(r) - lit(b)
	limit := lit(red-threshold) - lit(red+blue-(1-blueing)*threshold)
	switch {
	case seen > 1.3*limit:
		return isClear
	case seen < 0.7*limit:
		return isStain
	}
	return hidden
}
