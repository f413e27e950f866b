package photo

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"image"
	"image/color"
	"math"
	"testing"

	"gocv.io/x/gocv"
)

// storedCorners says how the sample picture lies in the file for each
// orientation. Exif 2.32 defines orientation by the side of the scene at which row 0 and
// column 0 of the file lie: for 6, row 0 is the right side and column 0 the top, so the
// file's first pixel is the scene's top right corner.
var storedCorners = map[int]string{
	1: "RGBY", // row 0 top, column 0 left
	2: "GRYB", // top, right
	3: "YBGR", // bottom, right
	4: "BYRG", // bottom, left
	5: "RBGY", // left, top
	6: "GYRB", // right, top
	7: "YGBR", // right, bottom
	8: "BRYG", // left, bottom
}

func TestOrientation(t *testing.T) {
	formats := map[string]func(*image.NRGBA) []byte{
		"JPEG": func(img *image.NRGBA) []byte { return jpegOf(t, img) },
		"PNG":  func(img *image.NRGBA) []byte { return pngOf(t, img) },
		"WebP": func(img *image.NRGBA) []byte { return webpOf(t, img, 100) },
	}
	for o, corners := range storedCorners {
		width, height := turnedSize(sampleWidth, sampleHeight, o)
		stored := quadrants(width, height, corners)
		for name, encode := range formats {
			t.Run(fmt.Sprintf("%s/%d", name, o), func(t *testing.T) {
				b := withEXIF(t, encode(stored), exifOf(binary.BigEndian, uint16(o), "", ""))
				p, err := Load(context.Background(), b, plenty)
				if err != nil {
					t.Fatal(err)
				}
				if p.Width != sampleWidth || p.Height != sampleHeight || p.Cols != sampleWidth || p.Rows != sampleHeight {
					t.Errorf("size = %d x %d, picture %d x %d, want %d x %d", p.Width, p.Height, p.Cols, p.Rows, sampleWidth, sampleHeight)
				}
				if got := cornersOf(p); got != uprightCorners {
					t.Errorf("corners = %s, want %s", got, uprightCorners)
				}
				h, err := Info(b)
				if err != nil {
					t.Fatal(err)
				}
				if h.Width != width || h.Height != height || h.Orientation != o {
					t.Errorf("header = %d x %d, orientation %d, want %d x %d, %d", h.Width, h.Height, h.Orientation, width, height, o)
				}
				if w, h := h.Upright(); w != sampleWidth || h != sampleHeight {
					t.Errorf("upright header = %d x %d, want %d x %d", w, h, sampleWidth, sampleHeight)
				}
			})
		}
	}
}

// Another implementation must agree on every pixel: OpenCV turns JPEGs itself when asked. Both decoders round.
func TestUprightAgreesWithOpenCV(t *testing.T) {
	img := image.NewNRGBA(image.Rect(0, 0, 80, 66))
	for i := range img.Pix {
		img.Pix[i] = byte(i * i >> 5)
	}
	plain := jpegOf(t, img)
	for o := 1; o <= 8; o++ {
		b := withEXIF(t, plain, exifOf(binary.LittleEndian, uint16(o), "", ""))
		want, err := gocv.IMDecode(b, gocv.IMReadColor)
		if err != nil {
			t.Fatal(err)
		}
		got, err := Load(context.Background(), b, plenty)
		if err != nil {
			t.Fatal(err)
		}
		if got.Cols != want.Cols() || got.Rows != want.Rows() || !alike(got.Pix, want.ToBytes(), 4) {
			t.Errorf("orientation %d: %d x %d px differ from OpenCV's %d x %d", o, got.Cols, got.Rows, want.Cols(), want.Rows())
		}
		want.Close()
	}
}

func alike(a, b []byte, most byte) bool {
	for i := range a {
		if max(a[i], b[i])-min(a[i], b[i]) > most {
			return false
		}
	}
	return len(a) == len(b)
}

