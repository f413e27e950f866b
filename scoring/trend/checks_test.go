package trend

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// checkRows reads one file of published values; each row by column name.
func checkRows(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "testdata", "checks", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	var rows []map[string]string
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, column := range records[0] {
			row[column] = record[i]
		}
		rows = append(rows, row)
	}
	return rows
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// columns reads two columns of a file of data.
func columns(t *testing.T, name, xName, yName string) (x, y []float64) {
	t.Helper()
	for _, row := range checkRows(t, name) {
		x = append(x, number(t, row[xName]))
		y = append(y, number(t, row[yName]))
	}
	return x, y
}

// regression is what ordinary least squares says of a straight line: intercept,
// slope, standard deviation of the slope and of what is left.
func regression(x, y []float64) (a, b, sb, s float64) {
	a, b = stat.LinearRegression(x, y, nil, false)
	rss, sxx, mean := 0.0, 0.0, stat.Mean(x, nil)
	for i := range x {
		rss += math.Pow(y[i]-a-b*x[i], 2)
		sxx += math.Pow(x[i]-mean, 2)
	}
	s = math.Sqrt(rss / float64(len(x)-2))
	return a, b, s / math.Sqrt(sxx), s
}

// unknowing is a straight trend through readings that knows nothing beforehand:
// any slope is as likely as any other, and any size of the scatter. Days count
// from 0, progress is the value itself.
func unknowing(x, y []float64, scatter []float64) *Trend {
	_, b, sb, s := regression(x, y)
	readings := make([]reading, len(x))
	t := &Trend{measure: measure{Rising(), 1}, drift: drift{0, 1}, known: map[float64][]moment{}, origin: start}
	for i := range x {
		readings[i] = reading{x: x[i], progress: y[i], inside: y[i], growth: 1}
		t.Samples = append(t.Samples, Sample{Day: onDay(x[i])})
	}
	var all []supposition
	for z := -14.0; z <= 14; z += 0.3 {
		for _, part := range scatter {
			all = append(all, supposition{link: straight, day: s * part, rate: b + z*sb, vague: 120 * math.Abs(stat.Mean(y, nil))})
		}
	}
	t.branchOut(all, readings, 0)
	return t
}

// scatters are sizes of the scatter on a logarithmic scale.
func scatters() []float64 {
	var out []float64
	for l := -1.6; l <= 2.4; l += 0.16 {
		out = append(out, math.Exp(l))
	}
	return out
}

// Norris of the NIST Statistical Reference Datasets, linear regression: the line
// where nothing is known beforehand, and its slope.
func TestLineAgainstNIST(t *testing.T) {
	x, y := columns(t, "nist_norris.csv", "x", "y")
	tr := unknowing(x, y, []float64{1})
	mean := func(x float64) float64 {
		sum := 0.0
		for i, m := range tr.moments(x) {
			sum += tr.branches[i].weight * m.mean
		}
		return sum
	}
	got := map[string]float64{"B0": mean(0), "B1": mean(500.5) - mean(499.5)}
	checked := 0
	for _, row := range checkRows(t, "statistics.csv") {
		value, ok := got[row["quantity"]]
		if row["case"] != "Norris" || !ok {
			continue
		}
		// The level before is wide rather than unknown, which costs a millionth of it.
		if want := number(t, row["value"]); math.Abs(value-want) > 2e-5 {
			t.Errorf("%s: %.9g, certified %.9g", row["quantity"], value, want)
		}
		checked++
	}
	if checked != len(got) {
		t.Errorf("%d figures checked, want %d", checked, len(got))
	}
}

// The worked examples of inverse prediction in Graybill and Iyer, Regression
// analysis: concepts and applications, 1994, and in Greenwell and Schubert
// Kabban, investr, R Journal 2014: 18 printed estimates and limits. Summed over
// all slopes and sizes of the scatter, as the estimator sums, the chance of being
// beyond a target is Student's t, and its quantiles are Fieller's. A new reading
// is a target that has the scatter of its own.
func TestForecastAgainstInversePrediction(t *testing.T) {
	files := map[string][3]string{ // by the first words of the case: file, x, y
		"thermometer":      {"calibration_thermometer.csv", "temp", "read"},
		"reaction chamber": {"calibration_chamber.csv", "dial", "temp"},
		"crystal weight":   {"calibration_crystal.csv", "time_h", "weight_g"},
		"arsenic":          {"calibration_arsenic.csv", "actual", "measured"},
	}
	trends := map[string]*Trend{}
	checked := 0
	for _, row := range checkRows(t, "statistics.csv") {
		if row["topic"] != "inverse_prediction" {
			continue
		}
		name, rest, _ := strings.Cut(row["case"], " y0=")
		file, ok := files[name]
		var target, level float64
		if _, err := fmt.Sscanf(rest, "%f %f", &target, &level); err != nil || !ok {
			t.Fatalf("case %q cannot be read", row["case"])
		}
		if trends[name] == nil {
			x, y := columns(t, file[0], file[1], file[2])
			trends[name] = unknowing(x, y, scatters())
		}
		tr, own := trends[name], 0.0
		if strings.Contains(rest, "new reading") {
			own = 1
		}
		by := func(x float64) float64 {
			sum := 0.0
			for i, m := range tr.moments(x) {
				b := tr.branches[i]
				sum += b.weight * normal((m.mean-target)/math.Hypot(m.sd, own*b.day))
			}
			return sum
		}
		p := map[string]float64{"estimate": 0.5, "lower": (1 - level/100) / 2, "upper": (1 + level/100) / 2}[row["quantity"]]
		want := number(t, row["value"])
		got := rootOf(by, p, want-want/4, want+want/4)
		_, decimals, _ := strings.Cut(row["value"], ".")
		if digit := math.Pow(10, -float64(len(decimals))); math.Abs(got-want) > digit/2+1e-6 {
			t.Errorf("%s, %s: %.6f, printed %s", row["case"], row["quantity"], got, row["value"])
		}
		checked++
	}
	if checked != 18 {
		t.Errorf("%d figures checked, want 18", checked)
	}
}

