package trend

import (
	"math"
	"time"

	"gonum.org/v1/gonum/optimize"
	"gonum.org/v1/gonum/stat"
)

// answer is a forecast in days from the last sample; infinite for none, or for
// an end left open.
type answer struct{ day, low, high float64 }

// estimator is what is judged.
func estimator(s season) answer {
	tr, err := Fit(Stage(oneToEight), s.samples, Options{Common: s.common})
	if err != nil {
		panic(err)
	}
	f, err := tr.Forecast(s.target)
	if err != nil {
		panic(err)
	}
	in := func(t time.Time, none float64) float64 {
		if t.IsZero() {
			return none
		}
		return t.Sub(start).Hours() / 24
	}
	return answer{in(f.Day, math.Inf(1)), in(f.Low, math.Inf(-1)), in(f.High, math.Inf(1))}
}

// The two peers give a day alone.

// lastLine is a straight line through the last three samples.
func lastLine(s season) answer {
	x, y := s.points()
	n := min(3, len(x))
	a, b := stat.LinearRegression(x[:n], y[:n], nil, false)
	if b <= 0 {
		return answer{day: math.Inf(1)}
	}
	return answer{day: (s.target - a) / b}
}

// logisticSquares is a logistic curve by least squares.
func logisticSquares(s season) answer {
	x, y := s.points()
	cost := func(p []float64) float64 {
		sum := 0.0
		for i := range x {
			d := y[i] - 1 - 7/(1+math.Exp(-p[0]-math.Exp(p[1])*x[i]))
			sum += d * d
		}
		return sum
	}
	least, best := math.Inf(1), []float64{0, 0}
	level := math.Log((y[0] - 0.9) / (8.1 - y[0]))
	for _, pace := range []float64{0.05, 0.15, 0.4} {
		r, err := optimize.Minimize(optimize.Problem{Func: cost}, []float64{level, math.Log(pace)}, nil, &optimize.NelderMead{})
		if err == nil && r.F < least {
			least, best = r.F, r.X
		}
	}
	p := (s.target - 1) / 7
	return answer{day: (math.Log(p/(1-p)) - best[0]) / math.Exp(best[1])}
}

// points are the samples, the last first.
func (s season) points() (x, y []float64) {
	for _, m := range s.samples {
		x = append(x, m.Day.Sub(start).Hours()/24)
		y = append(y, m.Value)
	}
	return x, y
}
