package trend

import "math"

// link is the shape in which progress follows age. Age is counted in usual
// paces: each link takes 0.6 of it from a fifth to four fifths of its way, so
// that one rate means the same under all of them, and is half way at 0.
type link int

const (
	straight link = iota // progress is age
	logistic             // slow at first and at last
	quickly              // Gompertz's curve: quick at first, slow at last
	links                // how many there are
)

// Steepness of each curve, so that it goes from 0.2 to 0.8 in 0.6.
var (
	logisticPace = 2 * math.Log(4) / 0.6
	gompertzPace = math.Log(math.Log(5)/math.Log(1.25)) / 0.6
)

// at gives progress and how fast it grows at an age.
func (l link) at(age float64) (progress, growth float64) {
	switch l {
	case logistic:
		p := 1 / (1 + math.Exp(-logisticPace*age))
		return p, logisticPace * p * (1 - p)
	case quickly:
		e := math.Ln2 * math.Exp(-gompertzPace*age)
		p := math.Exp(-e)
		return p, gompertzPace * e * p
	}
	return age, 1
}

// age undoes at; it is infinite at the ends of a curve.
func (l link) age(progress float64) float64 {
	switch l {
	case logistic:
		return math.Log(progress/(1-progress)) / logisticPace
	case quickly:
		return -math.Log(-math.Log(progress)/math.Ln2) / gompertzPace
	}
	return progress
}

// nearEnd keeps shares off the ends, where a curve's age has no value.
const nearEnd = 1e-3

// ageInside is the age at a share of the way, kept off the ends.
func (l link) ageInside(progress float64) float64 {
	if l == straight {
		return progress
	}
	return l.age(min(max(progress, nearEnd), 1-nearEnd))
}
