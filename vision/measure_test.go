package vision

import (
	"errors"
	"image"
	"image/color"
	"image/draw"
	"math"
	"reflect"
	"strings"
	"testing"
	"unicode"

	"github.com/disintegration/imaging"

	"traystage/refimages/painter"
)

// The kept trays: every half is found where it lies and in its turn, and those
// that the frame cuts off are told. How far off the fractions are is judged by cmd/accuracy
// on many more; the bars here are the project's own for a whole tray.
func TestMeasureKeptTrays(t *testing.T) {
	const plainError, hardError = 0.03, 0.06 // mean error of the stained fraction of one tray
	for name, most := range map[string]float64{
		"larkfield_demo.jpg":    plainError,
		"rotated.jpg":           plainError,
		"white_all_clear.jpg":   plainError,
		"traced/plain_04.jpg":   plainError,
		"black_all_stained.jpg": 0.08, // one face under glare is read as clear
		"hard_glare.jpg":        hardError,
		"hard_lamp.jpg":         hardError,
		"traced/hard_d2.jpg":    hardError,
		"traced/hard_d3.jpg":    hardError,
	} {
		t.Run(name, func(t *testing.T) {
			truth := truthOf(t, name)
			tray := measured(t, bytesOf(t, name))
			if tray.Width != truth.Width || tray.Height != truth.Height {
				t.Errorf("%d x %d px, the upright photo has %d x %d", tray.Width, tray.Height, truth.Width, truth.Height)
			}
			if len(tray.Halves) != len(truth.Halves) {
				t.Fatalf("%d halves found, %d lie there", len(tray.Halves), len(truth.Halves))
			}
			var off, n float64
			astray := 0
			for i, h := range tray.Halves {
				want := truth.Halves[i]
				checkHalf(t, i, h, want)
				if !h.Clipped && math.Abs(h.Radius/want.Radius-1) > 0.08 {
					astray++
				}
				if f, ok := h.Stained(); ok {
					off += math.Abs(f - want.Stained)
					n++
				}
			}
			// Of a hard tray one outline in ten may run along an edge of stain or shadow.
			if allowed := map[bool]int{true: len(truth.Halves) / 10}[most > plainError]; astray > allowed {
				t.Errorf("%d outlines are more than 8 %% too large or too small, should be %d at most", astray, allowed)
			}
			if off/n > most {
				t.Errorf("stained fractions are %.4f off in the mean, should be %.3f at most", off/n, most)
			}
		})
	}
}

func checkHalf(t *testing.T, i int, h Half, want painter.HalfTruth) {
	t.Helper()
	if h.Number != i+1 {
		t.Errorf("half %d has the number %d", i+1, h.Number)
	}
	if h.Clipped != want.Clipped {
		t.Errorf("half %d: clipped %v, in truth %v", i+1, h.Clipped, want.Clipped)
		return
	}
	_, ok := h.Stained()
	if h.Clipped {
		if ok || len(h.Remarks) == 0 || h.Remarks[0].Code != RemarkClipped {
			t.Errorf("half %d is cut off, yet measured (%v) or without a remark (%v)", i+1, ok, h.Remarks)
		}
		return
	}
	// Half of what lies between two halves that touch: it is this one and no neighbour.
	if d := math.Hypot(h.Centre.X-want.Centre[0], h.Centre.Y-want.Centre[1]); d > 0.2*want.Radius {
		t.Errorf("half %d: centre %.0f px from where it lies, its radius is %.0f", i+1, d, want.Radius)
	}
	if f, _ := h.Stained(); !ok || f < h.FractionLow || f > h.FractionHigh || h.FractionHigh > 1 || h.FractionLow < 0 {
		t.Errorf("half %d: stained fraction %.3f (%v) lies outside %.3f to %.3f", i+1, f, ok, h.FractionLow, h.FractionHigh)
	}
}

func TestNoHalves(t *testing.T) {
	blank := painter.EncodeJPEG(image.NewRGBA(image.Rect(0, 0, 640, 480)), painter.Meta{})
	for name, photo := range map[string][]byte{
		"whole yellow fruit": bytesOf(t, "none_yellow.jpg"),
		"whole red fruit":    bytesOf(t, "traced/none_d2.jpg"),
		"lens cap on":        blank,
	} {
		if tray, err := Measure(photo, Options{}); !errors.Is(err, ErrNoHalves) {
			t.Errorf("%s: %d halves, error %v; want ErrNoHalves", name, len(tray.Halves), err)
		}
	}
}

