package calibrate

import (
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Agreement compares two lists of stages given to the same halves, such as
// those of a grader and those called. Differences are first - second, in stages.
type Agreement struct {
	N int `json:"n"`
	// Bias is the mean difference with its 95 % interval, SD the standard
	// deviation of the differences.
	Bias     float64 `json:"bias"`
	BiasLow  float64 `json:"bias_low"`
	BiasHigh float64 `json:"bias_high"`
	SD       float64 `json:"sd"`
	// Low and High are the 95 % limits of agreement: of one half in twenty the
	// difference lies outside. Margin is the half width of the 95 % interval of
	// either limit.
	Low    float64 `json:"low"`
	High   float64 `json:"high"`
	Margin float64 `json:"margin"`
	// Concordance is Lin's coefficient, 1 for two lists that are the same, with
	// its 95 % interval; 0 where one list has a single stage.
	Concordance     float64 `json:"concordance"`
	ConcordanceLow  float64 `json:"concordance_low"`
	ConcordanceHigh float64 `json:"concordance_high"`
	// Kappa is the linearly weighted kappa of whole stages; 0 where all are the same.
	Kappa float64 `json:"kappa"`
}

// fewestPairs is the least number of pairs that agreement is told of: with three
// the interval of the limits can be given, if wide.
const fewestPairs = 3

// agree compares two lists of the same length, fewestPairs or more.
func agree(a, b []float64, scale Scale) Agreement {
	out := limitsOf(a, b)
	out.Concordance, out.ConcordanceLow, out.ConcordanceHigh = concordance(a, b)
	out.Kappa = weightedKappa(stageTable(a, b, scale), linear)
	return out
}

// limitsOf gives bias and limits of agreement.
//
// Source: J. M. Bland and D. G. Altman, Statistical Methods for Assessing
// Agreement between Two Methods of Clinical Measurement, 1986: limits mean ±
// 1.96 SD; standard errors SD/√n of the bias and √(3 SD²/n) of a limit; t with
// n-1 degrees of freedom.
func limitsOf(a, b []float64) Agreement {
	differences := make([]float64, len(a))
	for i := range a {
		differences[i] = a[i] - b[i]
	}
	n := float64(len(a))
	mean, sd := stat.MeanStdDev(differences, nil)
	z := distuv.UnitNormal.Quantile(0.975)
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: n - 1}.Quantile(0.975)
	margin := t * sd / math.Sqrt(n)
	return Agreement{
		N: len(a), Bias: mean, BiasLow: mean - margin, BiasHigh: mean + margin, SD: sd,
		Low: mean - z*sd, High: mean + z*sd, Margin: t * math.Sqrt(3*sd*sd/n),
	}
}

// concordance is Lin's coefficient with its 95 % interval by the inverse
// hyperbolic tangent.
//
// Source: L. I-K. Lin, A Concordance Correlation Coefficient to Evaluate
// Reproducibility, 1989, with variances over n.
func concordance(a, b []float64) (value, low, high float64) {
	n := float64(len(a))
	meanA, varA := stat.PopMeanVariance(a, nil)
	meanB, varB := stat.PopMeanVariance(b, nil)
	covariance := stat.Covariance(a, b, nil) * (n - 1) / n
	value = 2 * covariance / (varA + varB + sq(meanA-meanB))
	r := covariance / math.Sqrt(varA*varB)
	if math.IsNaN(value) || math.IsNaN(r) || r == 0 {
		return 0, 0, 0
	}
	if math.Abs(value) >= 1 {
		return value, value, value
	}
	u2 := sq(meanA-meanB) / math.Sqrt(varA*varB)
	v2 := sq(value)
	variance := ((1-r*r)*v2/((1-v2)*r*r) + 2*v2*value*(1-value)*u2/(r*sq(1-v2)) - v2*v2*u2*u2/(2*r*r*sq(1-v2))) / (n - 2)
	z, half := math.Atanh(value), distuv.UnitNormal.Quantile(0.975)*math.Sqrt(math.Max(0, variance))
	return value, math.Tanh(z - half), math.Tanh(z + half)
}

// weighting says how much two categories disagree that are so far apart, as
// a share of the farthest.
type weighting func(share float64) float64

func linear(share float64) float64 { return share }

// weightedKappa is the agreement beyond chance of a square table of counts: 1
// for full agreement, 0 for what chance would give. It is 0 where only one
// category occurs.
//
// Source: J. Cohen, Weighted Kappa, 1968.
func weightedKappa(table [][]float64, disagrees weighting) float64 {
	n := len(table)
	total := 0.0
	rows, columns := make([]float64, n), make([]float64, n)
	for i, row := range table {
		for j, count := range row {
			rows[i] += count
			columns[j] += count
			total += count
		}
	}
	seen, chance := 0.0, 0.0
	for i, row := range table {
		for j, count := range row {
			w := disagrees(math.Abs(float64(i-j)) / float64(n-1))
			seen += w * count / total
			chance += w * rows[i] * columns[j] / (total * total)
		}
	}
	if chance == 0 {
		return 0
	}
	return 1 - seen/chance
}

// stageTable counts pairs of stages, each rounded to the next whole one from
// the stained end.
func stageTable(a, b []float64, scale Scale) [][]float64 {
	n := int(math.Ceil(scale.Span())) + 1
	table := make([][]float64, n)
	for i := range table {
		table[i] = make([]float64, n)
	}
	at := func(stage float64) int { return min(n-1, int(math.Round(scale.position(stage)))) }
	for i := range a {
		table[at(a[i])][at(b[i])]++
	}
	return table
}
