package document

import (
	"math"
	"testing"
	"time"

	"traystage/scoring"
)

func TestDecimal(t *testing.T) {
	for _, row := range []struct {
		x      float64
		digits int
		want   string
	}{
		{3.44, 1, "3.4"}, {3.45, 1, "3.5"}, {2.25, 1, "2.3"}, {-2.25, 1, "−2.3"},
		// The millionth is rounded first: 3.4499996 is 3.450000, and that 3.5.
		{3.4499996, 1, "3.5"}, {3.4496, 1, "3.4"},
		{66.5, 0, "67"}, {0.0854, 3, "0.085"}, {0.44, 2, "0.44"}, {-0.04, 1, "0.0"}, {17, 1, "17.0"},
	} {
		if got := english.Number(row.x, row.digits); got != row.want {
			t.Errorf("%v to %d decimals: %s, want %s", row.x, row.digits, got, row.want)
		}
	}
}

// Documents and the words of package scoring must round alike.
func TestDecimalIsTenth(t *testing.T) {
	for i := range 8000 {
		x := float64(i)/1000 + 0.0004
		if got, want := english.Number(x, 1), scoring.Tenth(x); got != want {
			t.Fatalf("%v: %s here, %s in words", x, got, want)
		}
	}
}

func TestCells(t *testing.T) {
	day := time.Date(2026, 9, 14, 0, 0, 0, 0, time.UTC)
	for _, row := range []struct {
		cell        Cell
		text, plain string
		empty       bool
	}{
		{Word("open"), "open", "open", false},
		{Word(""), "", "", true},
		{Count(0), "0", "0", false},
		{Number(3.45, 1), "3.5", "3.5", false},
		{Number(math.NaN(), 1), "–", "", true},
		{Margin(0.72, 1), "+0.7", "0.7", false},
		{Margin(-0.72, 1), "−0.7", "-0.7", false},
		{Margin(0, 1), "0.0", "0.0", false},
		// A small margin must not read as none, as far as thousandths go.
		{Margin(-0.04, 1), "−0.04", "-0.04", false},
		{Margin(0.004, 1), "+0.004", "0.004", false},
		{Margin(0.0001, 1), "0.000", "0.000", false},
		{Day(day), "14 Sep 2026", "2026-09-14", false},
		{ShortDay(day), "14 Sep", "2026-09-14", false},
		{ShortDay(time.Time{}), "–", "", true},
		{Yes(true, "yes"), "yes", "yes", false},
		{Yes(false, "yes"), "", "no", false},
		{Unknown(), "–", "", true},
		{Between(Number(1, 1), Number(2, 1)), "1.0 to\u00a02.0", "1.0", false},
		{Between(Unknown(), Number(2, 1)), "up to 2.0", "", false},
		{Between(Number(1, 1), Unknown()), "from 1.0", "1.0", false},
		{Between(Unknown(), Unknown()), "–", "", true},
	} {
		if got := row.cell.String(); got != row.text {
			t.Errorf("text %q, want %q", got, row.text)
		}
		if got := row.cell.plain(english); got != row.plain {
			t.Errorf("%q: plain %q, want %q", row.text, got, row.plain)
		}
		if got := row.cell.Empty(); got != row.empty {
			t.Errorf("%q: empty %v", row.text, got)
		}
	}
}

func TestHarmless(t *testing.T) {
	for _, row := range []struct {
		cell Cell
		want string
	}{
		{Word("=1+1"), "'=1+1"}, {Word("-see note"), "'-see note"}, {Word("@x"), "'@x"}, {Word("bruised"), "bruised"},
		{Number(-0.4, 1), "-0.4"}, {Word(""), ""},
	} {
		if got := harmless(row.cell.plain(english), row.cell.value); got != row.want {
			t.Errorf("%q: %q, want %q", row.cell, got, row.want)
		}
	}
}
