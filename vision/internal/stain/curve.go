package stain

import "math"

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

// underexposed is how far the brightest parts of a photo lie below where a camera puts them, log10 of red.
func (p Picture) underexposed(c *curve) float64 {
	const (
		usual  = -0.25 // of the brightest fiftieth, log10 of full scale; most photos have more
		stride = 61    // pixels: no row is a multiple of it
	)
	var count [256]int
	n := 0
	for i := 2; i < len(p.Pix); i += 3 * stride {
		count[p.Pix[i]]++
		n++
	}
	above := 0
	for v := 255; v > 0; v-- {
		if above += count[v]; above*50 > n {
			return math.Max(0, usual-float64(c[v]))
		}
	}
	return 0
}