// What is no whole photo is refused with a clause that can follow the photo's name.
func TestRefused(t *testing.T) {
	demo := bytesOf(t, "larkfield_demo.jpg")
	for name, tt := range map[string]struct {
		photo []byte
		opt   Options
	}{
		"nothing":   {nil, Options{}},
		"text":      {[]byte("half,stage\n1,3.4\n"), Options{}},
		"cut short": {demo[:len(demo)/2], Options{}},
		"too large": {demo, Options{MaxPixels: 1600*1200 - 1}},
	} {
		tray, err := Measure(tt.photo, tt.opt)
		if err == nil || errors.Is(err, ErrNoHalves) {
			t.Errorf("%s: measured as %d halves, error %v", name, len(tray.Halves), err)
			continue
		}
		if text := err.Error(); unicode.IsUpper([]rune(text)[0]) && !unicode.IsUpper([]rune(text)[1]) || strings.HasSuffix(text, ".") {
			t.Errorf("%s: %q is no clause", name, text)
		}
		if len(tray.Halves) != 0 {
			t.Errorf("%s: refused, and yet %d halves given", name, len(tray.Halves))
		}
	}
	if _, err := Measure(demo, Options{MaxPixels: 1600 * 1200}); err != nil {
		t.Errorf("a photo of just as many pixels as allowed: %v", err)
	}
}

// The same photo stored turned, as phones do, measures the same: stored anew the
// pixels of a JPEG differ by a few levels, its blocks lying otherwise.
func TestStoredTurned(t *testing.T) {
	img := rgba(decoded(t, "larkfield_demo.jpg"))
	upright := measured(t, painter.EncodeJPEG(img, painter.Meta{Orientation: 1, Quality: 97}))
	for _, orientation := range []int{3, 6, 8} {
		turned := measured(t, painter.EncodeJPEG(img, painter.Meta{Orientation: orientation, Quality: 97}))
		if turned.Width != upright.Width || turned.Height != upright.Height || len(turned.Halves) != len(upright.Halves) {
			t.Errorf("orientation %d: %d halves on %d x %d px, upright %d on %d x %d", orientation,
				len(turned.Halves), turned.Width, turned.Height, len(upright.Halves), upright.Width, upright.Height)
			continue
		}
		for i, h := range turned.Halves {
			u := upright.Halves[i]
			a, _ := h.Stained()
			b, _ := u.Stained()
			if d := math.Hypot(h.Centre.X-u.Centre.X, h.Centre.Y-u.Centre.Y); d > 3 || math.Abs(a-b) > 0.01 {
				t.Errorf("orientation %d, half %d: %.1f px off, %.4f stained, upright %.4f", orientation, i+1, d, a, b)
			}
		}
	}
}

func rgba(img image.Image) *image.RGBA {
	out := image.NewRGBA(img.Bounds())
	draw.Draw(out, out.Rect, img, img.Bounds().Min, draw.Src)
	return out
}

// A tray held askew keeps its reading order.
func TestOrderOfTurnedTray(t *testing.T) {
	img, truth := decoded(t, "larkfield_demo.jpg"), truthOf(t, "larkfield_demo.jpg")
	for _, degrees := range []float64{-9, 9} {
		askew := imaging.Rotate(img, degrees, color.Gray{90})
		tray := measured(t, painter.EncodeJPEG(rgba(askew), painter.Meta{Quality: 92}))
		if len(tray.Halves) != len(truth.Halves) {
			t.Errorf("turned by %v degrees: %d halves, %d lie there", degrees, len(tray.Halves), len(truth.Halves))
			continue
		}
		sin, cos := math.Sincos(degrees * math.Pi / 180) // counter-clockwise as seen, y down
		for i, h := range tray.Halves {
			x, y := truth.Halves[i].Centre[0]-float64(truth.Width)/2, truth.Halves[i].Centre[1]-float64(truth.Height)/2
			wantX := float64(askew.Rect.Dx())/2 + x*cos + y*sin
			wantY := float64(askew.Rect.Dy())/2 - x*sin + y*cos
			if d := math.Hypot(h.Centre.X-wantX, h.Centre.Y-wantY); d > 0.2*h.Radius {
				t.Errorf("turned by %v degrees: half %d lies %.0f px off", degrees, i+1, d)
			}
		}
	}
}

func TestOptions(t *testing.T) {
	photo := bytesOf(t, "rotated.jpg")
	plain := measured(t, photo)
	if again := measured(t, photo); !reflect.DeepEqual(plain, again) {
		t.Error("the same photo measured twice gives two results")
	}
	if len(plain.Halves[0].Profile.Zones) != 5 {
		t.Errorf("%d zones unless asked for others, want 5", len(plain.Halves[0].Profile.Zones))
	}
	other, err := Measure(photo, Options{Zones: 3, StainedDensity: 0.25})
	if err != nil {
		t.Fatal(err)
	}
	for i, h := range other.Halves {
		if len(h.Profile.Zones) != 3 {
			t.Errorf("half %d: %d zones, asked for 3", i+1, len(h.Profile.Zones))
		}
		// A quarter higher is what FractionLow was given for, and some more for the light; the
		// cavities of the core are told by the threshold too, and are a hundredth of the face.
		f, _ := h.Stained()
		if low := plain.Halves[i].FractionLow; low > f+0.01 || low < f-0.04 {
			t.Errorf("half %d: %.4f stained at a quarter more density, foretold were %.4f", i+1, f, low)
		}
	}
}
