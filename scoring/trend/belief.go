package trend

import "math"

// belief is what is held of a quantity before there are samples. Nothing in it
// was fitted to simulated seasons: paces and their spread are those of published
// ones, and the rest is the order of size that people who sample know. Figures
// without a source are common practice, and forecasts hardly hang on
// them (DEVELOPERS.md, section 10).
type belief struct {
	pace   float64    // usual progress a day
	spread float64    // standard deviation of the logarithm of a block's pace
	links  []weighted // shapes
	days   []weighted // standard deviations of the error that a day's fruit share, of progress
	fruit  float64    // usual standard deviation from fruit to fruit, of progress
	drift  drift
	apart  float64 // of the logarithms of the paces that are summed over
}

// weighted is a value with the chance that it holds.
type weighted struct{ value, chance float64 }

// weather is how a block's rate strays: by a quarter for some days, which is what
// three degrees more or less do to a process that doubles or trebles by ten.
var weather = drift{size: 0.25, lasts: 5}

// ofStages: half way a block clears 0.22 stages of seven a day, a factor of 1.6
// more or less. That is the mean, over cultivars, of the published paces in
// maturity_trend.csv and maturity_series.csv, from 0.07 to 0.16 (24 cultivars in
// the United Kingdom; Szalay and others, 2013) and 0.16 (Sunrise; Lau and Lane,
// 1998) to 0.30 and more (Gala, Michigan State University Extension, 2006 and 2024).
// Lau and Lane found a straight line, Peirs and others (Postharvest Biology and
// Technology 26, 2002, from memory) a sigmoid.
var ofStages = belief{
	pace: 0.22 / 7, spread: 0.45,
	links: []weighted{{float64(straight), 0.35}, {float64(logistic), 0.40}, {float64(quickly), 0.25}},
	days:  []weighted{{0.15 / 7, 0.55}, {0.35 / 7, 0.45}},
	fruit: 1. / 7, drift: weather, apart: paces,
}

// line is the belief of what runs in a line: paces as parts of the value a day.
func line(pace, spread, fruit float64, day float64) belief {
	return belief{
		pace: pace, spread: spread, links: []weighted{{float64(straight), 1}},
		days: []weighted{{day * 0.7, 0.55}, {day * 1.6, 0.45}}, fruit: fruit, drift: weather, apart: paces,
	}
}

// Firmness falls by 0.10 to 0.43 lbf a day of 13 to 19 (Sunrise, Lau and Lane,
// 1998; three cultivars, Michigan State University Extension, 2024); soluble
// solids rise by 0.08 to 0.17 °Brix of 11 to 13 (the same reports). The Streif
// index falls by the three together.
var (
	ofFalling = line(0.010, 0.6, 0.08, 0.015)
	ofRising  = line(0.008, 0.6, 0.06, 0.015)
	ofIndex   = line(0.070, 0.5, 0.30, 0.060)
)

func (c Course) belief() belief {
	switch c.kind {
	case stages:
		return ofStages
	case rising:
		return ofRising
	case index:
		return ofIndex
	}
	return ofFalling
}

// anywhere is more than a whole course either way.
const anywhere = 2.0

// reach is how many standard deviations the summed paces span either way, paces
// how far apart they are at the most: half as far moves the day by 0.02 days in the
// middle of simulated seasons (TestPacesLieNearEnough), since the drift fills what
// lies between.
const (
	reach = 2.6
	paces = 0.40
)

// suppositions are all combinations, with their weights before the samples. The
// pace is lognormal.
func (b belief) suppositions() []supposition {
	var out []supposition
	nodes := 2*int(math.Ceil(reach*b.spread/b.apart)) + 1
	for _, l := range b.links {
		for _, d := range b.days {
			for i := range nodes {
				z := reach * (2*float64(i)/float64(nodes-1) - 1)
				out = append(out, supposition{
					link: link(l.value), day: d.value, rate: b.pace * math.Exp(b.spread*z), vague: anywhere,
					log: math.Log(l.chance*d.chance) - z*z/2,
				})
			}
		}
	}
	return out
}
