package report

import (
	"slices"
	"testing"

	"traystage/scoring"
)

func TestBetween(t *testing.T) {
	for want, plates := range map[string][2]float64{"3 and 4": {3, 4}, "1": {1, 1}, "2.5 and 3.1": {2.5, 3.1}, "8 and 7": {8, 7}} {
		if got := between(plates); got != want {
			t.Errorf("%v: %q, want %q", plates, got, want)
		}
	}
}

func TestDoubtsAreSaidOnce(t *testing.T) {
	f := scored(1, 3)
	f.Call.Reasons = []string{"glare", "wide"}
	f.Remarks = []scoring.Remark{{Text: "glare", Advice: "shade it"}, {Text: "blur", Advice: "shade it"}}
	if got := doubts(f); !slices.Equal(got, []string{"glare", "wide", "blur"}) {
		t.Errorf("doubts %q", got)
	}
	if got := advice(f); !slices.Equal(got, []string{"shade it"}) {
		t.Errorf("advice %q", got)
	}
}
