package trend

import (
	"math"
	"math/rand/v2"
	"time"

	"traystage/calibrate"
)

var oneToEight = calibrate.Scale{Stained: 1, Clear: 8, Step: 0.1}

var start = time.Date(2026, time.September, 1, 0, 0, 0, 0, time.UTC)

// onDay is a day of the simulated seasons, with its fraction.
func onDay(d float64) time.Time { return start.Add(time.Duration(d * 24 * float64(time.Hour))) }

// Shapes of the truth; each is half way at 0, and of much the same pace there.
func logistic(h float64) float64 { return 1 / (1 + math.Exp(-h)) }
func probit(h float64) float64   { return math.Erfc(-h/1.6/math.Sqrt2) / 2 }
func gompertz(h float64) float64 { return math.Exp(-math.Ln2 * math.Exp(-h/4/(math.Ln2/2))) }

// season is a simulated season of one block, of which all is known.
type season struct {
	shape func(h float64) float64
	scale calibrate.Scale
	// apart says how fruit of one day differ: by a stage, cut at the ends of the
	// scale; else by running ahead of or behind the block along its curve, which
	// makes a stage in the middle and less at the ends.
	apart          bool
	pace           float64 // of the logit, per day: 4/7 of the stages a day in the middle of 1 to 8
	target         float64 // share cleared that the block reaches
	ahead          float64 // days from the last sample to that
	samples, every int     // how many, days between them
	fruit          int     // of each sample
	scatter        float64 // of a sample beyond its fruit, of the logit
}

// fruitAt is the share cleared of a fruit that is z standard deviations ahead.
func (s season) fruitAt(d, z float64) float64 {
	if s.apart {
		return min(max(s.shape(s.pace*d)+z/7, 0), 1)
	}
	return s.shape(s.pace*d + 4*z/7)
}

// mean is the block's true mean share.
func (s season) mean(d float64) float64 {
	sum, all := 0.0, 0.0
	for z := -4.0; z <= 4; z += 0.125 {
		w := math.Exp(-z * z / 2)
		sum += w * s.fruitAt(d, z)
		all += w
	}
	return sum / all
}

// reached is the day on which the block's true mean is at the target.
func (s season) reached() float64 { return rootOf(s.mean, s.target, -60, 60) }

// stage is a share on the scale.
func (s season) stage(share float64) float64 {
	return s.scale.Stained + share*(s.scale.Clear-s.scale.Stained)
}

// misread is the standard deviation of the measuring error of one half, of the
// scale: 0.3 stages of 1 to 8.
const misread = 0.3 / 7

// draw takes the samples: each fruit is measured, read to the scale's step, and
// none reads beyond an end.
func (s season) draw(r *rand.Rand) []Sample {
	var out []Sample
	step := s.scale.Step / s.scale.Span()
	for i := range s.samples {
		d := s.reached() - s.ahead - float64((s.samples-1-i)*s.every)
		shift := s.scatter * r.NormFloat64() / s.pace
		sum, squares, n := 0.0, 0.0, float64(s.fruit)
		for range s.fruit {
			v := s.fruitAt(d+shift, r.NormFloat64()) + misread*r.NormFloat64()
			v = min(max(math.Round(v/step)*step, 0), 1)
			sum += v
			squares += v * v
		}
		mean := sum / n
		sd := math.Sqrt(math.Max(0, (squares-n*mean*mean)/(n-1)))
		out = append(out, Sample{onDay(d), s.stage(min(mean, 1)), s.scale.Span() * sd / math.Sqrt(n), s.fruit})
	}
	return out
}
