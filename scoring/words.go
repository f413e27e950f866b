package scoring

import (
	"math"
	"strconv"
	"strings"
)

// Tenth is a stage as people read it: "3.4". It rounds the millionth that
// programs are given, halves away from zero, so that a page, a table and the
// figures behind them always tell the same.
func Tenth(stage float64) string {
	return fixed(stage, 1)
}

// Percent is a fraction in whole percent, without the sign: "63". It rounds
// like Tenth.
func Percent(fraction float64) string {
	return strconv.FormatFloat(math.Round(millionths(fraction)/1e4), 'f', 0, 64)
}

// fixed is a number with so many decimals, 0 to 3, rounded like Tenth.
func fixed(x float64, decimals int) string {
	power := math.Pow10(decimals)
	return strconv.FormatFloat(math.Round(millionths(x)*power/1e6)/power, 'f', decimals, 64)
}

// list joins words as people write them: "a", "a and b", "a, b and c".
func list(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " and " + words[last]
}

func millionths(x float64) float64 { return math.Round(1e6 * x) }

// Numbers lists numbers as people write them: "3", "3 and 7", "3, 7 and 9".
func Numbers(numbers []int) string {
	words := make([]string, len(numbers))
	for i, n := range numbers {
		words[i] = strconv.Itoa(n)
	}
	return list(words)
}
