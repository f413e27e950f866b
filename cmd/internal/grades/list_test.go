package grades

import (
	"errors"
	"math"
	"strings"
	"testing"

	"traystage/cmd/internal/fault"
)

func TestParseStagesList(t *testing.T) {
	none := math.NaN()
	for list, want := range map[string][]float64{
		"1,2.5,8":     {1, 2.5, 8},
		"2.6,,4.4":    {2.6, none, 4.4},
		" 1 , - , 3 ": {1, none, 3},
		",":           {none, none},
	} {
		got, err := parseList(list)
		if err != nil || len(got) != len(want) {
			t.Errorf("%q: %v, %v, want %v", list, got, err, want)
			continue
		}
		for i := range got {
			if got[i] != want[i] && !(math.IsNaN(got[i]) && math.IsNaN(want[i])) {
				t.Errorf("%q: stage %d is %v, want %v", list, i+1, got[i], want[i])
			}
		}
	}
	for _, list := range []string{"1,ripe", "1,NaN", "1,Inf", "1,1e999", "1,2;3"} {
		_, err := parseList(list)
		var wrong fault.Usage
		if !errors.As(err, &wrong) || !strings.Contains(err.Error(), "--stages: entry 2: ") {
			t.Errorf("%q: error %v, want a wrong use that names entry 2", list, err)
		}
	}
}

// A list has a stage or a blank for every entry, or is refused as wrong use.
func FuzzStagesList(f *testing.F) {
	for _, s := range []string{"", "1,2,3", "2.6,,4.4", " - ,1", "NaN", "1,Inf", "1e999", "0x1p4", "1_0", "\xff,1", "\x00"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, list string) {
		stages, err := parseList(list)
		if err != nil {
			var wrong fault.Usage
			if !errors.As(err, &wrong) {
				t.Errorf("%q: %v is not told as wrong use", list, err)
			}
			return
		}
		if got, want := len(stages), strings.Count(list, ",")+1; got != want {
			t.Errorf("%q: %d stages of %d entries", list, got, want)
		}
		for i, field := range strings.Split(list, ",") {
			blank := strings.Trim(strings.TrimSpace(field), "-") == ""
			if math.IsInf(stages[i], 0) || math.IsNaN(stages[i]) != blank {
				t.Errorf("%q: entry %d is read as %v", list, i+1, stages[i])
			}
		}
	})
}

// Forty halves graded to the tenth make a list longer than a file's name can be.
func TestLongListOfStages(t *testing.T) {
	got, err := Read(strings.TrimSuffix(strings.Repeat("10.0, ", 50), ", "))
	if err != nil || len(got) != 1 || len(got[0].Stages) != 50 {
		t.Errorf("%v, %v; want 50 stages of one grader", got, err)
	}
}