// With a known variance the quantiles of the crossing are the roots of a
// quadratic. With z the quantile, level l and slope b about the mean day,
//
//	(l + b·x - T)² = z²·(v/n + v·x²/Sxx)
//
// Source: E. C. Fieller, Some problems in interval estimation, Journal of the
// Royal Statistical Society B 16, 1954.
func TestCrossingAgainstClosedForm(t *testing.T) {
	x, y := []float64{-14, -7, 0, 7}, []float64{16.2, 17.4, 17.9, 19.3}
	const sd, target = 0.4, 21.0
	_, b, _, s := regression(x, y)
	tr := unknowing(x, y, []float64{sd / s})
	mean, level, sxx := stat.Mean(x, nil), stat.Mean(y, nil), 0.0
	for _, v := range x {
		sxx += (v - mean) * (v - mean)
	}
	for _, p := range []float64{0.05, 0.25, 0.5, 0.75, 0.95} {
		z2 := math.Pow(distuv.UnitNormal.Quantile(p), 2) * sd * sd
		a2, a1, a0 := b*b-z2/sxx, 2*b*(level-target), (level-target)*(level-target)-z2/4
		root := math.Sqrt(max(a1*a1-4*a2*a0, 0)) / (2 * a2)
		want := mean - a1/(2*a2) + math.Copysign(root, p-0.5)
		if got := rootOf(tr.by(target), p, 0, 60); math.Abs(got-want) > 2e-3 {
			t.Errorf("quantile %v: day %.4f, closed form %.4f", p, got, want)
		}
	}
}

// A level that is known and a rate that is lognormal reach a target after a
// lognormal time.
//
// Source: J. Aitchison, J. A. C. Brown, The lognormal distribution, 1957, section
// 2.3: the reciprocal is lognormal as well; 2.2 for its mean and variance.
func TestLognormalRate(t *testing.T) {
	b := line(0.01, 0.4, 0.05, 1e-6)
	b.drift, b.apart, b.days = drift{0, 1}, 0.005, []weighted{{1e-5, 1}}
	tr := newTrend(Rising(), b, []Sample{{onDay(0), 12, 1e-4, 0}}, Options{})
	tr.branchOut(b.suppositions(), tr.read(b), 0)
	for _, p := range []float64{0.05, 0.5, 0.95} {
		want := 10 * math.Exp(0.4*distuv.UnitNormal.Quantile(p)) // a tenth of 12 at a hundredth a day
		got := rootOf(tr.by(13.2), p, 0, 60)
		if math.Abs(got-want) > 0.02*want {
			t.Errorf("quantile %v: %.3f days, want %.3f", p, got, want)
		}
	}
	mean, square := 0.0, 0.0
	for _, one := range tr.branches {
		mean += one.weight * one.rate
		square += one.weight * one.rate * one.rate
	}
	wantMean := 0.01 * math.Exp(0.4*0.4/2)
	wantVariance := wantMean * wantMean * math.Expm1(0.4*0.4)
	if math.Abs(mean-wantMean) > 0.01*wantMean || math.Abs(square-mean*mean-wantVariance) > 0.15*wantVariance {
		t.Errorf("mean %.5f and variance %.3g, want %.5f and %.3g (nodes end at 2.6 standard deviations)",
			mean, square-mean*mean, wantMean, wantVariance)
	}
}

// Summed over sizes of the scatter a level is Student's t: its variance is
// freedom/(freedom-2) of that which is read off the scatter, its kurtosis
// 3 + 6/(freedom-4).
//
// Source: N. L. Johnson, S. Kotz, N. Balakrishnan, Continuous univariate
// distributions 2, 1995, chapter 28.
func TestStudentMoments(t *testing.T) {
	x := []float64{0, 1, 2, 3, 4, 5, 6, 7, 8, 9}
	y := []float64{4.1, 4.9, 6.2, 6.8, 8.1, 9.2, 9.8, 11.1, 12.2, 12.7}
	tr := unknowing(x, y, scatters())
	_, _, _, s := regression(x, y)
	freedom := float64(len(x) - 2)
	var mean, second, fourth float64
	at := stat.Mean(x, nil)
	for i, m := range tr.moments(at) {
		mean += tr.branches[i].weight * m.mean
	}
	for i, m := range tr.moments(at) {
		w, d, v := tr.branches[i].weight, m.mean-mean, m.sd*m.sd
		second += w * (d*d + v)
		fourth += w * (d*d*d*d + 6*d*d*v + 3*v*v)
	}
	if want := s * s / 10 * freedom / (freedom - 2); math.Abs(second-want) > 0.01*want {
		t.Errorf("variance %.5f, want %.5f", second, want)
	}
	if got, want := fourth/second/second, 3+6/(freedom-4); math.Abs(got-want) > 0.1*want {
		t.Errorf("kurtosis %.3f, want %.3f", got, want)
	}
}
