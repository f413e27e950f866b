package report

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gonum.org/v1/plot/cmpimg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"

	"traystage/calibrate"
	"traystage/scoring"
	"traystage/scoring/report/document"
)

// sameChart compares a chart with a picture under testdata, pixel by pixel with
// a tolerance for processors that round differently.
func sameChart(t *testing.T, name string, c document.Chart) {
	t.Helper()
	canvas := vgimg.PngCanvas{Canvas: vgimg.New(document.ChartWidth, c.Height)}
	c.Plot.Draw(draw.New(canvas))
	var b bytes.Buffer
	if _, err := canvas.WriteTo(&b); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v: make it with go test -update", err)
	}
	if same, err := cmpimg.EqualApprox("png", b.Bytes(), want, 0.1); err != nil || !same {
		t.Errorf("%s differs (%v); go test -update rewrites it", path, err)
	}
}

func TestCharts(t *testing.T) {
	r := larkfield()
	spread, err := penOf(nil).spreadChart(r.Summary)
	if err != nil {
		t.Fatal(err)
	}
	sameChart(t, "spread.png", spread)
	rows, err := penOf(nil).halvesChart(r.Fruit, r.Summary)
	if err != nil {
		t.Fatal(err)
	}
	sameChart(t, "halves.png", rows)
}

// Few fruit, a scale that falls and a wide scale must draw without fault.
func TestChartsOfOddSamples(t *testing.T) {
	for name, scale := range map[string]calibrate.Scale{
		"falling": {Stained: 6, Clear: 1}, "percent": {Stained: 0, Clear: 100}, "narrow": {Stained: 0, Clear: 1},
	} {
		for n := 1; n <= 3; n++ {
			var fruit []scoring.Fruit
			for i := range n {
				fruit = append(fruit, scored(i+1, scale.Clear))
			}
			s := scoring.Summarize(fruit, scoring.Reference{Scale: scale}, 0)
			if _, err := penOf(nil).spreadChart(s); err != nil {
				t.Errorf("%s, %d fruit: %v", name, n, err)
			}
			c, err := penOf(nil).halvesChart(fruit, s)
			if err != nil {
				t.Fatalf("%s, %d fruit: %v", name, n, err)
			}
			svg, err := c.SVG()
			if err != nil || !bytes.HasPrefix(svg, []byte("<svg ")) || bytes.Contains(svg, []byte("NaN")) {
				t.Errorf("%s, %d fruit: %v, %.60s", name, n, err, svg)
			}
		}
	}
}

// A stage that is not a number is an error in words, not a broken chart.
func TestChartsRefuseNotANumber(t *testing.T) {
	fruit := []scoring.Fruit{scored(1, 3), scored(2, 4)}
	fruit[1].Call.Stage = math.NaN()
	s := scoring.Summarize(fruit, larkfield().Reference, 0)
	if _, err := penOf(nil).spreadChart(s); err == nil || !strings.Contains(err.Error(), "mean") {
		t.Errorf("histogram: %v", err)
	}
	if _, err := penOf(nil).halvesChart(fruit, s); err == nil {
		t.Error("chart of halves: no error")
	}
}
