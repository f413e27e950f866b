package stain

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// checks reads a file of published or outside figures: rows by heading.
func checks(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "..", "testdata", "checks", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, name := range rows[0] {
			m[name] = row[i]
		}
		out = append(out, m)
	}
	return out
}

func number(t *testing.T, row map[string]string, name string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(row[name], 64)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return v
}

// The published stain matrices of scikit-image (Landini's, after Ruifrok and Johnston 2001), eight pixels of its
// example, an immunohistochemical stain, and four more colours, separated by its
// separate_stains, which counts densities in units of log(1e-6) and cuts off below zero.
func TestSeparationAgainstSkimage(t *testing.T) {
	rows := checks(t, "stain_separation.csv")
	for i, row := range rows {
		var m [3][3]float64
		for k := range m {
			for band, letter := range []string{"r", "g", "b"} {
				m[k][band] = number(t, row, "s"+strconv.Itoa(k+1)+letter)
			}
		}
		by := separation(inverse(m))
		var d [3]float64
		for band, letter := range []string{"r", "g", "b"} {
			d[band] = math.Log(math.Max(number(t, row, letter)/255, 1e-6)) / math.Log(1e-6)
		}
		for k, got := range by.of(d) {
			want := number(t, row, "stain"+strconv.Itoa(k+1))
			if math.Abs(math.Max(got, 0)-want) > 1e-9 { // ten decimals printed; the matrix has twelve digits
				t.Errorf("row %d, %s: stain %d is %.10f, scikit-image has %.10f", i+2, row["matrix"], k+1, got, want)
			}
		}
		// The two-stain matrices have the cross product for a third.
		if row["matrix"] == "hdx" {
			two := newSeparation(m[0], m[1])
			for k, got := range two.of(d) {
				if want := number(t, row, "stain"+strconv.Itoa(k+1)); math.Abs(math.Max(got, 0)-want) > 1e-6 {
					t.Errorf("row %d: from two stains, %d is %.8f, scikit-image has %.8f", i+2, k+1, got, want)
				}
			}
		}
	}
	if len(rows) < 100 {
		t.Errorf("only %d rows", len(rows))
	}
}

// Real stains are of several hues. Read as the usual complex with some iodine they keep their density to a tenth.
func TestSeparationBearsOtherHues(t *testing.T) {
	m := Default()
	by := newSeparation(m.Complex, m.Iodine)
	for name, hue := range map[string][3]float64{
		"blue-black": {1, 0.83, 0.55}, "black": {1, 0.93, 0.78}, "brown-black": {1, 0.97, 0.90}, "violet": {1, 1.04, 0.55},
	} {
		if got := by.of(hue)[0]; math.Abs(got-1) > 0.1 {
			t.Errorf("%s stain of density 1 reads %.3f", name, got)
		}
	}
	if got := by.of(m.Iodine); math.Abs(got[0]) > 1e-12 || math.Abs(got[1]-1) > 1e-12 {
		t.Errorf("unbound iodine alone reads %v", got)
	}
}

// Planes by Tukey's biweight through points of which a share lies far below, as stain does,
// computed by statsmodels; see testdata/README.md.
func TestBiweightAgainstStatsmodels(t *testing.T) {
	samples := map[string][]sample{}
	want := map[string][4]float64{}
	for _, row := range checks(t, "biweight_planes.csv") {
		c := row["case"]
		z := number(t, row, "z")
		samples[c] = append(samples[c], sample{u: number(t, row, "u"), v: number(t, row, "v"), c: [3]float64{z, z - 0.1, z - 0.4}})
		want[c] = [4]float64{number(t, row, "half_width"), number(t, row, "level"), number(t, row, "slope_u"), number(t, row, "slope_v")}
	}
	if len(want) < 3 {
		t.Fatalf("only %d cases", len(want))
	}
	for c, s := range samples {
		w := want[c]
		// From the neighbourhood of the answer, as a level of the histogram is.
		l := light{level: [3]float64{w[1] + 0.01, 0, 0}}
		l.settle(s, w[0], w[0], 0, 3, 500)
		for i, got := range []float64{l.level[0], l.slopeU, l.slopeV} {
			if math.Abs(got-w[i+1]) > 1e-7 {
				t.Errorf("case %s: coefficient %d is %.9f, statsmodels has %.9f", c, i, got, w[i+1])
			}
		}
		if math.Abs(l.level[1]-l.level[0]+0.1) > 1e-9 || math.Abs(l.blue()+0.4) > 1e-9 {
			t.Errorf("case %s: green and blue are %.4f and %.4f less than red, made were 0.1 and 0.4", c, l.level[0]-l.level[1], -l.blue())
		}
	}
}
