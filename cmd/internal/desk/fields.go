package desk

import (
	"errors"
	"strconv"
	"strings"
	"time"

	"traystage/cmd/internal/fault"
	"traystage/scoring/instrument"
)

var errTooOften = errors.New("too many at once")

// dayOf reads the value of a date field; empty is the zero day.
func dayOf(text string) (time.Time, error) {
	if text == "" {
		return time.Time{}, nil
	}
	t, err := instrument.ParseDay(text)
	if err != nil {
		return t, fault.Usage{Err: err}
	}
	return t, nil
}

// mostHalves is more than any tray holds.
const mostHalves = 1000

// countOf reads a whole number of things; empty is 0.
func countOf(text string) (int, error) {
	if text == "" {
		return 0, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 || n > mostHalves {
		return 0, fault.Usagef("%q is no number of fruit", text)
	}
	return n, nil
}

// countsOf reads whole numbers with commas or spaces between them.
func countsOf(text string) ([]int, error) {
	var out []int
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ' ' || r == ';' }) {
		n, err := strconv.Atoi(word)
		if err != nil || n < 1 || n > mostHalves {
			return nil, fault.Usagef("%q is no number of a fruit", word)
		}
		out = append(out, n)
	}
	return out, nil
}

// decimal reads a number with a decimal point or comma.
func decimal(text string) (float64, error) {
	x, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(text), ",", ".", 1), 64)
	if err != nil || x != x || x > 1e6 || x < -1e6 {
		return 0, fault.Usagef("%q is no number", text)
	}
	return x, nil
}
