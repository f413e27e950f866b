package refimages

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"github.com/disintegration/imaging"

	"traystage/calibrate"
	"traystage/refimages/internal/builtin"
	"traystage/refimages/internal/trays"
	"traystage/refimages/painter"
)

func TestBuiltinIsASet(t *testing.T) {
	s, err := Builtin()
	if err != nil {
		t.Fatal(err)
	}
	if s.Name != BuiltinName || s.Version != 1 || len(s.Plates) != 8 {
		t.Fatalf("set %s version %d with %d plates", s.Name, s.Version, len(s.Plates))
	}
	if _, err := calibrate.Fit(s); err != nil {
		t.Errorf("the built-in set cannot be fitted: %v", err)
	}
	for _, p := range s.Plates {
		img, err := jpeg.Decode(bytes.NewReader(p.Picture))
		if err != nil || img.Bounds() != image.Rect(0, 0, 200, 200) {
			t.Errorf("plate %g: picture %v, %v", p.Stage, img, err)
		}
		sum, stained := 0.0, 0.0
		for k, w := range p.Weights {
			sum += w
			stained += w * p.Zones[k]
		}
		if math.Abs(sum-1) > 1e-9 || math.Abs(stained-p.Stained) > 1e-9 {
			t.Errorf("plate %g: weights add up to %g, zones hold %g of %g", p.Stage, sum, stained, p.Stained)
		}
	}
	s.Plates[0].Zones[0] = -1
	if again, _ := Builtin(); again.Plates[0].Zones[0] == -1 {
		t.Error("two calls share their plates")
	}
}

