package locate

import "slices"

// Skin is warmer than the clear flesh beside it, at least by skinWarmer: its pigments, red, green or yellow, take blue away
// before red, where stain takes red first. So what is darker is skin or the side of a half even where it is no
// warmer than clear flesh, if it is warmer than the faces of the tray are where they are as dark: by skinWarmer it may
// be, by surelyWarmer it is, as stain and browned flesh scatter about their mean.
const skinWarmer, surelyWarmer = 0.1, 0.2

// warmths are how warm faces are on the mean by how dark they are, in equal steps of density.
type warmths [warmthSteps]float32

const (
	warmthSteps    = 32
	darkestCounted = 2.5 // mean density
)

// stepOf is which of so many equal steps of darkness a density lies in.
func stepOf(dark float32, steps int) int {
	return min(max(int(dark/darkestCounted*float32(steps)), 0), steps-1)
}

func (w *warmths) at(dark float32) float32 { return w[stepOf(dark, warmthSteps)] }

// byDarkness adds up, in steps of darkness, how often the colours of a face were counted, and their warmth times that.
func (c colours) byDarkness(face []float32, steps int) (weight, warm []float32) {
	weight, warm = make([]float32, steps), make([]float32, steps)
	for i, n := range face {
		k := stepOf(c.look[i].dark, steps)
		weight[k] += n
		warm[k] += n * c.look[i].warm
	}
	return weight, warm
}

// flesh is the warmth of the lightest fifth of a face of which the colours are counted.
func (c colours) flesh(face []float32) float32 {
	const fifth, steps = 0.2, 64
	weight, warm := c.byDarkness(face, steps)
	var lightest, warmth float32
	enough := fifth * sum(face)
	for k := range weight {
		if lightest >= enough {
			break
		}
		lightest += weight[k]
		warmth += warm[k]
	}
	return warmth / max(lightest, 1)
}

// warmths of faces whose colours are counted. Where they are hardly ever so dark or light they are taken to be as warm as at
// the next lighter step that they show, or the lightest.
func (c colours) warmths(face []float32) (w warmths) {
	const hardly = 0.002 // of all
	weight, warm := c.byDarkness(face, warmthSteps)
	least := max(hardly*sum(face), 1)
	first := slices.IndexFunc(weight, func(n float32) bool { return n > least })
	if first < 0 {
		return w
	}
	last := warm[first] / weight[first]
	for k := range w {
		if weight[k] > least {
			last = warm[k] / weight[k]
		}
		w[k] = last
	}
	return w
}
