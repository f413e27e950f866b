package scoring

import (
	"math"
	"testing"
)

func TestTenthAndPercent(t *testing.T) {
	for _, row := range []struct {
		x              float64
		tenth, percent string
	}{
		{3.05, "3.1", "305"},
		{3.0494, "3.0", "305"},     // 3.049 -> 3.0, 304.9 -> 305
		{3.55 + 0.3, "3.9", "385"}, // 3.8499999999999996 is 3.85 to the millionth
		{0.655, "0.7", "66"},
		{1, "1.0", "100"},
		{0, "0.0", "0"},
	} {
		if got := Tenth(row.x); got != row.tenth {
			t.Errorf("tenth of %v: %s, want %s", row.x, got, row.tenth)
		}
		if got := Percent(row.x); got != row.percent {
			t.Errorf("percent of %v: %s, want %s", row.x, got, row.percent)
		}
	}
	if got := Tenth(math.NaN()); got != "NaN" {
		t.Errorf("not a number: %s", got)
	}
}

func TestNumbers(t *testing.T) {
	for _, row := range []struct {
		in   []int
		want string
	}{{nil, ""}, {[]int{3}, "3"}, {[]int{3, 7}, "3 and 7"}, {[]int{3, 7, 9}, "3, 7 and 9"}} {
		if got := Numbers(row.in); got != row.want {
			t.Errorf("%v: %q, want %q", row.in, got, row.want)
		}
	}
}
