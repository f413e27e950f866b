package trend

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat"

	"traystage/calibrate"
)

// tally is how forecasts of seasons of known truth did.
type tally struct {
	errors []float64 // absolute, days; infinite when no day was given
	held   int       // intervals that hold the truth, open ends included
	open   int       // intervals with an open end
}

func (a *tally) add(b tally) {
	a.errors = append(a.errors, b.errors...)
	a.held += b.held
	a.open += b.open
}

func (a tally) median() float64 {
	slices.Sort(a.errors)
	return a.errors[len(a.errors)/2]
}

func (a tally) coverage() float64 { return float64(a.held) / float64(len(a.errors)) }

// forecasts simulates seasons and forecasts each.
func (s season) forecasts(t *testing.T, seed uint64, seasons int) tally {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 7))
	truth := onDay(s.reached())
	var out tally
	for range seasons {
		tr, err := Fit(Stage(s.scale), s.draw(r), Options{})
		if err != nil {
			t.Fatal(err)
		}
		f, err := tr.Forecast(s.stage(s.target))
		if err != nil {
			t.Fatal(err)
		}
		off := math.Inf(1)
		if f.Reach == Reached {
			off = math.Abs(f.Day.Sub(truth).Hours() / 24)
		}
		out.errors = append(out.errors, off)
		if (f.Low.IsZero() || !f.Low.After(truth)) && (f.High.IsZero() || !f.High.Before(truth)) {
			out.held++
		}
		if f.Low.IsZero() || f.High.IsZero() {
			out.open++
		}
	}
	return out
}

var (
	tenToZero = calibrate.Scale{Stained: 10, Clear: 0, Step: 0.5}
	zeroToTen = calibrate.Scale{Stained: 0, Clear: 10, Step: 0.1}
)

// settings are seasons of four weekly samples of twenty fruit, of which the last
// lies a week before the target: slow, usual and fast blocks, targets from early
// to late, three scales, samples that scatter by their fruit alone or more.
// Paces: 0.17 a day is the Gala of maturity_trend.csv; 0.10 and 0.25 bracket the
// seven to ten days and more that its rows give from stage 3 to 6.
func settings(shape func(float64) float64, apart bool) []season {
	var out []season
	scales := []calibrate.Scale{oneToEight, tenToZero, zeroToTen}
	for i, pace := range []float64{0.10, 0.17, 0.25} {
		for j, target := range []float64{2.5 / 7, 3.5 / 7, 5. / 7} {
			for k, scatter := range []float64{0, 0.1} {
				out = append(out, season{
					shape: shape, apart: apart, scale: scales[(i+j+k)%3], pace: pace, target: target, scatter: scatter,
					ahead: 7, samples: 4, every: 7, fruit: 20,
				})
			}
		}
	}
	return out
}

// A season as the model takes it to be, but for what measuring and rounding do.
// With 200 seasons a setting, 3600 in all, the median error was 1.34 days
// (settings 0.93 to 1.81, the slow ones worst) and the interval held 94.4 % (87
// to 100 %, most where the last sample was still below stage 2).
func TestForecastHolds(t *testing.T) {
	t.Parallel()
	var all tally
	for i, s := range settings(logistic, false) {
		one := s.forecasts(t, uint64(i), 40)
		if one.coverage() < 0.75 { // 87 % less 2.5 times the chance of 40 seasons
			t.Errorf("pace %.2f, target %.2f, scatter %.1f: holds %.3f", s.pace, s.target, s.scatter, one.coverage())
		}
		all.add(one)
	}
	if m := all.median(); m > 1.5 {
		t.Errorf("median error %.2f days, want 1.5 at most", m)
	}
	if c := all.coverage(); c < 0.85 || c > 0.96 {
		t.Errorf("intervals hold %.3f, want 0.85 to 0.95 (0.96 with 720 seasons)", c)
	}
}

// Seasons as the model does not take them to be: fruit that differ by a stage
// whatever the day, so that a block at the stained end has a mean of 1.4; and
// truths that are a normal curve or Gompertz's, which starts fast and ends
// slowly. The figures are what 100 seasons a setting gave, not what was hoped
// for: errors of two to three days, and a Gompertz truth lies in three of four
// intervals instead of nine of ten. The test holds fewer seasons to them, with
// room for their chance.
func TestForecastOfOtherShapes(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name             string
		shape            func(float64) float64
		apart            bool
		median, coverage float64 // days; share of intervals that hold the truth
	}{
		{"logistic, fruit apart", logistic, true, 2.86, 0.816},
		{"normal", probit, false, 1.65, 0.897},
		{"normal, fruit apart", probit, true, 2.58, 0.847},
		{"gompertz", gompertz, false, 2.49, 0.761},
		{"gompertz, fruit apart", gompertz, true, 3.13, 0.788},
	} {
		var all tally
		for i, s := range settings(row.shape, row.apart) {
			all.add(s.forecasts(t, uint64(100+i), 10))
		}
		if m := all.median(); m > row.median+0.5 {
			t.Errorf("%s: median error %.2f days, was %v", row.name, m, row.median)
		}
		if c := all.coverage(); c < row.coverage-0.08 {
			t.Errorf("%s: intervals hold %.3f, were to hold %v", row.name, c, row.coverage)
		}
	}
}

// Two samples of ten fruit are the least: their intervals hold too, many of them
// open. With 200 seasons each, 2 to 6 samples held 88 to 93 %.
func TestForecastHoldsWithFewSamples(t *testing.T) {
	t.Parallel()
	for n := 2; n <= 6; n++ {
		s := season{
			shape: logistic, scale: oneToEight, pace: 0.17, target: 3.5 / 7, scatter: 0.1,
			ahead: 7, samples: n, every: 7, fruit: 10,
		}
		if c := s.forecasts(t, uint64(n), 100).coverage(); c < 0.83 || c > 0.99 {
			t.Errorf("%d samples: intervals hold %.3f, want 0.9 or near", n, c)
		}
	}
}

// Firmness that falls in a line, ten fruit a sample.
func TestForecastOfFirmnessHolds(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(3, 3))
	for _, scatter := range []float64{0, 0.3} { // lbf
		held := 0
		const seasons = 300
		for range seasons {
			var samples []Sample
			for i := range 4 {
				d := float64(7 * i)
				mean := 19 - 0.12*d + scatter*r.NormFloat64()
				fruit := make([]float64, 10)
				for k := range fruit {
					fruit[k] = mean + 1.2*r.NormFloat64()
				}
				m, sd := stat.MeanStdDev(fruit, nil)
				samples = append(samples, Sample{onDay(d), m, sd / math.Sqrt(10), 10})
			}
			tr, err := Fit(Falling(), samples, Options{})
			if err != nil {
				t.Fatal(err)
			}
			f, err := tr.Forecast(15.64) // on day 28
			if err != nil {
				t.Fatal(err)
			}
			truth := onDay(28)
			if (f.Low.IsZero() || !f.Low.After(truth)) && (f.High.IsZero() || !f.High.Before(truth)) {
				held++
			}
		}
		if c := float64(held) / seasons; c < 0.85 || c > 0.97 {
			t.Errorf("scatter %.1f lbf: intervals hold %.3f, want 0.85 to 0.97", scatter, c)
		}
	}
}