func TestFormats(t *testing.T) {
	img := quadrants(sampleWidth, sampleHeight, uprightCorners)
	heic := sampleHEIC(t)
	general := bytes.Clone(heic)
	copy(general[8:], "mif1")
	palette := image.NewPaletted(img.Rect, color.Palette{paint['R'], paint['G'], paint['B'], paint['Y']})
	deep := image.NewNRGBA64(img.Rect)
	for y := range sampleHeight {
		for x := range sampleWidth {
			palette.Set(x, y, img.At(x, y))
			deep.Set(x, y, img.At(x, y))
		}
	}
	tests := []struct {
		name   string
		b      []byte
		format Format
	}{
		{"baseline JPEG", jpegOf(t, img), JPEG},
		{"progressive JPEG", progressiveOf(t, img), JPEG},
		{"JPEG with restart markers", encoded(t, img, gocv.JPEGFileExt, gocv.IMWriteJpegQuality, 95, gocv.IMWriteJpegRstInterval, 1), JPEG},
		{"JPEG with fill bytes", insert(jpegOf(t, img), 2, []byte{0xFF, 0xFF, 0xFF}), JPEG},
		{"JPEG with a video behind", append(jpegOf(t, img), "\x00\x00\x00\x18ftypmp42 and so on"...), JPEG},
		{"JPEG with a second picture behind", append(jpegOf(t, img), jpegOf(t, img)...), JPEG},
		{"PNG", pngOf(t, img), PNG},
		{"PNG with palette", pngOf(t, palette), PNG},
		{"PNG of 16 bits", pngOf(t, deep), PNG},
		{"animated PNG", insert(pngOf(t, img), afterIHDR, pngChunk("acTL", []byte{0, 0, 0, 1, 0, 0, 0, 0})), PNG},
		{"lossy WebP", webpOf(t, img, 100), WebP},
		{"HEIC", heic, HEIC},
		{"HEIC of the general brand", general, HEIC},
		{"HEIC with bytes behind", append(bytes.Clone(heic), "SEFT"...), HEIC},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			h, err := Info(tt.b)
			if err != nil {
				t.Fatal(err)
			}
			if h.Format != tt.format || h.Width != sampleWidth || h.Height != sampleHeight || h.Orientation != 1 {
				t.Errorf("header = %+v, want an upright %s of %d x %d px", h, tt.format, sampleWidth, sampleHeight)
			}
			p, err := Load(context.Background(), tt.b, plenty)
			if err != nil {
				t.Fatal(err)
			}
			if got := cornersOf(p); got != uprightCorners {
				t.Errorf("corners = %s, want %s", got, uprightCorners)
			}
			if p.Width != sampleWidth || p.Height != sampleHeight || p.Scale != 1 || len(p.Pix) != 3*sampleWidth*sampleHeight {
				t.Errorf("photo of %d x %d px, scale %g, %d bytes", p.Width, p.Height, p.Scale, len(p.Pix))
			}
		})
	}
}

// Red must come last of the three bytes.
func TestPixelsAreBGR(t *testing.T) {
	img := image.NewNRGBA(image.Rect(0, 0, 70, 64))
	for i := 3; i < len(img.Pix); i += 4 {
		img.Pix[i] = 255
	}
	img.SetNRGBA(5, 2, color.NRGBA{250, 40, 10, 255})
	p, err := Load(context.Background(), pngOf(t, img), plenty)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := pixel(p, 5, 2), [3]int{10, 40, 250}; got != want {
		t.Errorf("pixel = %v, want %v (blue, green, red)", got, want)
	}
	m, err := p.Mat()
	if err != nil {
		t.Fatal(err)
	}
	defer m.Close()
	if got := m.GetVecbAt(2, 5); m.Cols() != 70 || m.Rows() != 64 || got[0] != 10 || got[1] != 40 || got[2] != 250 {
		t.Errorf("Mat of %d x %d has %v, want [10 40 250]", m.Cols(), m.Rows(), got)
	}
}

func TestMatOfBrokenPhoto(t *testing.T) {
	for _, p := range []Photo{{}, {Cols: 2, Rows: 2, Pix: make([]byte, 11)}, {Cols: -2, Rows: -2, Pix: make([]byte, 12)}} {
		if m, err := p.Mat(); err == nil {
			m.Close()
			t.Errorf("%d x %d px of %d bytes: no error", p.Cols, p.Rows, len(p.Pix))
		}
	}
}

// uniform fills a picture of 64 x 64 px with one colour.
func uniform[T interface {
	image.Image
	Set(x, y int, c color.Color)
}](img T, c color.Color) T {
	for y := range 64 {
		for x := range 64 {
			img.Set(x, y, c)
		}
	}
	return img
}

