package grades

import (
	"fmt"
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
		"numbered without header": {"1;2\n2;3\n", []float64{2, 3}},
		"words in the header":     {"Fruit no.;Starch stage (1-8)\n1;2,6\n2;3\n", []float64{2.6, 3}},
		"tabs":                    {"stage\thalf\n2,6\t1\n3\t2\n", []float64{2.6, 3}},
		"decimal commas alone":    {"stage\n2,6\n3\n", []float64{2.6, 3}},
		"quoted decimal commas":   {"half,stage\n1,\"2,6\"\n2,3\n", []float64{2.6, 3}},
		"quoted alone":            {"\"stage\"\n\"2,6\"\n3\n", []float64{2.6, 3}},
		"first half not graded":   {"\n2\n", []float64{none, 2}},
		"rows left by a sheet":    {"half;stage\n1;2\n2;\n;\n;\n", []float64{2, none}},
		"other columns":           {"stage,by,half\n2,M,1\n3,M,2\n", []float64{2, 3}},
		"empty line":              {"1\n\n3\n", []float64{1, none, 3}},
		"German headings":         {"Hälfte;Stärkestufe;Stufe (1-8)\n1;x;2,5\n2;y;3\n", []float64{2.5, 3}},
		"French headings":         {"Fruit n°;indice d'amidon\n1;2,5\n2;3\n", []float64{2.5, 3}},
		"Spanish headings":        {"Mitad;Estadio\n1;2,5\n2;3\n", []float64{2.5, 3}},
		"Italian headings":        {"Metà;Stadio\n1;2,5\n2;3\n", []float64{2.5, 3}},
		"dash for not graded":     {"stage\n1\n-\n", []float64{1, none}},
	} {
		t.Run(name, func(t *testing.T) {
			gradings, err := ParseFile([]byte(c.file))
			if err != nil || len(gradings) != 1 {
				t.Fatalf("%v, %v; want one grader", gradings, err)
			}
			got := gradings[0].Stages
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
		"half,stage\n\"1,2\n":    "a quotation mark",
		"\xff\xfe1":              "begins as UTF-16",
		"x,stage\n1\n":           "row 2: has 1 columns",
		"stage\n\n":              "holds no stages",
		"half;stage\n":           "holds no stages",
		// The row is the line in the file, whatever stands above it.
		"half,stage\n1,2\n\n2,x\n": `row 4: "x" is not a stage`,
		// What can be read in two ways is not read in either.
		"half,stage\n1,2,6\n": "row 2: has 3 columns and row 1 has 2; write decimals with a point",
		"1,5\n2,5\n3,5\n":     "row 1: has 2 columns and no heading; put half and stage above",
		"1,2,3,4\n":           "row 1: has 4 columns and no heading",
		"stage,grade\n1,2\n":  `row 1: the columns "stage" and "grade" both look like stages`,
	} {
		if _, err := ParseFile([]byte(file)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: error %v, want one with %q", file, err, want)
		}
	}
}

func TestSeveralGraders(t *testing.T) {
	none := math.NaN()
	for name, file := range map[string]string{
		"a column a grader":       "half,AB,CD\n1,2,2.5\n2,,3\n3,4,\n",
		"decimal commas":          "half;AB;CD;\n1;2;2,5;\n2;;3;\n3;4;-;\n",
		"a row a grade":           "half,stage,by\n1,2,AB\n1,2.5,CD\n2,3,CD\n3,4,AB\n",
		"rows headed differently": "Grader,Half,Starch index\nAB,1,2\nCD,1,2.5\nCD,2,3\nAB,3,4\nCD,3,\n",
	} {
		got, err := ParseFile([]byte(file))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		want := []Grading{{"AB", []float64{2, none, 4}}, {"CD", []float64{2.5, 3, none}}}
		if fmt.Sprint(got) != fmt.Sprint(want) { // NaN is not equal to itself
			t.Errorf("%s: %v, want %v", name, got, want)
		}
	}
	for file, want := range map[string]string{
		"half,AB,AB\n1,2,3\n":             `two columns are headed "AB"`,
		"half,colour of it\n1,2\n":        `"colour of it" heads none of a grader`,
		"half,stage,by\n1,2,AB\n1,3,AB\n": `row 3: half 1 is graded twice by "AB"`,
		"half,stage,by\n1,2,AB\n3,3,AB\n": `row 3: half "3" where half 2 is due`,
		"half,stage,by\n1,2,Anna Bell\n":  `row 2: initials "Anna Bell"`,
		"half,AB,CD\n1,2,ripe\n":          `row 2: "ripe" is not a stage`,
		"half,AB,CD\n1,2\n":               "row 2: has 2 columns and the stage should be in column 3",
		"half,stage,grade,by\n1,2,3,AB\n": "both look like stages",
		"half,by,initials\n1,AB,AB\n":     "no column is headed stage",
	} {
		if _, err := ParseFile([]byte(file)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: error %v, want one with %q", file, err, want)
		}
	}
}

// Whatever a file holds, it is read as numbers and blanks or refused.
func FuzzStages(f *testing.F) {
	for _, s := range []string{"1\n2\n", "half;stage\n1;2,5\n", "stage\n-\n", "\"", "\ufeff", "1,2,3", "NaN\n", "1e999\n", "half,AB,CD\n1,2,3\n", "half;stage;by\n1;2;AB\n1;3;CD\n"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		gradings, err := ParseFile(b)
		if err != nil {
			return
		}
		if len(gradings) == 0 {
			t.Error("neither stages nor an error")
		}
		for _, g := range gradings {
			if len(g.Stages) == 0 || len(g.Stages) != len(gradings[0].Stages) {
				t.Errorf("%d stages by %q where the first grader has %d", len(g.Stages), g.By, len(gradings[0].Stages))
			}
			for _, s := range g.Stages {
				if math.IsInf(s, 0) {
					t.Errorf("stage %v", s)
				}
			}
		}
	})
}
