package larkfield

import (
	"bytes"
	"encoding/csv"
	"image/jpeg"
	"math"
	"strings"
	"testing"

	"github.com/disintegration/imaging"

	"traystage/refimages/painter"
)

func TestSamplesBelongToBlocks(t *testing.T) {
	last := map[string]int64{}
	samples := map[string]int{}
	for _, s := range Samples() {
		if on := s.Picked.Unix(); on <= last[s.Block] || s.Picked.After(Today) {
			t.Errorf("%s on %s: out of order or after today", s.Block, s.Picked.Format("2006-01-02"))
		}
		last[s.Block] = s.Picked.Unix()
		samples[s.Block]++
		if len(s.Stages) != len(s.Tray.Halves) {
			t.Errorf("%s: %d stages for %d halves", s.Photo, len(s.Stages), len(s.Tray.Halves))
		}
	}
	if len(samples) != len(Blocks()) {
		t.Errorf("samples of %d blocks, want %d", len(samples), len(Blocks()))
	}
	for name, n := range samples {
		if n < 3 || n > 6 {
			t.Errorf("%s: %d samples, want 3 to 6", name, n)
		}
	}
}

// Every sheet has a row for each fruit and as many cells in a row as headings.
func TestReadingsAreWhole(t *testing.T) {
	for _, s := range Samples() {
		r := csv.NewReader(strings.NewReader(s.Readings))
		if strings.Contains(s.Readings, ";") {
			r.Comma = ';'
		}
		rows, err := r.ReadAll()
		if err != nil {
			t.Errorf("%s: %v", s.Photo, err)
		}
		if len(rows) != len(s.Stages)+1 {
			t.Errorf("%s: %d rows for %d fruit", s.Photo, len(rows)-1, len(s.Stages))
		}
	}
}

// Blocks ripen: the mean stage of each sample lies above that of the one before it.
func TestStagesRise(t *testing.T) {
	last := map[string]float64{}
	for _, s := range Samples() {
		sum := 0.0
		for _, x := range s.Stages {
			if x < painter.StageStained || x > painter.StageClear {
				t.Errorf("%s: stage %g is off the scale", s.Photo, x)
			}
			sum += x
		}
		mean := sum / float64(len(s.Stages))
		if mean < last[s.Block]-0.3 {
			t.Errorf("%s: mean %.2f after %.2f", s.Photo, mean, last[s.Block])
		}
		last[s.Block] = mean
	}
}

func TestEveryPhotoIsKept(t *testing.T) {
	for name, spec := range specs() {
		kept, err := Photo(name)
		if err != nil {
			t.Fatal(err)
		}
		c, err := jpeg.DecodeConfig(bytes.NewReader(kept))
		if err != nil || c.Width != spec.Width || c.Height != spec.Height {
			t.Errorf("%s: %d by %d, %v; want %d by %d: run go generate", name, c.Width, c.Height, err, spec.Width, spec.Height)
		}
	}
	if b, err := Photo("other.jpg"); err == nil {
		t.Errorf("a photo of %d bytes that is none", len(b))
	}
}

// The photos kept are those that the painter paints: one of each kind is held
// against a small picture of its spec.
func TestPhotosAreWhatThePainterPaints(t *testing.T) {
	const smaller = 8
	all := specs()
	for _, name := range []string{"chart_jonagold.jpg", "graded_jo.jpg", "brook-5_2026-09-21.jpg"} {
		spec := all[name]
		kept, err := Photo(name)
		if err != nil {
			t.Fatal(err)
		}
		photo, err := jpeg.Decode(bytes.NewReader(kept))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		spec.Width, spec.Height, spec.Noise = spec.Width/smaller, spec.Height/smaller, 0
		img, _ := painter.Tray(spec)
		small := imaging.Resize(photo, spec.Width, spec.Height, imaging.Box)
		sum := 0.0
		for y := range spec.Height {
			for x := range spec.Width {
				p, q := img.RGBAAt(x, y), small.NRGBAAt(x, y)
				sum += math.Abs(float64(p.R)-float64(q.R)) + math.Abs(float64(p.G)-float64(q.G)) + math.Abs(float64(p.B)-float64(q.B))
			}
		}
		// The lens's blur counts in pixels and so is wider on a small picture.
		if off := sum / float64(3*spec.Width*spec.Height); off > 8 {
			t.Errorf("%s: off by %.1f of 255 on average: run go generate", name, off)
		}
	}
}
