package scoring

import (
	"math"
	"strconv"
	"strings"
)

// Tenth is a stage as people read it: "3.4". It rounds the thousandth that
// programs are given, halves away from zero, so that a page, a table and the
// figures behind them always tell the same.
func Tenth(stage float64) string {
	return strconv.FormatFloat(math.Round(thousandths(stage)/100)/10, 'f', 1, 64)
}

// Percent is a fraction in whole percent, without the sign: "63". It rounds
// like Tenth.
func Percent(fraction float64) string {
	return strconv.FormatFloat(math.Round(thousandths(fraction)/10), 'f', 0, 64)
}

func thousandths(x float64) float64 { return math.Round(1000 * x) }

// Numbers lists numbers as people write them: "3", "3 and 7", "3, 7 and 9".
func Numbers(numbers []int) string {
	words := make([]string, len(numbers))
	for i, n := range numbers {
		words[i] = strconv.Itoa(n)
	}
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " and " + words[last]
}
