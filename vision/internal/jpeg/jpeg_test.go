package jpeg

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"gocv.io/x/gocv"
)

// The factors of eight, four and two are those of the transform, averaged over the pixels of a sample.
func TestFactors(t *testing.T) {
	factor := func(pixels, x, u int) float64 {
		c, sum := 0.5, 0.0
		if u == 0 {
			c = math.Sqrt(0.125)
		}
		for i := x * pixels; i < (x+1)*pixels; i++ {
			sum += math.Cos(float64(2*i+1) * float64(u) * math.Pi / 16)
		}
		return c * sum / float64(pixels)
	}
	transform := map[int]func(f [8]int32) []int32{
		1: func(f [8]int32) []int32 {
			out := eight(f[0], f[1], f[2], f[3], f[4], f[5], f[6], f[7])
			return out[:]
		},
		2: func(f [8]int32) []int32 {
			a, b, c, d := four(f[0], f[1], f[2], f[3], f[5], f[6], f[7])
			return []int32{a, b, c, d}
		},
		4: func(f [8]int32) []int32 {
			a, b := two(f[0], f[1], f[3], f[5], f[7])
			return []int32{a, b}
		},
	}
	for pixels, f := range transform {
		for u := range 8 {
			var one [8]int32
			one[u] = 1
			for x, got := range f(one) {
				if want := math.Round(factor(pixels, x, u) * (1 << factorBits)); float64(got) != want {
					t.Errorf("%d pixels a sample: factor of coefficient %d in sample %d is %d, should be %g", pixels, u, x, got, want)
				}
			}
		}
	}
}

// scene is a picture with edges, slopes and grain in all channels.
func scene(w, h int) *image.NRGBA {
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			dx, dy := float64(x)-0.6*float64(w), float64(y)-0.4*float64(h)
			v := 120 + 60*math.Sin(float64(x)/23)*math.Cos(float64(y)/31) + float64((x*7919^y*104729)>>4&15)
			c := color.NRGBA{clampTo(v + 30), clampTo(v), clampTo(v - 40*math.Cos(float64(y)/50)), 255}
			if math.Hypot(dx, dy) < 0.25*float64(h) {
				c = color.NRGBA{clampTo(v / 3), clampTo(v / 4), clampTo(v / 2), 255}
			}
			img.SetNRGBA(x, y, c)
		}
	}
	return img
}

func clampTo(v float64) uint8 { return uint8(math.Min(math.Max(v, 0), 255)) }

func mat(t testing.TB, img *image.NRGBA) gocv.Mat {
	t.Helper()
	rgba, err := gocv.NewMatFromBytes(img.Rect.Dy(), img.Rect.Dx(), gocv.MatTypeCV8UC4, img.Pix)
	if err != nil {
		t.Fatal(err)
	}
	defer rgba.Close()
	bgr := gocv.NewMat()
	gocv.CvtColor(rgba, &bgr, gocv.ColorRGBAToBGR)
	return bgr
}

// written is a JPEG as libjpeg writes it: 4:2:0, progressive or with restart markers if asked for.
func written(t testing.TB, img *image.NRGBA, quality int, params ...int) []byte {
	t.Helper()
	bgr := mat(t, img)
	defer bgr.Close()
	buf, err := gocv.IMEncodeWithParams(gocv.JPEGFileExt, bgr, append([]int{gocv.IMWriteJpegQuality, quality}, params...))
	if err != nil {
		t.Fatal(err)
	}
	defer buf.Close()
	return bytes.Clone(buf.GetBytes())
}

