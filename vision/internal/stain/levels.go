package stain

import "math"

// A sample is one pixel: its place, of flesh in radii from the core's centre and of ground in px of the picture, and log10 of
// its light in red, green and blue.
type sample struct {
	u, v float64
	c    [3]float64
	core bool
}

// A level is a brightness of red at which a fair share of a face agrees: clear flesh in one
// light, stain, or a reflection.
type level struct {
	c     [3]float64 // mean log10 of red, green and blue
	share float64    // of the samples

	blueing float64 // of what is darker on the face, see blueing; NaN where nothing tells
}

// blue is log10 of blue less red.
func (l level) blue() float64 { return l.c[2] - l.c[0] }

const (
	levelStep  = 0.02 // log10 red: a level is as wide as five steps, about the noise of a pixel
	levelBins  = 170
	levelFloor = -3.0
	levelApart = 0.08 // levels nearer to a brighter one are part of it
)

// levels finds the levels of a face, brightest first. blown are samples in which every band is near
// full scale: they tell nothing of colour.
func levels(s []sample, least float64) []level {
	var count [levelBins]float64
	var sum [levelBins][3]float64
	n := 0.0
	for _, p := range s {
		k := int((p.c[0] - levelFloor) / levelStep)
		if k < 0 || k >= levelBins {
			continue
		}
		n++
		count[k]++
		for band, v := range p.c {
			sum[k][band] += v
		}
	}
	var wide [levelBins]float64
	for k := 2; k < levelBins-2; k++ {
		wide[k] = count[k-2] + count[k-1] + count[k] + count[k+1] + count[k+2]
	}
	var out []level
	last := levelBins * 2
	for k := levelBins - 3; k > 1; k-- {
		if wide[k] < least*n || wide[k] < wide[k+1] || wide[k] <= wide[k-1] || float64(last-k)*levelStep < levelApart {
			continue
		}
		l := level{share: wide[k] / n}
		for j := k - 2; j <= k+2; j++ {
			for band := range l.c {
				l.c[band] += sum[j][band] / wide[k]
			}
		}
		out = append(out, l)
		last = k
	}
	for k := range out {
		out[k].blueing = blueing(out[k], s, least)
	}
	return out
}

// blueing is how much bluer, for each unit of density, the stain of a face is than its clear flesh: log10 of blue less
// red over density. It is NaN when too few samples are dark enough to tell. The core tells nothing: seeds and
// lining are warm, and where there is little stain they would outweigh it.
func blueing(clear level, s []sample, least float64) float64 {
	const thin, thick = 0.25, 1.1 // thinner is not sure to be stain, thicker is lost in stray light
	var n, dd, db float64
	for _, p := range s {
		d := clear.c[0] - p.c[0]
		if p.core || d < thin || d > thick {
			continue
		}
		n++
		dd += d * d
		db += d * (p.c[2] - p.c[0] - clear.blue())
	}
	if n < least*float64(len(s)) {
		return math.NaN()
	}
	return db / dd
}
