package locate

import (
	"math"
	"math/rand/v2"
	"testing"
)

// facesWhose are faces in two rows, seen aslant; r is the radius of face i at a bearing, in px.
func facesWhose(n int, r func(i int, bearing float64) float64) (out []Face) {
	for i := range n {
		x, y := 100+200*float64(i/2), 100+200*float64(i%2)
		f := Face{Core: Point{x, y}, Outline: make([]float64, bearings)}
		for b := range f.Outline {
			f.Outline[b] = r(i, 2*math.Pi*float64(b)/bearings) * (1 + 0.0001*x - 0.0002*y)
		}
		out = append(out, f)
	}
	return out
}

func TestPrinted(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	var size, phase [9]float64
	for i := range size {
		size[i], phase[i] = 60*math.Exp(0.05*random.NormFloat64()), 2*math.Pi*random.Float64()
	}
	lobed := func(phase, bearing float64) float64 { return 1 + 0.04*math.Cos(5*bearing+phase) }
	for name, c := range map[string]struct {
		faces []Face
		want  bool
	}{
		"circles":                          {facesWhose(8, func(int, float64) float64 { return 60 }), true},
		"one shape, lobed":                 {facesWhose(8, func(_ int, b float64) float64 { return 60 * lobed(0, b) }), true},
		"fruit as large as each other":     {facesWhose(8, func(i int, b float64) float64 { return 60 * lobed(phase[i], b) }), false},
		"fruit as round as each other":     {facesWhose(9, func(i int, _ float64) float64 { return size[i] }), false},
		"too few to tell":                  {facesWhose(5, func(int, float64) float64 { return 60 }), false},
		"six, of which the frame cuts one": {append(facesWhose(5, func(int, float64) float64 { return 60 }), Face{Clipped: true}), false},
	} {
		if got := Printed(c.faces); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
	var line []Face
	for i := range 7 {
		line = append(line, Face{Core: Point{100 * float64(i), 50}, Outline: facesWhose(1, func(int, float64) float64 { return 40 })[0].Outline})
	}
	if Printed(line) {
		t.Error("faces in one line do not tell how their size goes with their place")
	}
}

// What the rows are worth on trays of five painters and on charts printed by three. Charts are told, and trays are not taken for any.
func TestPrintedRows(t *testing.T) {
	const worth = 17.0473
	sum, printed, told := 0.0, 0, 0
	for _, row := range rowsOf(t, "testdata/printed.csv") {
		var v [2]float64
		numbers(t, row[2:], v[:])
		e := says(printedSize, v[0]) + says(printedShape, v[1])
		switch {
		case row[0] == "1":
			printed++
			if e > 0 {
				told++
			}
			e = -e
		case e > 0:
			t.Errorf("a tray is taken for printed: %v", row)
		}
		sum += math.Log1p(math.Exp(e))
	}
	near(t, "surprise", sum, worth, 0.002)
	near(t, "what fruit sorted by size to a fiftieth say", says(printedSize, 0.02), -2.5, 0.01)
	if told < 22 {
		t.Errorf("%d of %d charts are told", told, printed)
	}
}
