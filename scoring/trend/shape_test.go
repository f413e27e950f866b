package trend

import (
	"math"
	"testing"
)

// plain fits a course to a published season by ordinary least squares (no
// scatter, no dulled ends) and gives the curve and the root mean square of what
// it leaves.
func plain(c Course, x, y []float64) (curve func(x float64) float64, rms float64) {
	f := fitting{course: c}
	if c.curved() {
		f.known.addSlope(0, 1e-9)
	}
	for i := range x {
		p := c.progress(y[i])
		f.readings = append(f.readings, reading{x: x[i], progress: p, variance: 1e-4, start: c.height(c.inner(p, 0))})
	}
	l := f.descend()
	curve = func(x float64) float64 {
		p, _ := c.bend(l.at(x))
		return c.value(p)
	}
	for i := range x {
		rms += math.Pow(y[i]-curve(x[i]), 2) / float64(len(x))
	}
	return curve, math.Sqrt(rms)
}

// The two seasons of stages in maturity_series.csv (Michigan State University
// Extension, Southwest Michigan reports, 4 and 11 September 2024) against an
// S-curve and a straight line. The longer one, from 1.9 to 7.3 on four dates, is
// an S-curve by far. The shorter one, from 5.0 to 7.6 on three dates, is nearer
// to a line: it lies where the S-curve is all but straight, and its last date is
// the mean of fewer orchards. A line drawn on leaves the scale within a week of
// either, which no mean does.
func TestStageRunsAlongAnSCurve(t *testing.T) {
	for _, row := range []struct {
		cultivar         string
		sCurve, straight float64 // root mean square of what each leaves, stages
	}{
		{"Honeycrisp", 0.381, 0.652},
		{"Gala", 0.257, 0.100},
	} {
		x, y := series(t, row.cultivar, "starch_1_8")
		curve, s := plain(Stage(oneToEight), x, y)
		line, straight := plain(Rising(), x, y)
		if math.Abs(s-row.sCurve) > 0.001 || math.Abs(straight-row.straight) > 0.001 {
			t.Errorf("%s: S-curve leaves %.3f stages, straight line %.3f, want %v and %v",
				row.cultivar, s, straight, row.sCurve, row.straight)
		}
		if week := x[len(x)-1] + 7; line(week) <= oneToEight.Clear || curve(week) >= oneToEight.Clear {
			t.Errorf("%s, a week on: line %.2f, S-curve %.2f, want only the line beyond 8", row.cultivar, line(week), curve(week))
		}
	}
}

// The firmness of the same seasons: a straight line leaves less than an
// exponential decline over both together, and one parameter's meaning (so much
// a week) is what growers speak in.
func TestFirmnessFallsInALine(t *testing.T) {
	var lines, exponentials float64 // sums of squares, lbf²
	for _, cultivar := range []string{"Honeycrisp", "Gala"} {
		x, y := series(t, cultivar, "firmness_lbf")
		_, rms := plain(Falling(), x, y)
		lines += rms * rms * float64(len(x))
		var logs []float64
		for _, v := range y {
			logs = append(logs, math.Log(v))
		}
		l, centre, _ := regression(x, logs)
		for i := range x {
			exponentials += math.Pow(y[i]-math.Exp(l.at(x[i]-centre)), 2)
		}
	}
	if lines >= exponentials {
		t.Errorf("straight lines leave %.2f lbf², exponentials %.2f", lines, exponentials)
	}
}
