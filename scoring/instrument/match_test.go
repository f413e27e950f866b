package instrument

import (
	"strings"
	"testing"
)

func TestMatch(t *testing.T) {
	fruit := func(numbers ...int) []Reading {
		var out []Reading
		for _, n := range numbers {
			out = append(out, Reading{Fruit: n})
		}
		return out
	}
	upTo := func(n int) []Reading {
		var out []Reading
		for i := range n {
			out = append(out, Reading{Fruit: i + 1})
		}
		return out
	}
	for _, c := range []struct {
		readings []Reading
		halves   int
		want     string // up to the semicolon
	}{
		{upTo(20), 20, ""},
		{nil, 0, ""},
		{fruit(3, 1, 2), 3, ""},
		{upTo(21), 20, "21 fruit were read and 20 halves lie on the trays: no half for fruit 21"},
		{upTo(20), 21, "20 fruit were read and 21 halves lie on the trays: no row for half 21"},
		{fruit(1, 2, 4), 3, "3 fruit were read and 3 halves lie on the trays: no half for fruit 4, no row for half 3"},
		{fruit(0, 1, 2), 3, "3 fruit were read and 3 halves lie on the trays: no half for fruit 0, no row for half 3"},
		{nil, 2, "0 fruit were read and 2 halves lie on the trays: no row for half 1 and 2"},
		{fruit(1, 5), 8, "2 fruit were read and 8 halves lie on the trays: no row for half 2 to 4 and 6 to 8"},
	} {
		got := ""
		if err := Match(c.readings, c.halves); err != nil {
			got, _, _ = strings.Cut(err.Error(), ";")
		}
		if got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