// TestBuiltinFollowsPublishedScale checks the stained shares against the table of
// published ends and the straight line between them.
func TestBuiltinFollowsPublishedScale(t *testing.T) {
	s, err := Builtin()
	if err != nil {
		t.Fatal(err)
	}
	f, err := os.Open(filepath.Join("..", "testdata", "checks", "stain_vs_stage.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.FieldsPerRecord = -1
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	checked := 0
	for _, row := range rows {
		stage, err := strconv.ParseFloat(row[1], 64)
		if row[0] != "1-8" || !strings.HasPrefix(row[2], "stained") || err != nil {
			continue
		}
		percent, err := strconv.ParseFloat(row[3], 64)
		if err != nil {
			t.Errorf("stage %g: %v", stage, err)
			continue
		}
		for _, p := range s.Plates {
			if p.Stage == stage {
				checked++
				// the plate is counted on some 40000 texels
				if math.Abs(100*p.Stained-percent) > 0.01 {
					t.Errorf("plate %g is %.3f %% stained, the table has %g", stage, 100*p.Stained, percent)
				}
			}
		}
	}
	if checked != 10 { // two published ends and eight points of the line
		t.Errorf("checked %d rows, want 10", checked)
	}
}

func TestBuiltinClearsFromTheCoreOutward(t *testing.T) {
	s, err := Builtin()
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range s.Plates {
		for k := 1; k < len(p.Zones); k++ {
			if p.Zones[k] < p.Zones[k-1] {
				t.Errorf("plate %g: zone %d is less stained than the one inside it", p.Stage, k+1)
			}
		}
		if i > 0 && p.Stained >= s.Plates[i-1].Stained {
			t.Errorf("plate %g is no clearer than the one before", p.Stage)
		}
	}
}

func TestBuiltinIsWhatThePainterPaints(t *testing.T) {
	stored, err := Builtin()
	if err != nil {
		t.Fatal(err)
	}
	painted := builtin.Paint()
	if len(painted.Plates) != len(stored.Plates) {
		t.Fatalf("painted %d plates, stored %d", len(painted.Plates), len(stored.Plates))
	}
	for i, p := range painted.Plates {
		q := stored.Plates[i]
		if p.Stage != q.Stage || p.Source != q.Source || math.Abs(p.Stained-q.Stained) > 1e-4 {
			t.Errorf("plate %g of %g stained from %q differs from the stored one: run go generate", p.Stage, p.Stained, p.Source)
		}
		// processors round differently, so the pictures are compared by look
		a, errA := jpeg.Decode(bytes.NewReader(p.Picture))
		b, errB := jpeg.Decode(bytes.NewReader(q.Picture))
		if errA != nil || errB != nil {
			t.Fatal(errA, errB)
		}
		if d := difference(a, b); d > 1 {
			t.Errorf("plate %g: picture is off by %.2f of 255 on average: run go generate", p.Stage, d)
		}
		p.Picture, q.Picture = nil, nil
		p.Stained, q.Stained = 0, 0
		for k := range p.Zones {
			if math.Abs(p.Zones[k]-q.Zones[k]) > 1e-3 || math.Abs(p.Weights[k]-q.Weights[k]) > 1e-3 {
				t.Errorf("plate %g zone %d: %g of %g, stored %g of %g", p.Stage, k+1, p.Zones[k], p.Weights[k], q.Zones[k], q.Weights[k])
			}
		}
	}
	painted.Plates, stored.Plates = nil, nil
	if !reflect.DeepEqual(painted, stored) {
		t.Errorf("painted %+v, stored %+v: run go generate", painted, stored)
	}
}

// difference is the mean absolute difference of two pictures of one size, of 255.
func difference(a, b image.Image) float64 {
	sum, n := 0.0, 0.0
	for y := range a.Bounds().Dy() {
		for x := range a.Bounds().Dx() {
			p, q := color.NRGBAModel.Convert(a.At(x, y)).(color.NRGBA), color.NRGBAModel.Convert(b.At(x, y)).(color.NRGBA)
			sum += math.Abs(float64(p.R)-float64(q.R)) + math.Abs(float64(p.G)-float64(q.G)) + math.Abs(float64(p.B)-float64(q.B))
			n += 3
		}
	}
	return sum / n
}

// TestTraysAreWhatThePainterPaints paints each photo of testdata/trays at a small size
// and holds it and its truth against the stored ones.
func TestTraysAreWhatThePainterPaints(t *testing.T) {
	const smaller = 5 // divides the sides of all photos
	dir := filepath.Join("..", "testdata", "trays")
	for _, p := range trays.All() {
		var stored painter.Truth
		data, err := os.ReadFile(filepath.Join(dir, p.Name+".json"))
		if err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(data, &stored); err != nil {
			t.Fatalf("%s: %v", p.Name, err)
		}
		photo, err := imaging.Open(filepath.Join(dir, p.Name+".jpg"), imaging.AutoOrientation(true))
		if err != nil {
			t.Fatalf("%s: %v", p.Name, err)
		}
		if photo.Bounds().Dx() != stored.Width || photo.Bounds().Dy() != stored.Height {
			t.Errorf("%s: photo of %v upright, truth says %d by %d", p.Name, photo.Bounds(), stored.Width, stored.Height)
		}
		spec := p.Spec
		spec.Width, spec.Height, spec.Noise = spec.Width/smaller, spec.Height/smaller, 0
		img, truth := painter.Tray(spec)
		if d := difference(img, imaging.Resize(photo, spec.Width, spec.Height, imaging.Box)); d > 8 { // the lens's blur counts in pixels, and grain lifts the dark
			t.Errorf("%s: photo is off by %.1f of 255 on average: run go generate", p.Name, d)
		}
		if len(truth.Halves) != len(stored.Halves) {
			t.Fatalf("%s: %d halves, stored %d", p.Name, len(truth.Halves), len(stored.Halves))
		}
		for i, h := range truth.Halves {
			s := stored.Halves[i]
			off := math.Hypot(smaller*h.Centre[0]-s.Centre[0], smaller*h.Centre[1]-s.Centre[1])
			if h.Stage != s.Stage || math.Abs(h.Stained-s.Stained) > 0.001 || off > 0.1 {
				t.Errorf("%s half %d: stage %g, %.4f stained, %.2f pixels off; stored %g, %.4f", p.Name, i+1, h.Stage, h.Stained, off, s.Stage, s.Stained)
			}
		}
	}
}

func TestEveryTrayPhotoIsExplained(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "testdata", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join("..", "testdata")
	total := int64(0)
	for _, pattern := range []string{"trays/*.jpg", "trays/*.json", "trays/traced/*", "trays/second/*"} {
		files, err := filepath.Glob(filepath.Join(dir, filepath.FromSlash(pattern)))
		if err != nil || len(files) == 0 {
			t.Fatalf("%s: %d files, %v", pattern, len(files), err)
		}
		for _, f := range files {
			if info, err := os.Stat(f); err == nil && !strings.Contains(pattern, "traced") {
				total += info.Size()
			}
			name := strings.TrimSuffix(filepath.Base(f), filepath.Ext(f))
			if !strings.Contains(string(text), name) {
				t.Errorf("testdata/README.md says nothing of %s", filepath.Base(f))
			}
		}
	}
	if total > 3<<20 {
		t.Errorf("the painted trays take %d bytes, want less than 3 MB", total)
	}
}