func TestDepthAndAlpha(t *testing.T) {
	square := image.Rect(0, 0, 64, 64)
	half := uniform(image.NewNRGBA(square), color.NRGBA{200, 100, 0, 128})
	seeThrough := uniform(image.NewPaletted(square, color.Palette{color.NRGBA{200, 100, 0, 128}}), color.NRGBA{200, 100, 0, 128})
	tests := []struct {
		name string
		b    []byte
		want [3]int
	}{
		{"grey PNG", pngOf(t, uniform(image.NewGray(square), color.Gray{77})), [3]int{77, 77, 77}},
		// 0x4D4D / 257 = 77
		{"grey PNG of 16 bits", pngOf(t, uniform(image.NewGray16(square), color.Gray16{0x4D4D})), [3]int{77, 77, 77}},
		{"grey JPEG", jpegOf(t, uniform(image.NewGray(square), color.Gray{77})), [3]int{77, 77, 77}},
		// white shows through by 127/255: 200*128/255 + 127 = 227.4, 100*128/255 + 127 = 177.2, 127
		{"see-through PNG", pngOf(t, half), [3]int{127, 177, 227}},
		{"see-through palette", pngOf(t, seeThrough), [3]int{127, 177, 227}},
		{"see-through PNG of 16 bits",
			pngOf(t, uniform(image.NewNRGBA64(square), color.NRGBA64{200 * 257, 100 * 257, 0, 128 * 257})), [3]int{127, 177, 227}},
		{"clear PNG", pngOf(t, image.NewNRGBA(square)), [3]int{255, 255, 255}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p, err := Load(context.Background(), tt.b, plenty)
			if err != nil {
				t.Fatal(err)
			}
			if got := pixel(p, 31, 40); !near(got, tt.want, 1) {
				t.Errorf("pixel = %v, want %v", got, tt.want)
			}
		})
	}
}

func TestReduction(t *testing.T) {
	tests := []struct {
		format              Format
		width, height, long int
		want                int
	}{
		{JPEG, 4000, 3000, 0, 1},
		{JPEG, 4000, 3000, 4000, 1},
		{JPEG, 4000, 3000, 2001, 1},
		{JPEG, 4000, 3000, 2000, 2},
		{JPEG, 3000, 4000, 2000, 2},
		{JPEG, 4000, 3000, 1001, 2},
		{JPEG, 4000, 3000, 1000, 4},
		{JPEG, 4000, 3000, 500, 8},
		{JPEG, 4000, 3000, 10, 8},
		{JPEG, 4001, 3000, 2001, 2}, // a part of a pixel counts as one
		{PNG, 4000, 3000, 500, 1},
		{HEIC, 4000, 3000, 500, 1},
	}
	for _, tt := range tests {
		h := Header{Format: tt.format, Width: tt.width, Height: tt.height}
		if got := reductionFor(h, tt.long); got != tt.want {
			t.Errorf("%s of %d x %d px to %d px: reduced by %d, want %d", tt.format, tt.width, tt.height, tt.long, got, tt.want)
		}
	}
}

func TestLoadReduced(t *testing.T) {
	img := quadrants(1030, 774, uprightCorners)
	turned := quadrants(774, 1030, storedCorners[6])
	tests := []struct {
		name       string
		b          []byte
		long       int
		cols, rows int
	}{
		{"as it is", jpegOf(t, img), 0, 1030, 774},
		{"never enlarged", jpegOf(t, img), 2000, 1030, 774},
		{"same size", jpegOf(t, img), 1030, 1030, 774},
		{"a little", jpegOf(t, img), 1000, 1000, 751}, // 774 * 1000 / 1030 = 751.46
		{"half", jpegOf(t, img), 515, 515, 387},
		{"through half", jpegOf(t, img), 500, 500, 376},     // 375.7
		{"through an eighth", jpegOf(t, img), 100, 100, 75}, // 75.1
		{"PNG", pngOf(t, img), 500, 500, 376},
		{"WebP", webpOf(t, img, 100), 100, 100, 75},
		{"turned", withEXIF(t, jpegOf(t, turned), exifOf(binary.BigEndian, 6, "", "")), 500, 500, 376},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p, err := Load(context.Background(), tt.b, Limits{MaxPixels: 1_000_000, TargetLong: tt.long})
			if err != nil {
				t.Fatal(err)
			}
			if p.Cols != tt.cols || p.Rows != tt.rows || p.Width != 1030 || p.Height != 774 {
				t.Errorf("%d x %d px of %d x %d, want %d x %d of 1030 x 774", p.Cols, p.Rows, p.Width, p.Height, tt.cols, tt.rows)
			}
			if want := 1030 / float64(tt.cols); math.Abs(p.Scale-want) > 1e-12 {
				t.Errorf("scale = %g, want %g", p.Scale, want)
			}
			if got := cornersOf(p); got != uprightCorners {
				t.Errorf("corners = %s, want %s", got, uprightCorners)
			}
		})
	}
}
