package overlay

import (
	"image"
	"image/color"
	"math"
	"testing"

	"traystage/scoring"
)

const trayWidth = 400 // of the photo that the round half is on, px

// round is a half of radius 60 px at (200, 150), on a photo of 400 x 300 px.
func round() Mark {
	m := Mark{Number: 7, Place: scoring.Place{Centre: scoring.Point{200, 150}, Radius: 60}}
	for i := range 64 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 64)
		m.Place.Outline = append(m.Place.Outline, scoring.Point{200 + 60*cos, 150 + 60*sin})
	}
	return m
}

// labelled is the round half with a label.
func labelled(label string, doubtful bool) []Mark {
	m := round()
	m.Label, m.Doubtful = label, doubtful
	return []Mark{m}
}

func plainPicture(w, h int) *image.NRGBA {
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for i := range img.Pix {
		img.Pix[i] = 128
	}
	for i := 3; i < len(img.Pix); i += 4 {
		img.Pix[i] = 255
	}
	return img
}

// Suspects are drawn dotted and carry nothing that could pass for a number.
func TestDrawingOfSuspects(t *testing.T) {
	pic := plainPicture(800, 600)
	got := Draw(pic, trayWidth, nil, []scoring.Suspect{{Place: round().Place}})
	inked, strayed := 0, 0
	for y := range 600 {
		for x := range 800 {
			switch off := math.Hypot(float64(x)-400, float64(y)-300) - 120; {
			case math.Abs(off) > 5 && got.NRGBAAt(x, y) != pic.NRGBAAt(x, y):
				strayed++
			case math.Abs(off) < 1 && closeTo(got.NRGBAAt(x, y), doubtful):
				inked++
			}
		}
	}
	// Dots as long as the pen is wide, gaps twice that: a third of 2 pi 120 x 2 px, less what blends at the ends of dots.
	if inked < 100 || inked > 750 || strayed > 0 {
		t.Errorf("%d points of the outline drawn, %d elsewhere", inked, strayed)
	}
}

func TestDrawsOnTheOutline(t *testing.T) {
	pic := plainPicture(800, 600) // twice the photo's size, so the outline lies 120 px from (400, 300)
	for name, c := range map[string]struct {
		marks []Mark
		want  color.NRGBA
	}{
		"sure":     {labelled("3.4", false), sure},
		"doubtful": {labelled("3.4", true), doubtful},
	} {
		t.Run(name, func(t *testing.T) {
			got := Draw(pic, trayWidth, c.marks, nil)
			if got.Bounds() != pic.Bounds() {
				t.Fatalf("overlay is %v, the picture %v", got.Bounds(), pic.Bounds())
			}
			if near := got.NRGBAAt(400, 250); near != pic.NRGBAAt(400, 250) {
				t.Errorf("the face itself is painted over: %v", near)
			}
			// Dashes leave gaps: somewhere along the upper half the line must have its own colour.
			inked := 0
			for i := range 180 {
				sin, cos := math.Sincos(math.Pi * (1 + float64(i)/180))
				if closeTo(got.NRGBAAt(int(400+120*cos), int(300+120*sin)), c.want) {
					inked++
				}
			}
			if inked < 40 {
				t.Errorf("%d of 180 points of the outline are drawn", inked)
			}
		})
	}
}

func TestDoubtIsShownByShape(t *testing.T) {
	pic := plainPicture(800, 600)
	count := func(look bool) (inked int) {
		got := Draw(pic, trayWidth, labelled("", look), nil)
		for i := range 720 {
			sin, cos := math.Sincos(math.Pi * (1 + float64(i)/720))
			if got.NRGBAAt(int(400+120*cos), int(300+120*sin)) != pic.NRGBAAt(0, 0) {
				x := got.NRGBAAt(int(400+120*cos), int(300+120*sin))
				if closeTo(x, sure) || closeTo(x, doubtful) {
					inked++
				}
			}
		}
		return inked
	}
	whole, dashed := count(false), count(true)
	// five pens drawn, two and a half left out: two thirds of a whole line
	if float64(dashed) > 0.85*float64(whole) || float64(dashed) < 0.4*float64(whole) {
		t.Errorf("a doubtful outline has %d points drawn, a sure one %d", dashed, whole)
	}
}

// Labels of small halves are to be read where the picture is as wide as a phone.
func TestLabelsOfSmallHalvesAreLegible(t *testing.T) {
	const width, phone = 1600, 390
	small := Mark{Number: 7, Place: scoring.Place{Centre: scoring.Point{800, 600}, Radius: 30}, Label: "3.4"}
	pic := plainPicture(width, 1200)
	got := Draw(pic, width, []Mark{small}, nil)
	top, bottom := 1200, 0
	for y := range 1200 {
		if got.NRGBAAt(800, y) != pic.NRGBAAt(800, y) {
			top, bottom = min(top, y), max(bottom, y)
		}
	}
	// the ground of the words is 1.3 times as high as their letters, which are 7.5 px on the phone
	if high := float64(bottom+1-top) * phone / width; high < 1.3*7.5-0.5 {
		t.Errorf("the label is %.1f px high on a phone", high)
	}
}

// A half at the right edge of the picture keeps its whole diamond.
func TestDiamondStaysInThePicture(t *testing.T) {
	pic := plainPicture(400, 300)
	inked := func(x float64) (n int) {
		marks := labelled("3.4", true)
		marks[0].Place.Centre[0], marks[0].Place.Outline = x, nil
		got := Draw(pic, trayWidth, marks, nil)
		for y := range 300 {
			for x := range 400 {
				if closeTo(got.NRGBAAt(x, y), doubtful) {
					n++
				}
			}
		}
		return n
	}
	// Its rim falls on other parts of pixels: some of 4 sides of 20 px.
	if middle, edge := inked(200), inked(395); middle < 200 || abs(edge-middle) > 20 {
		t.Errorf("%d pixels of the diamond at the edge, %d in the middle", edge, middle)
	}
}

func closeTo(a, b color.NRGBA) bool {
	d := func(x, y uint8) int { return abs(int(x) - int(y)) }
	return d(a.R, b.R)+d(a.G, b.G)+d(a.B, b.B) < 60
}

func abs(v int) int { return max(v, -v) }

func TestCrop(t *testing.T) {
	pic := plainPicture(800, 600)
	for y := 180; y < 420; y++ {
		for x := 280; x < 520; x++ {
			pic.SetNRGBA(x, y, color.NRGBA{200, 0, 0, 255}) // the square that the half just fills
		}
	}
	at := round().Place
	got := Crop(pic, trayWidth, at, 100)
	if got.Bounds().Dx() != 100 || got.Bounds().Dy() != 100 {
		t.Fatalf("crop is %v, want 100 x 100", got.Bounds())
	}
	if c := got.NRGBAAt(50, 50); !closeTo(c, color.NRGBA{200, 0, 0, 255}) {
		t.Errorf("the middle of the crop is %v", c)
	}
	if c := got.NRGBAAt(0, 0); !closeTo(c, color.NRGBA{128, 128, 128, 255}) {
		t.Errorf("no margin is left: the corner is %v", c)
	}
	// Beyond the edge of the photo there is nothing to show.
	at.Centre = scoring.Point{0, 0}
	if c := Crop(pic, trayWidth, at, 100).NRGBAAt(1, 1); c != (color.NRGBA{255, 255, 255, 255}) {
		t.Errorf("outside the photo the crop is %v", c)
	}
}
