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
	"time"

	"gonum.org/v1/gonum/stat"
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

// regression is an ordinary least-squares line about the mean of x, with the
// residual standard deviation s and the uncertainties that follow from it.
func regression(x, y []float64) (l line, centre, s float64) {
	centre = stat.Mean(x, nil)
	var n normal
	for i := range x {
		n.add(x[i]-centre, 1, y[i])
	}
	l = n.solve()
	rss := 0.0
	for i := range x {
		rss += math.Pow(y[i]-l.at(x[i]-centre), 2)
	}
	s = math.Sqrt(rss / float64(len(x)-2))
	l.vl, l.vs, l.cov = l.vl*s*s, l.vs*s*s, l.cov*s*s
	return l, centre, s
}

// Norris of the NIST Statistical Reference Datasets, linear regression.
func TestLineAgainstNIST(t *testing.T) {
	x, y := columns(t, "nist_norris.csv", "x", "y")
	l, centre, s := regression(x, y)
	got := map[string]float64{
		"B0": l.at(-centre), "B1": l.slope,
		"sd of B0": l.standard(-centre), "sd of B1": l.standard(1e9) / 1e9,
		"residual standard deviation": s,
	}
	checked := 0
	for _, row := range checkRows(t, "statistics.csv") {
		value, ok := got[row["quantity"]]
		if row["case"] != "Norris" || !ok {
			continue
		}
		want := number(t, row["value"])
		if math.Abs(value-want) > 1e-9*math.Abs(want) {
			t.Errorf("%s: %.15g, certified %.15g", row["quantity"], value, want)
		}
		checked++
	}
	if checked != len(got) {
		t.Errorf("%d figures checked, want %d", checked, len(got))
	}
}

// The worked examples of inverse prediction in Graybill and Iyer, Regression
// analysis: concepts and applications, 1994, and in Greenwell and Schubert
// Kabban, investr, R Journal 2014: 18 printed estimates and limits. A new
// reading is a target that has the residual scatter of its own.
func TestForecastAgainstInversePrediction(t *testing.T) {
	files := map[string][3]string{ // by the first words of the case: file, x, y
		"thermometer":      {"calibration_thermometer.csv", "temp", "read"},
		"reaction chamber": {"calibration_chamber.csv", "dial", "temp"},
		"crystal weight":   {"calibration_crystal.csv", "time_h", "weight_g"},
		"arsenic":          {"calibration_arsenic.csv", "actual", "measured"},
	}
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
		x, y := columns(t, file[0], file[1], file[2])
		l, centre, s := regression(x, y)
		tr := &Trend{course: Rising(), freedom: float64(len(x) - 2), chances: []chance{{line: l, weight: 1}}}
		if strings.Contains(rest, "new reading") {
			tr.common = s
		}
		p := map[string]float64{"estimate": 0.5, "lower": (1 - level/100) / 2, "upper": (1 + level/100) / 2}[row["quantity"]]
		got, ok := crossing(tr.by(target), p, -200, 200)
		want := number(t, row["value"])
		_, decimals, _ := strings.Cut(row["value"], ".")
		if digit := math.Pow(10, -float64(len(decimals))); !ok || math.Abs(got+centre-want) > digit/2+1e-9 {
			t.Errorf("%s, %s: %.6f, printed %s", row["case"], row["quantity"], got+centre, row["value"])
		}
		checked++
	}
	if checked != 18 {
		t.Errorf("%d figures checked, want 18", checked)
	}
}

// Quantiles of Student's t in the layout of NIST/SEMATECH e-Handbook 1.3.6.7.2.
func TestStudentAgainstTable(t *testing.T) {
	checked := 0
	for _, row := range checkRows(t, "student_t.csv") {
		freedom := math.Inf(1)
		if row["df"] != "inf" {
			freedom = number(t, row["df"])
		}
		if p := student(number(t, row["t"]), freedom); math.Abs(p-number(t, row["p"])) > 1e-8 {
			t.Errorf("df %s: P(t < %s) = %.9f, table has %s", row["df"], row["t"], p, row["p"])
		}
		checked++
	}
	if checked < 150 {
		t.Errorf("only %d rows checked", checked)
	}
}

// series is a published season of one cultivar: days from its first, and a
// column.
func series(t *testing.T, cultivar, column string) (x, y []float64) {
	t.Helper()
	var first time.Time
	for _, row := range checkRows(t, "maturity_series.csv") {
		if row["cultivar"] != cultivar {
			continue
		}
		day, err := time.Parse(time.DateOnly, row["date"])
		if err != nil {
			t.Fatal(err)
		}
		if first.IsZero() {
			first = day
		}
		x = append(x, day.Sub(first).Hours()/24)
		y = append(y, number(t, row[column]))
	}
	return x, y
}

// The lines and the logistic of maturity_trend.csv, computed elsewhere by
// ordinary least squares from the Gala of Michigan State University Extension,
// Southwest Michigan apple maturity report, 4 September 2024.
func TestLinesAgainstPublishedSeason(t *testing.T) {
	published := map[string]float64{}
	for _, row := range checkRows(t, "maturity_trend.csv") {
		if row["cultivar"] == "Gala" {
			published[row["quantity"]], _ = strconv.ParseFloat(row["value"], 64) // ranges of other rows are left at 0
		}
	}
	near := func(what string, got, tolerance float64) {
		t.Helper()
		if want := published[what]; want == 0 || math.Abs(got-want) > tolerance {
			t.Errorf("%s: %.6f, want %.6f", what, got, want)
		}
	}
	for quantity, column := range map[string]string{"starch index": "starch_1_8", "firmness": "firmness_lbf", "soluble solids": "brix"} {
		x, y := series(t, "Gala", column)
		l, _, _ := regression(x, y)
		near(quantity+" least-squares line over the three dates", l.slope, 1e-6)
	}
	x, y := series(t, "Gala", "starch_1_8")
	course := Stage(oneToEight)
	var logits []float64
	for _, v := range y {
		logits = append(logits, course.height(course.progress(v)))
	}
	l, centre, _ := regression(x, logits)
	near("logit slope of (index-1)/7 over the three dates", l.slope, 1e-6)
	for _, target := range []string{"3", "4.5", "6", "7"} {
		at := centre + (course.height(course.progress(number(t, target)))-l.level)/l.slope
		near("day at which the fitted logistic reaches index "+target, at, 1e-4)
	}
}
