package stain

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/lucasb-eyer/go-colorful"
)

// Published luminances of greys: with equal bands Y is the linear light itself,
// as the row of Y in the matrix adds to 1 (IEC 61966-2-1, CIE 15; the rows of
// kind srgb8_to_lab in colour.csv).
func TestCurveAgainstPublishedGreys(t *testing.T) {
	f, err := os.Open(filepath.Join("..", "..", "..", "testdata", "checks", "colour.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	at := map[string]int{}
	for i, name := range rows[0] {
		at[name] = i
	}
	c := newCurve(0)
	checked := 0
	for _, row := range rows[1:] {
		r, g, b := row[at["r"]], row[at["g"]], row[at["b"]]
		if row[at["kind"]] != "srgb8_to_lab" || r != g || g != b || r == "0" {
			continue
		}
		v, errV := strconv.Atoi(r)
		y, errY := strconv.ParseFloat(row[at["Y"]], 64)
		if errV != nil || errY != nil {
			t.Fatalf("row %s: %v %v", row[at["name"]], errV, errY)
		}
		// seven decimals printed
		if got := math.Pow(10, float64(c[v])); math.Abs(got-y) > 1e-6 {
			t.Errorf("grey %d is %.7f of full light, published %.7f", v, got, y)
		}
		checked++
	}
	if checked < 6 {
		t.Errorf("only %d greys checked", checked)
	}
}

func TestCurveAgainstColorful(t *testing.T) {
	c := newCurve(0)
	for v := 1; v < 256; v++ { // black has no logarithm
		x := float64(v) / 255
		want, _, _ := colorful.Color{R: x, G: x, B: x}.LinearRgb()
		if got := math.Pow(10, float64(c[v])); math.Abs(got-want) > 1e-6 {
			t.Errorf("value %d is %.7f of full light, go-colorful has %.7f", v, got, want)
		}
	}
}

// rolledOff is how a full roll-off stores light, written from its definition.
func rolledOff(light float64) float64 {
	if light <= knee {
		return light
	}
	return knee + (1-knee)*(1-math.Exp(-(light-knee)/(1-knee)))
}

func TestCurveUndoesRollOff(t *testing.T) {
	none, full := newCurve(0), newCurve(1)
	for light := 0.02; light < 1.5; light += 0.01 {
		stored := rolledOff(light)
		if stored > blownOut {
			break
		}
		v := int(math.Round(255 * colorful.LinearRgb(stored, stored, stored).R))
		// Stored as a whole number the light is known to half a step, here between
		// its neighbours.
		lo, hi := float64(full[max(v-1, 0)]), float64(full[min(v+1, 255)])
		if l := math.Log10(light); l < lo || l > hi {
			t.Errorf("light %.2f came back as 10^%.4f to 10^%.4f", light, lo, hi)
		}
	}
	for v := range none {
		if math.Pow(10, float64(none[v])) < knee && none[v] != full[v] {
			t.Errorf("value %d lies below the knee and was moved from %.4f to %.4f", v, none[v], full[v])
		}
		if v > 0 && (full[v] < full[v-1] || none[v] < none[v-1]) {
			t.Errorf("value %d is darker than %d", v, v-1)
		}
	}
	if half := newCurve(0.5); math.Abs(float64(half[245]-(none[245]+full[245])/2)) > 1e-6 {
		t.Errorf("half a roll-off gives %.5f, between %.5f and %.5f", half[245], none[245], full[245])
	}
}
