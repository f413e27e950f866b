package instrument

import (
	"fmt"
	"strconv"
	"strings"

	"traystage/vision/note"
)

// ParseNumber reads a plain decimal number, finite, with a point or a comma:
// "17.2", "17,2", "-0.5". Anything that could be read in two ways is refused,
// such as thousands set apart, or is not how a tester writes: more than nine
// digits before or six behind the point.
func ParseNumber(s string) (float64, error) {
	text := strings.TrimSpace(s)
	digits := strings.TrimLeft(text, "+-")
	whole, part, _ := strings.Cut(strings.Replace(digits, ",", ".", 1), ".")
	if len(text)-len(digits) > 1 || whole+part == "" || len(whole) > 9 || len(part) > 6 || !onlyDigits(whole+part) {
		return 0, fmt.Errorf("%q is not a number; write it like 17.2", text)
	}
	return strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
}

func onlyDigits(s string) bool {
	return strings.Trim(s, "0123456789") == ""
}

// asRead is a figure with the decimals that it was written with, up to three.
func asRead(name string, x float64, unit string) note.Value {
	_, part, _ := strings.Cut(decimal(x), ".")
	return note.Figure(name, x, min(len(part), 3), unit)
}
