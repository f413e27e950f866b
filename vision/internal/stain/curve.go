package stain

import (
	"math"

	"traystage/vision/internal/parallel"
)

// Cameras put a curve over the light before they store it: sRGB's, and a soft
// roll-off of the brightest light instead of clipping. Clear flesh is the brightest
// thing measured, so that under the roll-off its red looks like less than it
// is, and stain thinner than it is.

// curve is log10 of linear light for every 8-bit value, 0 at full scale.
type curve [256]float32

const (
	// darkest is the linear light taken for black, so that its logarithm is
	// finite: half of the first step of an 8-bit sRGB value.
	darkest = 0.5 / 255 / 12.92
	// Above the knee a full roll-off leaves knee + room*(1-exp(-(light-knee)/room))
	// of the light, with room = 1-knee.
	knee = 0.70
	// blownOut is the stored value from which a full roll-off leaves nothing to go by.
	blownOut = 0.975
)

// newCurve undoes sRGB (IEC 61966-2-1) and a roll-off of the given strength: 0
// none, 1 full.
func newCurve(rollOff float64) *curve {
	var c curve
	for i := range c {
		v := float64(i) / 255
		if v <= 0.04045 {
			v /= 12.92
		} else {
			v = math.Pow((v+0.055)/1.055, 2.4)
		}
		flat := math.Log10(math.Max(v, darkest))
		if v > knee {
			full := knee - (1-knee)*math.Log(1-(math.Min(v, blownOut)-knee)/(1-knee))
			flat += rollOff * (math.Log10(full) - flat)
		}
		c[i] = float32(flat)
	}
	return &c
}

// brightest is the light that the given share of a histogram of 8-bit values
// exceeds, log10; minus infinity for an empty one.
func (c *curve) brightest(count *[256]int, share float64) float64 {
	total := 0
	for _, n := range count {
		total += n
	}
	if total == 0 {
		return math.Inf(-1)
	}
	above := 0
	for v := len(count) - 1; v > 0; v-- {
		if above += count[v]; float64(above) > share*float64(total) {
			return float64(c[v])
		}
	}
	return float64(c[0])
}

// What is known of roll-offs before the photo is seen, and how well the photo
// tells, from the tuning trays.
const (
	usualRollOff, rollOffSpread = 0.9, 0.35
	greenStart, greenScatter    = 0.007, 0.010 // of trays stored without roll-off, see greenIntercept
	greenOdd                    = 0.090        // from here on it is browning or tinted light that is seen
)

// rollOff estimates how strongly the camera rolled the brightest light off.
// Stain takes red and green away in a fixed ratio; the brighter band is
// compressed more, so that on the way from clear to stained flesh the green
// seems to have a head start. It weighs that against what is usual.
func rollOff(patches []*patch) float64 {
	var start [2]float64
	var seen [2]bool
	parallel.Each(2, func(i int) {
		c := newCurve(float64(i))
		all := sampled(patches, c)
		start[i], seen[i] = greenIntercept(all, lights(patches, all, c))
	})
	none, full := start[0], start[1]
	if !seen[0] || !seen[1] || math.Abs(none) > greenOdd {
		return usualRollOff
	}
	slope := full - none
	scatter := greenScatter + 0.15*math.Abs(slope)
	told, before := slope/(scatter*scatter), 1/(rollOffSpread*rollOffSpread)
	best := (told*(greenStart-none) + before*usualRollOff) / (told*slope + before)
	return math.Min(math.Max(best, 0), 1.2)
}

// greenIntercept is the density in green, by the straight line through thinly
// and thickly stained flesh, where the density in red is zero. False when the tray shows
// too little of it.
func greenIntercept(all [][]sample, ls []light) (float64, bool) {
	var n, x, y, xx, xy float64
	for i, samples := range all {
		if ls[i].share == 0 {
			continue
		}
		for _, s := range samples {
			red := ls[i].red(s.u, s.v)
			if d := red - s.r; d > 0.25 && d < 0.7 {
				g := red + ls[i].green - s.g
				n++
				x += d
				y += g
				xx += d * d
				xy += d * g
			}
		}
	}
	if n < 500 {
		return 0, false
	}
	slope := (xy - x*y/n) / (xx - x*x/n)
	return (y - slope*x) / n, true
}
