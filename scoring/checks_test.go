package scoring

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"traystage/calibrate"
)

// checkRows reads one file of published values; each row by column name.
func checkRows(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "testdata", "checks", name))
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

// Quantiles of Student's t in the layout of NIST/SEMATECH e-Handbook 1.3.6.7.2.
func TestStudentTAgainstTable(t *testing.T) {
	checked := 0
	for _, row := range checkRows(t, "student_t.csv") {
		freedom := math.Inf(1)
		if row["df"] != "inf" {
			freedom = number(t, row["df"])
		}
		p, want := number(t, row["p"]), number(t, row["t"])
		if got := tQuantile(p, freedom); math.Abs(got-want) > 1e-6*want {
			t.Errorf("t(%v, %s) = %.9f, table has %.9f", p, row["df"], got, want)
		}
		checked++
	}
	if checked < 150 {
		t.Errorf("only %d rows checked", checked)
	}
}

// Grubbs' critical values by the formula of NIST/SEMATECH e-Handbook 1.3.5.17.1.
func TestGrubbsAgainstFormulaRows(t *testing.T) {
	checked := 0
	for _, row := range checkRows(t, "grubbs_critical.csv") {
		if row["how"] != "computed" {
			continue // a printed table that strays from the formula by up to 0.012
		}
		n, level := int(number(t, row["n"])), number(t, row["alpha"])
		if row["side"] == "one-sided" {
			level *= 2 // t at level/n instead of level/(2n)
		}
		want := number(t, row["critical_computed"])
		if got := grubbsCritical(n, level); math.Abs(got-want) > 2e-6 {
			t.Errorf("n %d, %s %s: %.6f, want %.6f", n, row["alpha"], row["side"], got, want)
		}
		checked++
	}
	if checked < 100 {
		t.Errorf("only %d rows checked", checked)
	}
}

// values reads a file with one column of numbers.
func values(t *testing.T, name string) []float64 {
	var out []float64
	for _, row := range checkRows(t, name) {
		out = append(out, number(t, row["value"]))
	}
	return out
}

// summarizeValues puts plain numbers through Summarize on a scale wide enough
// to hold them.
func summarizeValues(values []float64) Summary {
	var fruit []Fruit
	for i, v := range values {
		fruit = append(fruit, Fruit{Number: i + 1, Call: calibrate.Call{Stage: v}})
	}
	ref := Reference{Scale: calibrate.Scale{Stained: -1e4, Clear: 1e4, Step: 0.1}, Calibrated: true}
	return Summarize(fruit, ref, 0)
}

// The uranium isotope data of Tietjen and Moore, 1972, in NIST/SEMATECH
// e-Handbook 1.3.5.17.1 (typed from memory): G = 2.4687, an outlier.
func TestGrubbsFindsUraniumOutlier(t *testing.T) {
	s := summarizeValues(values(t, "grubbs_uranium.csv"))
	if s.Outlier == nil || s.Outlier.Number != 8 {
		t.Fatalf("outlier %v, want value 8", s.Outlier)
	}
	if math.Abs(s.Outlier.G-2.468764611) > 1e-8 {
		t.Errorf("G %.9f, want 2.468764611", s.Outlier.G)
	}
	if s.N != 8 || math.Abs(s.Mean-stat.Mean(values(t, "grubbs_uranium.csv"), nil)) > 1e-9 {
		t.Errorf("the outlier left the mean: n %d, mean %v", s.N, s.Mean)
	}
}

// Certified means and standard deviations of the NIST Statistical Reference
// Datasets, univariate.
func TestMeanAndSDAgainstNIST(t *testing.T) {
	for _, set := range []string{"Lew", "Lottery", "Mavro", "Michelso"} {
		s := summarizeValues(values(t, "nist_"+strings.ToLower(set)+".csv"))
		got := map[string]float64{"n": float64(s.N), "mean": s.Mean, "standard deviation": s.SD}
		checked := 0
		for _, row := range checkRows(t, "statistics.csv") {
			value, ok := got[row["quantity"]]
			if row["topic"] != "nist_strd" || row["case"] != set || !ok {
				continue
			}
			want := number(t, row["value"])
			if math.Abs(value-want) > 1e-10*math.Abs(want) {
				t.Errorf("%s %s: %.15g, certified %.15g", set, row["quantity"], value, want)
			}
			checked++
		}
		if checked != 3 {
			t.Errorf("%s: %d figures checked, want 3", set, checked)
		}
	}
}

// The 95 % interval of the mean of Michelso, and sample sizes for a wanted
// interval, both in statistics.csv.
func TestIntervalAndSizeAgainstChecks(t *testing.T) {
	s := summarizeValues(values(t, "nist_michelso.csv"))
	width := meanInterval(s.SD, s.N, Common{}, 0.95)
	if low, high := s.Mean-width, s.Mean+width; math.Abs(low-299.836723) > 2e-6 || math.Abs(high-299.868077) > 2e-6 {
		t.Errorf("Michelso: %.6f to %.6f, want 299.836723 to 299.868077", low, high)
	}
	for _, row := range []struct {
		width, confidence, sd float64
		want                  int
	}{
		{5, 0.99, 17, 81},
		{0.5, 0.95, 1.0, 18},
		{0.5, 0.95, 1.5, 38},
		{0.3, 0.95, 1.2, 64},
		{1, 0.95, 1.0, 7},
		{0.5, 0.95, 0.8, 13},
		{0.25, 0.95, 1.6, 160},
	} {
		got, ok := fruitNeeded(row.sd, Common{}, row.width, row.confidence)
		if !ok || got != row.want {
			t.Errorf("± %v at %v with sd %v: %d fruit, want %d", row.width, row.confidence, row.sd, got, row.want)
		}
	}
}

// The series meets the inverted distribution where one takes the other's place.
func TestStudentTSeries(t *testing.T) {
	for _, freedom := range []float64{18, 18.5, 25.3, 190, 4e5} {
		for _, p := range []float64{0.03, 0.5, 0.8, 0.95, 0.977} {
			want := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: freedom}.Quantile(p)
			if got := tQuantile(p, freedom); math.Abs(got-want) > 1e-6 {
				t.Errorf("t(%v, %v) = %.9f, want %.9f", p, freedom, got, want)
			}
		}
	}
}
