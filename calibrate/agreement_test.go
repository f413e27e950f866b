package calibrate

import (
	"encoding/csv"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// checkRows reads a file of published figures, its heading left off.
func checkRows(t *testing.T, name string) [][]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "testdata", "checks", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows[1:]
}

// publishedValue is a row of testdata/checks/statistics.csv, which names its source.
func publishedValue(t *testing.T, topic, instance, quantity string) string {
	t.Helper()
	for _, row := range checkRows(t, "statistics.csv") {
		if row[0] == topic && strings.HasPrefix(row[1], instance) && strings.HasPrefix(row[2], quantity) {
			return row[3]
		}
	}
	t.Fatalf("statistics.csv has no %s, %s, %s", topic, instance, quantity)
	return ""
}

// peakFlow are the first readings of both meters of Bland and Altman 1986.
func peakFlow(t *testing.T) (wright, mini []float64) {
	for _, row := range checkRows(t, "bland_altman_pefr.csv") {
		wright = append(wright, number(t, row[1]))
		mini = append(mini, number(t, row[2]))
	}
	return wright, mini
}

func TestLimitsOfAgreementAgainstPublished(t *testing.T) {
	wright, mini := peakFlow(t)
	got := limitsOf(wright, mini)
	const of = "PEFR n=17 Wright minus mini"
	for quantity, value := range map[string]float64{
		"mean difference":                   got.Bias,
		"standard deviation of differences": got.SD,
		"lower limit with z 1.959963985":    got.Low,
		"upper limit with z 1.959963985":    got.High,
		"95 % interval of the mean lower":   got.BiasLow,
		"95 % interval of the mean upper":   got.BiasHigh,
	} {
		tolerance := 1e-6
		want := number(t, publishedValue(t, "bland_altman", of, quantity))
		if quantity == "mean difference" || quantity == "standard deviation of differences" {
			tolerance = 0.05 // printed to one decimal
		}
		if math.Abs(value-want) > tolerance {
			t.Errorf("%s: %.9f, published %.9f", quantity, value, want)
		}
	}
	// The paper's own interval of the lower limit is of limits at 2 SD.
	low, high, _ := strings.Cut(publishedValue(t, "bland_altman", of, "95 % interval of the lower limit"), " to ")
	lower := got.Bias - 2*got.SD
	if math.Abs(lower-got.Margin-number(t, low)) > 0.3 || math.Abs(lower+got.Margin-number(t, high)) > 0.3 {
		t.Errorf("lower limit %.1f to %.1f, published %s to %s", lower-got.Margin, lower+got.Margin, low, high)
	}
}

func TestConcordanceAgainstPublished(t *testing.T) {
	wright, mini := peakFlow(t)
	value, low, high := concordance(wright, mini)
	if want := number(t, publishedValue(t, "lin_ccc", "PEFR", "rho_c (variances with n;")); math.Abs(value-want) > 1e-9 {
		t.Errorf("concordance %.10f, published %.10f", value, want)
	}
	a, b, _ := strings.Cut(publishedValue(t, "lin_ccc", "PEFR", "95 % interval (z-transform)"), " to ")
	if math.Abs(low-number(t, a)) > 1e-6 || math.Abs(high-number(t, b)) > 1e-6 {
		t.Errorf("interval %.10f to %.10f, published %s to %s", low, high, a, b)
	}
	if v, _, _ := concordance(wright, wright); math.Abs(v-1) > tiny {
		t.Errorf("a list with itself: %g", v)
	}
	if v, _, _ := concordance([]float64{2, 2, 2}, []float64{2, 2, 2}); v != 0 {
		t.Errorf("a single stage: %g", v)
	}
}

func quadratic(share float64) float64 { return share * share }

func unweighted(share float64) float64 {
	if share > 0 {
		return 1
	}
	return 0
}

func TestKappaAgainstPublished(t *testing.T) {
	square := func(name string) [][]float64 {
		var out [][]float64
		for _, row := range checkRows(t, name) {
			var line []float64
			for _, v := range row[1:] {
				line = append(line, number(t, v))
			}
			out = append(out, line)
		}
		return out
	}
	// Weights go by the place of a level among those that occur: 1 2 3 4 6.
	levels := []string{"1", "2", "3", "4", "6"}
	anxiety := make([][]float64, len(levels))
	for i := range anxiety {
		anxiety[i] = make([]float64, len(levels))
	}
	for _, row := range checkRows(t, "kappa_anxiety.csv") {
		anxiety[slices.Index(levels, row[2])][slices.Index(levels, row[3])]++
	}
	weights := map[string]weighting{"unweighted": unweighted, "linear": linear, "quadratic": quadratic}
	tested := 0
	for _, row := range checkRows(t, "statistics.csv") {
		if row[0] != "weighted_kappa" || weights[row[2]] == nil {
			continue
		}
		table := anxiety
		if row[5] != "kappa_anxiety.csv" {
			table = square(row[5])
		}
		got, want, tolerance := weightedKappa(table, weights[row[2]]), number(t, row[3]), number(t, row[4])
		if math.Abs(got-want) > tolerance {
			t.Errorf("%s, %s: %.7f, published %s", row[1], row[2], got, row[3])
		}
		tested++
	}
	if tested < 8 {
		t.Errorf("%d values tested, want 8 or more", tested)
	}
	if got := weightedKappa([][]float64{{5, 0}, {0, 0}}, linear); got != 0 {
		t.Errorf("one category alone: %g", got)
	}
}

func TestStageTable(t *testing.T) {
	got := stageTable([]float64{1, 2.4, 8}, []float64{1.4, 2.6, 7.6}, oneToEight)
	if got[0][0] != 1 || got[1][2] != 1 || got[7][7] != 1 {
		t.Errorf("pairs 1-1, 2-3 and 8-8 are counted as %v", got)
	}
}

// The monotone values nearest in least squares are given by the max-min formula
// (T. Robertson, F. T. Wright and R. L. Dykstra, Order Restricted Statistical
// Inference, 1988): the least over s before of the largest mean from s to t after.
func TestNeverRisingAgainstMaxMin(t *testing.T) {
	for seed := range uint64(50) {
		rng := rand.New(rand.NewPCG(seed, 11))
		v := make([]float64, 1+rng.IntN(12))
		for i := range v {
			v[i] = rng.NormFloat64() - 0.2*float64(i)
		}
		got := neverRising(v)
		for i := range v {
			want := math.Inf(1)
			for s := 0; s <= i; s++ {
				most := math.Inf(-1)
				for e := i; e < len(v); e++ {
					sum := 0.0
					for _, x := range v[s : e+1] {
						sum += x
					}
					most = math.Max(most, sum/float64(e-s+1))
				}
				want = math.Min(want, most)
			}
			if math.Abs(got[i]-want) > 1e-12 {
				t.Fatalf("seed %d: value %d of %v becomes %g, want %g", seed, i, v, got[i], want)
			}
		}
	}
}
