package stain

import (
	"math"

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
	Level     float64 // red of clear flesh at the core, log10 of full scale
}

// Read tells what every face of one tray shows, with n zones. threshold is the
// red density from which flesh counts as stained.
func Read(p Picture, faces []Face, n int, threshold float64) []Reading {
	patches := make([]*patch, len(faces))
	for i, f := range faces {
		patches[i] = cut(p, f)
	}
	ls := lights(patches)
	out := make([]Reading, len(faces))
	for i, q := range patches {
		out[i] = q.read(ls[i], n, threshold)
	}
	return out
}

// verdict of one pixel, apart from the threshold.
type verdict uint8

const (
	away    verdict = iota // not the face
	byLight                // flesh: stained from the threshold on
	mask                   // neither: skin, core, glare that hides
	isClear                // flesh that is clear whatever its density: browned, or seen clear through glare
	isStain                // flesh seen stained through glare
)

func (q *patch) read(l light, n int, threshold float64) Reading {
	density, verdicts, out := q.judge(l, threshold)
	out.Clear, out.LightSeen, out.Level = l.share, l.known, l.level
	class := func(t float64) []zones.Class {
		c := make([]zones.Class, len(verdicts))
		for i, v := range verdicts {
			switch {
			case v == away:
				c[i] = zones.Outside
			case v == mask:
				c[i] = zones.NotFlesh
			case v == isStain || v == byLight && float64(density[i]) >= t:
				c[i] = zones.Stained
			default:
				c[i] = zones.Clear
			}
		}
		return c
	}
	count := func(t float64) zones.Profile { return zones.Count(class(t), q.rho, q.bearing, n) }
	out.Profile = count(threshold)
	out.Low, _ = count(1.25 * threshold).Stained()
	out.High, _ = count(0.75 * threshold).Stained()
	return out
}

// judge gives every pixel its red density and its verdict.
func (q *patch) judge(l light, threshold float64) ([]float32, []verdict, Reading) {
	density := make([]float32, len(q.rho))
	verdicts := make([]verdict, len(q.rho))
	var out Reading
	var face, flesh, faint, brown, glare float64
	for i := range q.rho {
		if q.rho[i] >= 1 {
			continue
		}
		face++
		u, v := q.at(i)
		red := l.red(u, v)
		d := red - float64(q.r[i])
		density[i] = float32(d)
		bluer := float64(q.b[i]-q.r[i]) - l.blue // than clear flesh
		switch {
		case !q.flesh[i]:
			verdicts[i] = mask
		case q.rho[i] < coreReach && d > 0.10 && bluer < 0.3*blueing*d-0.01:
			verdicts[i] = mask // cavity, seed or lining: dark and warm
		case float64(q.b[i]) > red+l.blue+0.07:
			glare++
			verdicts[i] = throughGlare(red, l.blue, float64(q.r[i]), float64(q.b[i]), threshold)
		case d >= 0.75*threshold && bluer < -0.06:
			brown++
			verdicts[i] = isClear
		default:
			verdicts[i] = byLight
		}
		if verdicts[i] != mask {
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
// same to red and blue, so their difference is that of the flesh beneath.
func throughGlare(red, blue, r, b, threshold float64) verdict {
	const full = -0.02 // log10 of linear light from which a band is blown out
	if r > full {
		return mask
	}
	seen := math.Pow(10, r) - math.Pow(10, b)
	limit := math.Pow(10, red-threshold) - math.Pow(10, red+blue-(1-blueing)*threshold)
	switch {
	case seen > 1.3*limit:
		return isClear
	case seen < 0.7*limit:
		return isStain
	}
	return mask
}
