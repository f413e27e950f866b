package stain

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
)

// dimFace is a face darker than the flesh of its tray.
type dimFace struct {
	dimness
	clear  bool    // its brightest level is clear flesh
	weight float64 // share of the face that is read wrongly where that is mistaken
}

// dimFaces are kept in testdata/dim.csv.
func dimFaces(t *testing.T) (out []dimFace) {
	t.Helper()
	file, err := os.Open("testdata/dim.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows[1:] {
		number := func(column int) float64 {
			if row[column] == "" {
				return math.NaN()
			}
			v, err := strconv.ParseFloat(row[column], 64)
			if err != nil {
				t.Fatal(err)
			}
			return v
		}
		out = append(out, dimFace{dimness{number(3), number(4), number(5), number(6), number(7), number(8)}, row[1] == "1", number(2)})
	}
	return out
}

// What the signs are worth on faces of all painters; each of them moved by 30 % shows.
func TestDimness(t *testing.T) {
	const worth = 0.4362
	var sum, all float64
	right, wrong, unsure, wrongUnsure := 0, 0, 0, 0
	for _, f := range dimFaces(t) {
		e := f.dimness.clear()
		switch {
		case e > 0 && f.clear:
			right++
		case e > 0:
			wrong++
		}
		if math.Abs(e) < dimUnsure {
			unsure++
			if e > 0 != f.clear {
				wrongUnsure++
			}
		}
		if f.clear {
			e = -e
		}
		sum += f.weight * math.Log1p(math.Exp(e))
		all += f.weight
	}
	if got := sum / all; math.Abs(got-worth) > 0.001 {
		t.Errorf("surprise %.4f, want %.4f", got, worth)
	}
	if unsure != 177 || wrongUnsure != 85 {
		t.Errorf("%d faces are not sure, %d of them mistaken, want 177 and 85", unsure, wrongUnsure)
	}
	if right != 128 || wrong != 5 {
		t.Errorf("%d faces are taken for clear rightly and %d wrongly, want 128 and 5", right, wrong)
	}
}

func TestDimmed(t *testing.T) {
	m := Default()
	tray := tray{scale: 1, blue: -0.3, blueing: 0.4, seen: true}
	at := func(red, bluer, share, blueing float64) level {
		return level{c: [3]float64{red, red - 0.1, red + tray.blue + bluer}, share: share, blueing: blueing}
	}
	for name, c := range map[string]struct {
		ls      []level
		deepest float64
		yes     bool
	}{
		"nothing":                            {nil, 1, false},
		"as bright as the tray":              {[]level{at(-0.1, 0, 0.3, 0.4), at(-1, 0.35, 0.3, 0.4)}, 1, false},
		"clear and stained in a corner":      {[]level{at(-0.5, 0.05, 0.3, 0.4), at(-1.4, 0.4, 0.3, 0.4)}, 1, true},
		"the same, and the ground is bright": {[]level{at(-0.5, 0.05, 0.3, 0.4), at(-1.4, 0.4, 0.3, 0.4)}, 0.2, false},
		"the same, and the ground is silent": {[]level{at(-0.5, 0.05, 0.3, 0.4), at(-1.4, 0.4, 0.3, 0.4)}, math.Inf(1), true},
		"grey all over, alike":               {[]level{at(-0.3, 0, 0.85, math.NaN())}, 0.16, true},
		"stained alike":                      {[]level{at(-0.8, 0.32, 0.5, 0.4)}, math.Inf(1), false},
		"white over dark":                    {[]level{at(-0.5, 0.3, 0.2, 0), at(-1.4, 0.3, 0.3, 0)}, 1, false},
	} {
		if got := m.dimmed(tray, Face{}, c.ls, c.deepest); got > 0 != c.yes {
			t.Errorf("%s: %.2f", name, got)
		}
	}
}

// Bounds take in what a dark face may be else.
func TestDimWidens(t *testing.T) {
	for name, c := range map[string]struct {
		light     light
		low, high float64
	}{
		"taken for clear":   {light{dim: true, share: 0.3}, 0.4, 1},
		"taken for stained": {light{dim: true, edge: 0.3}, 0.1, 0.6},
		"sure":              {light{share: 0.3}, 0.4, 0.6},
	} {
		r := Reading{Low: 0.4, High: 0.6}
		r.widen(c.light)
		if math.Abs(r.Low-c.low) > 1e-9 || r.High != c.high || r.Dim != c.light.dim || r.Edge {
			t.Errorf("%s: %.2f to %.2f, dim %v, edge %v", name, r.Low, r.High, r.Dim, r.Edge)
		}
	}
}
