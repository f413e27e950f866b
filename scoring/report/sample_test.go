package report

import (
	"bytes"
	"flag"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"testing"
	"time"

	"traystage/calibrate"
	"traystage/scoring"
	"traystage/vision/note"
)

var update = flag.Bool("update", false, "rewrite the golden files from what is rendered now")

// golden compares rendered bytes with a file under testdata.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v: make it with go test -update", err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs; go test -update rewrites it\n--- got\n%s\n--- want\n%s", path, clip(got), clip(want))
	}
}

func clip(b []byte) []byte { return b[:min(len(b), 4000)] }

// larkfield is an invented tray of the invented orchard: fourteen halves, two
// to look at, one cut off, one all glare, one that stands apart.
func larkfield() scoring.Report {
	ref := scoring.Reference{
		Name: "Larkfield Gala", Version: "3", Calibrated: true, StainedDensity: 0.2,
		Scale:  calibrate.Scale{Stained: 1, Clear: 8, Step: 0.1},
		Common: scoring.Common{Standard: 0.15, Freedom: 12},
	}
	r := scoring.Report{
		Orchard: "Larkfield", Block: "North 3", Variety: "Gala",
		Photo: "tray.jpg", PhotoHash: "5f1c", Width: 4000, Height: 3000,
		Taken:     time.Date(2026, 9, 14, 8, 31, 0, 0, time.UTC),
		Reference: ref, Program: "traystage 0.1.0",
		Remarks: []note.Note{note.New("photo.dark")},
	}
	for i, stage := range []float64{3.4444, 3.1, 2.96, 3.7, 3.25, 3.55, 3, 2.8125, 3.35, 3.2, 3.1, 6.05} {
		r.Fruit = append(r.Fruit, scored(i+1, stage))
	}
	glare := note.New("photo.glare")
	look := &r.Fruit[3]
	look.Remarks = []note.Note{glare}
	look.Call.Borderline, look.Call.Reasons = true, []note.Note{glare, note.New(calibrate.CallUnsure)}
	look.Call.Low, look.Call.High = 3, 4.4
	look = &r.Fruit[11]
	look.Call.Borderline, look.Call.Reasons = true, []note.Note{note.New(calibrate.CallUnlike)}
	r.Fruit[6].Call.Between = [2]float64{3, 3}
	r.Fruit[8].Remarks = []note.Note{glare}
	r.Fruit = append(r.Fruit,
		scoring.Fruit{Number: 13, Clipped: true, Place: place(13)},
		scoring.Fruit{Number: 14, Unscored: note.New(scoring.NoFlesh), Place: place(14), Remarks: []note.Note{glare}})
	r.Summary = scoring.Summarize(r.Fruit, ref, 0)
	return r
}

func place(number int) scoring.Place {
	x := 250 * float64(number)
	return scoring.Place{
		Centre: scoring.Point{x + 0.25, 400}, Radius: 101.06,
		Outline: []scoring.Point{{x - 100, 400}, {x, 299.5}, {x + 100, 400}, {x, 500.5}},
	}
}

func scored(number int, stage float64) scoring.Fruit {
	low := float64(int(stage))
	return scoring.Fruit{
		Number: number, Place: place(number),
		Call:    calibrate.Call{Stage: stage, Low: stage - 0.3, High: stage + 0.3, Between: [2]float64{low, low + 1}},
		Stained: (8 - stage) / 7, Zones: []float64{0, 0.1234567, 0.5, 0.98, 1},
		Weights: []float64{0.04, 0.12, 0.2, 0.28, 0.36}, Masked: 0.07,
	}
}

// dot is a tiny PNG, a stand-in for a photo.
func dot(shade uint8) []byte {
	img := image.NewGray(image.Rect(0, 0, 3, 2))
	img.SetGray(1, 1, color.Gray{Y: shade})
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		panic(err) // a buffer takes everything
	}
	return b.Bytes()
}

func pictures() Pictures {
	p := Pictures{Overlay: dot(10), Crops: map[int][]byte{}}
	for n := 1; n <= 14; n++ {
		p.Crops[n] = dot(uint8(20 + n))
	}
	for stage := 1; stage <= 8; stage++ {
		p.Plates = append(p.Plates, calibrate.Plate{Stage: float64(stage), Zones: []float64{0, 0, 0, 0.5, 1}, Picture: dot(uint8(100 + stage))})
	}
	return p
}

// withoutFruit is the same report of a tray on which nothing could be scored.
func withoutFruit(r scoring.Report) scoring.Report {
	r.Fruit = nil
	r.Summary = scoring.Summarize(nil, r.Reference, 0)
	return r
}
