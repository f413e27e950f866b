package main

import (
	"math"
	"strings"
	"testing"
)

func TestParseStagesFile(t *testing.T) {
	none := math.NaN()
	for name, c := range map[string]struct {
		file string
		want []float64
	}{
		"one a row":               {"1\n2.5\n3\n", []float64{1, 2.5, 3}},
		"headed, with blanks":     {"half,stage\n1,2\n2,\n3,4.5\n", []float64{2, none, 4.5}},
		"semicolons and commas":   {"Half;Stage\n1;2,5\n2;3\n", []float64{2.5, 3}},
		"byte order mark, CRLF":   {"\ufeffstage\r\n1\r\n8\r\n", []float64{1, 8}},
		"numbered without header": {"1,2\n2,3\n", []float64{2, 3}},
		"empty line":              {"1\n\n3\n", []float64{1, none, 3}},
		"dash for not graded":     {"stage\n1\n-\n", []float64{1, none}},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := parseStagesFile([]byte(c.file))
			if err != nil {
				t.Fatal(err)
			}
			if len(got) != len(c.want) {
				t.Fatalf("%v, want %v", got, c.want)
			}
			for i := range got {
				if got[i] != c.want[i] && !(math.IsNaN(got[i]) && math.IsNaN(c.want[i])) {
					t.Errorf("stage %d is %v, want %v", i+1, got[i], c.want[i])
				}
			}
		})
	}
}

func TestParseStagesFileTellsTheRow(t *testing.T) {
	for file, want := range map[string]string{
		"":                       "holds no stages",
		"stage\n1\nripe\n":       `row 3: "ripe" is not a stage`,
		"half,stage\n1,2\n3,4\n": `row 3: half "3" where half 2 is due`,
		"a,b\n1,2\n":             "no column is headed stage",
		"stage\n\"1\n":           "not a CSV file",
		"\xff\xfe1":              "not plain text",
		"x,stage\n1\n":           "row 2: has 1 columns",
	} {
		if _, err := parseStagesFile([]byte(file)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: error %v, want one with %q", file, err, want)
		}
	}
}

// Whatever a file holds, it is read as numbers and blanks or refused.
func FuzzStages(f *testing.F) {
	for _, s := range []string{"1\n2\n", "half;stage\n1;2,5\n", "stage\n-\n", "\"", "\ufeff", "1,2,3", "NaN\n", "1e999\n"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		stages, err := parseStagesFile(b)
		if err != nil {
			return
		}
		if len(stages) == 0 {
			t.Error("neither stages nor an error")
		}
		for _, s := range stages {
			if math.IsInf(s, 0) {
				t.Errorf("stage %v", s)
			}
		}
	})
}

func TestParseScale(t *testing.T) {
	for text, ends := range map[string][2]float64{"1-8": {1, 8}, "10-1": {10, 1}, "0-9": {0, 9}, " 1 - 6 ": {1, 6}} {
		got, err := parseScale(text, 0.1)
		if err != nil || got.Stained != ends[0] || got.Clear != ends[1] {
			t.Errorf("%q: %+v, %v", text, got, err)
		}
	}
	for _, text := range []string{"", "8", "a-b", "3-3", "1-"} {
		if got, err := parseScale(text, 0.1); err == nil {
			t.Errorf("%q passes for the scale %+v", text, got)
		}
	}
}

// Forty halves graded to the tenth make a list longer than a file's name can be.
func TestLongListOfStages(t *testing.T) {
	got, err := readStages(strings.TrimSuffix(strings.Repeat("10.0, ", 50), ", "))
	if err != nil || len(got) != 50 {
		t.Errorf("%d stages, %v", len(got), err)
	}
}
