package cielab

import (
	"encoding/csv"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/lucasb-eyer/go-colorful"
	"gocv.io/x/gocv"
)

// A result is rounded to a whole number, and the light was to one of 16383:
// where the root is steepest (slope 903.3/116) that moves L* x 2.55 by 0.07 and
// a*, which two of them make, by 0.24.
var tolerance = [3]float64{0.57, 0.74, 0.6}

func TestPublishedColours(t *testing.T) {
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
	number := func(row []string, name string) float64 {
		v, err := strconv.ParseFloat(row[at[name]], 64)
		if err != nil {
			t.Fatalf("%s: %v", row[at["name"]], err)
		}
		return v
	}
	checked := 0
	for _, row := range rows[1:] {
		if row[at["kind"]] != "srgb8_to_lab" {
			continue
		}
		checked++
		got := FromBGR([]byte{byte(number(row, "b")), byte(number(row, "g")), byte(number(row, "r"))})
		want := [3]float64{number(row, "L") * 2.55, number(row, "a") + 128, number(row, "b_star") + 128}
		for c := range want {
			// The published white is not the one that makes greys neutral: 0.02.
			if math.Abs(float64(got[c])-want[c]) > tolerance[c]+0.02 {
				t.Errorf("%s: %v, published %.2f", row[at["name"]], got, want)
				break
			}
		}
	}
	if checked < 20 {
		t.Errorf("only %d colours checked", checked)
	}
}

func randomColours(n int) []byte {
	bgr, r := make([]byte, 3*n), rand.New(rand.NewPCG(1, 2))
	for i := range bgr {
		bgr[i] = byte(r.Uint32())
	}
	return bgr
}

// Another library has another matrix to seven decimals, which moves a colour by up to 0.05.
func TestAgreesWithColorful(t *testing.T) {
	bgr := randomColours(5000)
	lab := FromBGR(bgr)
	for i := 0; i < len(bgr); i += 3 {
		l, a, b := colorful.Color{R: float64(bgr[i+2]) / 255, G: float64(bgr[i+1]) / 255, B: float64(bgr[i]) / 255}.Lab()
		for c, want := range [3]float64{255 * l, 100*a + 128, 100*b + 128} {
			if math.Abs(float64(lab[i+c])-want) > tolerance[c]+0.1 {
				t.Fatalf("BGR %v is %v, go-colorful has %.2f in place %d", bgr[i:i+3], lab[i:i+3], want, c)
			}
		}
	}
}

// What was written for OpenCV's numbers must find them here. Both round, and OpenCV tells
// dark light apart eight times as coarsely, which moves the darkest by up to 4.
func TestAgreesWithOpenCV(t *testing.T) {
	bgr := randomColours(200 * 100)
	m, err := gocv.NewMatFromBytes(100, 200, gocv.MatTypeCV8UC3, bgr)
	if err != nil {
		t.Fatal(err)
	}
	defer m.Close()
	lab := gocv.NewMat()
	defer lab.Close()
	gocv.CvtColor(m, &lab, gocv.ColorBGRToLab)
	got, apart, further := FromBGR(bgr), 0, 0
	for i, want := range lab.ToBytes() {
		switch d := max(got[i], want) - min(got[i], want); {
		case d > 4:
			t.Fatalf("BGR %v: %d, OpenCV has %d in place %d", bgr[i-i%3:i-i%3+3], got[i], want, i%3)
		case d > 1:
			further++
		case d > 0:
			apart++
		}
	}
	if n := float64(len(got)); float64(apart)/n > 0.1 || float64(further)/n > 0.005 {
		t.Errorf("of %d numbers %d differ by one, %d by more", len(got), apart, further)
	}
}

// Pieces must not depend on the number of pixels, and what is no whole pixel is left out.
func TestAnyLength(t *testing.T) {
	bgr := randomColours(70)
	all := FromBGR(bgr)
	for n := range len(bgr) {
		got := FromBGR(bgr[:n])
		if len(got) != n/3*3 || string(got) != string(all[:len(got)]) {
			t.Fatalf("%d bytes give %d, which are not the first of all", n, len(got))
		}
	}
}

func BenchmarkFromBGR(b *testing.B) {
	bgr := randomColours(1000 * 750)
	b.SetBytes(int64(len(bgr)))
	for b.Loop() {
		FromBGR(bgr)
	}
}

// BenchmarkTables is what the first picture of a process waits for.
func BenchmarkTables(b *testing.B) {
	for b.Loop() {
		t := &tables{}
		for i := range t.root {
			t.root[i] = uint16(math.Round(root(float64(i)/linearFull) * rootFull))
		}
	}
}
