package locate

import (
	"image"
	"math"
	"testing"

	"gocv.io/x/gocv"

	"traystage/refimages/painter"
)

// plainTray paints six halves, from all stained to clear, on blue plastic in soft light.
func plainTray() (*image.RGBA, painter.Truth) {
	s := painter.Spec{
		Seed: 5, Width: 900, Height: 675, Difficulty: painter.Plain,
		Tray: painter.BluePlastic, Table: painter.Wood, TrayX: 200, TrayY: 140,
		Light: painter.Overcast, LightFrom: 200, LightHeight: 60,
		Camera:  painter.Camera{Toward: 90, Distance: 500, Focal: 1},
		Variety: painter.Bicolour, Amber: 0.15, Noise: 0.006, Blur: 0.6,
	}
	for i, stage := range []float64{1, 2.5, 4, 5, 6.5, 8} {
		s.Halves = append(s.Halves, painter.HalfSpec{
			X: -125 + 125*float64(i%3), Y: -60 + 120*float64(i/3), Radius: 36 + float64(i%2), Height: 35,
			Stage: stage, Family: painter.Concentric, Seed: uint64(20 + i),
		})
	}
	return painter.Tray(s)
}

func facesOf(t *testing.T, img image.Image) []Face {
	t.Helper()
	bgr, err := gocv.ImageToMatRGB(img) // despite its name it yields BGR
	if err != nil {
		t.Fatal(err)
	}
	defer bgr.Close()
	faces, _ := Find(bgr, 0)
	return faces
}

func TestFacesOfPlainTray(t *testing.T) {
	img, truth := plainTray()
	faces := facesOf(t, img)
	if len(faces) != len(truth.Halves) {
		t.Fatalf("%d faces found, %d painted", len(faces), len(truth.Halves))
	}
	astray := 0
	for i, h := range truth.Halves {
		radius, centre := outlineSize(h.Outline)
		best := math.Inf(1)
		var f Face
		for _, g := range faces {
			if d := math.Hypot(g.Core.X-h.Centre[0], g.Core.Y-h.Centre[1]); d < best {
				best, f = d, g
			}
		}
		// Two pixels are what blur, noise and a skin of about a pixel leave of an edge 66 px out.
		if best > 2.5 {
			astray++
		}
		// About as far as a core is looked for from the middle of the face.
		if best > 0.18*radius {
			t.Errorf("half %d: core found %.1f px off", i+1, best)
		}
		if math.Abs(f.Radius-radius) > 1.5 {
			t.Errorf("half %d: radius %.1f px, painted %.1f", i+1, f.Radius, radius)
		}
		g := ring{x: f.Core.X, y: f.Core.Y, r: [bearings]float64(f.Outline)}
		if x, y := g.centroid(); math.Hypot(x-centre[0], y-centre[1]) > 1.5 {
			t.Errorf("half %d: middle of the outline at %.1f, %.1f, painted at %.1f, %.1f", i+1, x, y, centre[0], centre[1])
		}
		if f.Clipped {
			t.Errorf("half %d lies well inside the frame and is called clipped", i+1)
		}
		for b := range f.Flesh {
			if f.Flesh[b] > f.Outline[b] {
				t.Errorf("half %d: flesh reaches beyond the outline at bearing %d", i+1, b)
				break
			}
		}
	}
	// A star can look like one beside it, turned by half a lobe, where cavities gape.
	if astray > 1 {
		t.Errorf("%d cores of %d lie more than 2.5 px off", astray, len(faces))
	}
}

// outlineSize is the radius of the circle with the outline's area, and its middle, by
// the shoelace formula.
func outlineSize(pts [][2]float64) (radius float64, centre [2]float64) {
	var twice, x, y float64
	for i, p := range pts {
		q := pts[(i+1)%len(pts)]
		c := p[0]*q[1] - q[0]*p[1]
		twice += c
		x += (p[0] + q[0]) * c
		y += (p[1] + q[1]) * c
	}
	return math.Sqrt(math.Abs(twice) / 2 / math.Pi), [2]float64{x / (3 * twice), y / (3 * twice)}
}

func TestNoFaces(t *testing.T) {
	for name, c := range map[string]func(x, y int) uint8{
		"one grey": func(int, int) uint8 { return 120 },
		"checks":   func(x, y int) uint8 { return uint8((x/40+y/40)%2*200 + 20) },
		"discs":    func(x, y int) uint8 { return uint8(40 + 180*(1-min(1, (sq(x%200-100)+sq(y%200-100))/6400))) },
		"rings":    func(x, y int) uint8 { return uint8(128 + 100*math.Sin(math.Hypot(float64(x-300), float64(y-200))/9)) },
	} {
		img := image.NewRGBA(image.Rect(0, 0, 600, 400))
		for y := range 400 {
			for x := range 600 {
				v := c(x, y)
				copy(img.Pix[img.PixOffset(x, y):], []byte{v, v, v, 255})
			}
		}
		if faces := facesOf(t, img); len(faces) != 0 {
			t.Errorf("%s: %d faces found", name, len(faces))
		}
	}
}

func sq(v int) int { return v * v }

// Pictures too small to hold a face must not be read beyond their edges.
func TestTinyPictures(t *testing.T) {
	for _, size := range []image.Point{{1, 1}, {2, 1}, {1, 50}, {7, 5}, {40, 30}} {
		if faces := facesOf(t, image.NewRGBA(image.Rectangle{Max: size})); len(faces) != 0 {
			t.Errorf("%v: %d faces found", size, len(faces))
		}
	}
}