func standard(t testing.TB, img image.Image, quality int) []byte {
	t.Helper()
	var buf bytes.Buffer
	if err := jpeg.Encode(&buf, img, &jpeg.Options{Quality: quality}); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

func grey(img *image.NRGBA) *image.Gray {
	g := image.NewGray(img.Rect)
	for y := range img.Rect.Dy() {
		for x := range img.Rect.Dx() {
			g.Set(x, y, img.At(x, y))
		}
	}
	return g
}

func samples(t testing.TB) map[string][]byte {
	img := scene(389, 283)
	return map[string][]byte{
		"4:2:0":            written(t, img, 90),
		"poor":             written(t, img, 30),
		"fine":             written(t, img, 100),
		"progressive":      written(t, img, 90, gocv.IMWriteJpegProgressive, 1),
		"fine progressive": written(t, img, 99, gocv.IMWriteJpegProgressive, 1),
		"restart markers":  written(t, img, 90, gocv.IMWriteJpegRstInterval, 7),
		"optimized codes":  written(t, img, 90, gocv.IMWriteJpegOptimize, 1),
		"other encoder":    standard(t, img, 85),
		"grey":             standard(t, grey(img), 85),
	}
}

var reductions = map[int]gocv.IMReadFlag{
	1: gocv.IMReadColor, 2: gocv.IMReadReducedColor2, 4: gocv.IMReadReducedColor4, 8: gocv.IMReadReducedColor8,
}

// Another decoder must see the same picture. Both round, between two passes and at the end;
// where chroma is halved, theirs is spread by the same weights but rounded otherwise.
func TestAgreesWithOpenCV(t *testing.T) {
	files := samples(t)
	for _, name := range []string{"larkfield_demo.jpg", "traced/plain_04.jpg"} {
		b, err := os.ReadFile(filepath.Join("..", "..", "..", "testdata", "trays", name))
		if err != nil {
			t.Fatal(err)
		}
		files[name] = b
	}
	for name, b := range files {
		for by, flag := range reductions {
			t.Run(fmt.Sprintf("%s/%d", name, by), func(t *testing.T) {
				p, err := Decode(context.Background(), b, by)
				if err != nil {
					t.Fatal(err)
				}
				want, err := gocv.IMDecode(b, flag|gocv.IMReadIgnoreOrientation)
				if err != nil {
					t.Fatal(err)
				}
				defer want.Close()
				if p.Cols != want.Cols() || p.Rows != want.Rows() {
					t.Fatalf("%d x %d px, OpenCV has %d x %d", p.Cols, p.Rows, want.Cols(), want.Rows())
				}
				mean, most := apart(p.BGR, want.ToBytes())
				if mean > 0.6 || most > 12 {
					t.Errorf("differs from OpenCV by %.2f in the mean, %d at most", mean, most)
				}
			})
		}
	}
}

func apart(a, b []byte) (mean float64, most int) {
	sum := 0
	for i := range a {
		d := int(max(a[i], b[i]) - min(a[i], b[i]))
		sum += d
		most = max(most, d)
	}
	return float64(sum) / float64(len(a)), most
}

// Phones write several kinds of fineness of colour; the standard library decodes all.
func TestChannelsOfAnyFineness(t *testing.T) {
	for _, f := range []struct{ h, v int }{{1, 1}, {2, 1}, {1, 2}, {2, 2}, {4, 1}, {4, 2}} {
		b := drawn(t, f.h, f.v)
		want, err := jpeg.Decode(bytes.NewReader(b))
		if err != nil {
			t.Fatal(err)
		}
		p, err := Decode(context.Background(), b, 1)
		if err != nil {
			t.Fatalf("%d x %d: %v", f.h, f.v, err)
		}
		for y := range p.Rows {
			for x := range p.Cols {
				r, g, bl, _ := want.At(x, y).RGBA()
				for c, v := range []uint32{bl >> 8, g >> 8, r >> 8} {
					// One colour all over: only rounding differs.
					if d := int(p.BGR[3*(y*p.Cols+x)+c]) - int(v); d < -2 || d > 2 {
						t.Fatalf("%d x %d: pixel %d, %d is %v, should be %d in place %d", f.h, f.v, x, y, p.BGR[3*(y*p.Cols+x):][:3], v, c)
					}
				}
			}
		}
	}
}

// drawn is a JPEG of one colour, 100 x 70 px, whose first channel is h x v times as fine as the others.
func drawn(t testing.TB, h, v int) []byte {
	t.Helper()
	flat := image.NewNRGBA(image.Rect(0, 0, 100, 70))
	for i := range flat.Pix {
		flat.Pix[i] = []byte{200, 120, 60, 255}[i%4]
	}
	b := standard(t, flat, 90)
	at := bytes.Index(b, []byte{0xFF, sof0})
	b[at+11] = byte(h<<4 | v)
	scan := bytes.Index(b, []byte{0xFF, sos})
	mcus := ceilDiv(100, 8*h) * ceilDiv(70, 8*v)
	return append(b[:scan+14], codedFlat(t, b[scan+14:], h*v, mcus)...)
}

// codedFlat writes the data of so many MCUs: the first with the means of a 4:2:0 picture of one
// colour, the others like it. In the standard code a luma difference of 0 is 00, its end of block 1010; 00 and 00 of chroma.
func codedFlat(t testing.TB, data []byte, luma, mcus int) []byte {
	t.Helper()
	var r bits
	r.load(append(bytes.Clone(data), 0xFF, eoi), 0)
	var out []byte
	var acc, n uint
	put := func(v, count uint) {
		for i := count; i > 0; i-- {
			acc = acc<<1 | v>>(i-1)&1
			if n++; n == 8 {
				if out = append(out, byte(acc)); byte(acc) == 0xFF {
					out = append(out, 0)
				}
				acc, n = 0, 0
			}
		}
	}
	copyMean := func(codes map[uint]uint, end uint) { // size by code and its length
		code, length := uint(1), uint(0)
		for {
			code, length = code<<1|uint(r.take(1)), length+1
			if size, ok := codes[code]; ok {
				put(code&(1<<length-1), length)
				put(uint(r.take(size)), size)
				return
			}
		}
	}
	// Codes with a leading one, so that their length tells (T.81, tables K.3 and K.4).
	lumaCodes := map[uint]uint{0b100: 0, 0b1010: 1, 0b1011: 2, 0b1100: 3, 0b1101: 4, 0b1110: 5, 0b11110: 6, 0b111110: 7}
	chromaCodes := map[uint]uint{0b100: 0, 0b101: 1, 0b110: 2, 0b1110: 3, 0b11110: 4, 0b111110: 5, 0b1111110: 6, 0b11111110: 7}
	for m := range mcus {
		for i := range luma {
			if m == 0 && i == 0 {
				copyMean(lumaCodes, 0)
				for range 3 { // the other three blocks of 4:2:0
					r.take(4)
					r.take(2)
				}
				r.take(4)
			} else {
				put(0b00, 2)
			}
			put(0b1010, 4)
		}
		for range 2 {
			if m == 0 {
				copyMean(chromaCodes, 0)
				r.take(2)
			} else {
				put(0b00, 2)
			}
			put(0b00, 2)
		}
	}
	put(0x7F, (8-n)%8)
	return append(out, 0xFF, eoi)
}

func TestEndsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	for name, b := range samples(t) {
		if _, err := Decode(ctx, b, 1); !errors.Is(err, context.Canceled) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// cpu reports what the cores were busy for, which does not depend on who else wants them.
func cpu(b *testing.B) func() {
	spent := func() float64 {
		var u syscall.Rusage
		if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
			b.Fatal(err)
		}
		return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e6
	}
	before := spent()
	return func() { b.ReportMetric((spent()-before)/float64(b.N), "cpu-ms/op") }
}

func BenchmarkDecode12Mpx(b *testing.B) {
	img := scene(4000, 3000)
	files := map[string][]byte{
		"baseline":    written(b, img, 90),
		"progressive": written(b, img, 90, gocv.IMWriteJpegProgressive, 1),
	}
	for name, file := range files {
		for by, flag := range reductions {
			b.Run(fmt.Sprintf("%s/%d", name, by), func(b *testing.B) {
				b.SetBytes(int64(len(file)))
				defer cpu(b)()
				for b.Loop() {
					if _, err := Decode(context.Background(), file, by); err != nil {
						b.Fatal(err)
					}
				}
			})
			b.Run(fmt.Sprintf("%s/%d by OpenCV", name, by), func(b *testing.B) {
				b.SetBytes(int64(len(file)))
				defer cpu(b)()
				for b.Loop() {
					m, err := gocv.IMDecode(file, flag)
					if err != nil {
						b.Fatal(err)
					}
					m.Close()
				}
			})
		}
	}
}
