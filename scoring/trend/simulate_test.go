package trend

import (
	"math"
	"math/rand/v2"
	"time"

	"gonum.org/v1/gonum/stat"

	"traystage/calibrate"
)

var oneToEight = calibrate.Scale{Stained: 1, Clear: 8, Step: 0.1}

var start = time.Date(2026, time.September, 1, 0, 0, 0, 0, time.UTC)

// onDay is a day of the simulated seasons, with its fraction.
func onDay(d float64) time.Time { return start.Add(time.Duration(d * 24 * float64(time.Hour))) }

// law is how a block's mean stage on 1 to 8 runs with its age, days; age 0 is
// half way, and pace is the stages a day there.
type law func(age, pace float64) float64

// Laws of the truth. Each is of much the same pace half way.
var (
	logisticLaw law = func(age, pace float64) float64 { return 1 + 7/(1+math.Exp(-4*pace/7*age)) }
	probitLaw   law = func(age, pace float64) float64 {
		return 1 + 7*math.Erfc(-age*pace/7*math.Sqrt(2*math.Pi)/math.Sqrt2)/2
	}
	gompertzLaw law = func(age, pace float64) float64 {
		return 1 + 7*math.Exp(-math.Ln2*math.Exp(-2*pace/7*age/math.Ln2))
	}
	linearLaw law = func(age, pace float64) float64 { return min(max(4.5+pace*age, 1), 8) }
	// weibullLaw starts at once and slows down; its shape of 2.2 is lopsided the other way.
	weibullLaw law = func(age, pace float64) float64 {
		const k = 2.2
		scale := 7 * k * math.Ln2 / (2 * pace) / math.Pow(math.Ln2, 1/k) // slope half way is pace
		x := math.Pow(math.Ln2, 1/k) + age/scale
		return 1 + 7*(1-math.Exp(-math.Pow(max(x, 0), k)))
	}
)

// world is one kind of simulated season.
type world struct {
	name  string
	law   law
	spell float64 // how much faster the block ripens while a spell lasts; 0 for no spell
	steps bool    // weather changes every few days
	heavy bool    // day errors from Student's t of 3
	wide  bool    // paces from 0.07 to 0.55 stages a day
}

// The six shapes that forecasts are judged on.
var shapes = []world{
	{name: "logistic", law: logisticLaw},
	{name: "Gompertz", law: gompertzLaw},
	{name: "linear", law: linearLaw},
	{name: "probit", law: probitLaw},
	{name: "hot spell", law: logisticLaw, spell: 2},
	{name: "cool spell", law: logisticLaw, spell: 0.45},
}

// Others that nothing was made for.
var others = []world{
	{name: "Weibull", law: weibullLaw},
	{name: "step weather", law: logisticLaw, steps: true},
	{name: "heavy-tailed days", law: logisticLaw, heavy: true},
	{name: "wide paces", law: logisticLaw, wide: true},
	{name: "wide paces, Gompertz", law: gompertzLaw, wide: true},
	{name: "linear, step weather, heavy tails", law: linearLaw, steps: true, heavy: true},
}

// season is a simulated season of one block, of which all is known.
type season struct {
	world
	mean    func(day float64) float64
	samples []Sample
	common  float64 // standard uncertainty that is told to the forecast
	ahead   float64 // days from the last sample to the target
	target  float64
}

// warp is the age on a day that weather has hurried on or held back.
func (w world) warp(r *rand.Rand, last float64) func(day float64) float64 {
	switch {
	case w.spell > 0:
		from := last - 7 + 14*r.Float64()
		to := from + 4 + 5*r.Float64()
		strength := w.spell * (0.8 + 0.4*r.Float64())
		return func(d float64) float64 { return d + (strength-1)*(min(max(d, from), to)-from) }
	case w.steps:
		var paces []float64
		for range 40 {
			paces = append(paces, math.Exp(0.4*r.NormFloat64()))
		}
		const every = 4.0
		from := last - 80
		return func(d float64) float64 {
			age := from
			for i, pace := range paces {
				t := from + every*float64(i)
				age += pace * (min(max(d, t), t+every) - t)
			}
			return age
		}
	}
	return func(d float64) float64 { return d }
}

// newSeason draws a season whose mean is 2 or more at its last sample.
func (w world) newSeason(r *rand.Rand) season {
	for {
		s := season{world: w, ahead: 3 + 11*r.Float64(), target: 2.5 + 4.5*r.Float64()}
		slow, fast := 0.12, 0.35
		if w.wide {
			slow, fast = 0.07, 0.55
		}
		pace := slow * math.Pow(fast/slow, r.Float64())
		age := w.warp(r, 0)
		// the block is at the target on day ahead, the last sample on day 0
		shift := rootOf(func(x float64) float64 { return w.law(x, pace) }, s.target, -200, 200) - age(s.ahead)
		s.mean = func(d float64) float64 { return w.law(age(d)+shift, pace) }
		if s.mean(0) < 2 || s.mean(0) >= s.target-0.05 {
			continue
		}
		s.sample(r)
		return s
	}
}

// sample takes the season's samples: each fruit differs, all of a day share an
// error, all of a season another; stages are read in tenths and none beyond an end.
func (s *season) sample(r *rand.Rand) {
	n, fruit := 2+r.IntN(5), 5+r.IntN(16)
	sd := 0.6 + 0.9*r.Float64()
	dayError := 0.1 + 0.2*r.Float64()
	s.common = 0.4 * r.Float64()
	shift := s.common * r.NormFloat64()
	d := 0.0
	for range n {
		e := r.NormFloat64()
		if s.heavy {
			e = r.NormFloat64() / math.Sqrt((sq(r)+sq(r)+sq(r))/3)
		}
		stages := make([]float64, fruit)
		for i := range stages {
			v := s.mean(d) + shift + dayError*e + sd*r.NormFloat64()
			stages[i] = min(max(math.Round(10*v)/10, 1), 8)
		}
		m, spread := stat.MeanStdDev(stages, nil)
		s.samples = append(s.samples, Sample{onDay(d), m, spread / math.Sqrt(float64(fruit)), fruit})
		d -= float64(3 + r.IntN(5))
	}
}

func sq(r *rand.Rand) float64 { x := r.NormFloat64(); return x * x }
