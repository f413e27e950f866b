package photo

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"testing"

	"gocv.io/x/gocv"
)

// The sample picture: four quadrants of 96 x 64 px, of which no turn or mirror
// image looks like another.
const (
	sampleWidth  = 192
	sampleHeight = 128
	// uprightCorners names the quadrants' colours: top left, top right, bottom left, bottom right.
	uprightCorners = "RGBY"
)

var paint = map[byte]color.NRGBA{
	'R': {255, 0, 0, 255},
	'G': {0, 255, 0, 255},
	'B': {0, 0, 255, 255},
	'Y': {255, 255, 0, 255},
}

var plenty = Limits{MaxPixels: 1_000_000}

// quadrants draws a picture with the given corners (see uprightCorners). One border is aslant: a
// straight one along the blocks of a JPEG looks like damage.
func quadrants(width, height int, corners string) *image.NRGBA {
	img := image.NewNRGBA(image.Rect(0, 0, width, height))
	for y := range height {
		for x := range width {
			down, right := 0, 2*x/width
			if y >= height/2+(x-width/2)/6 {
				down = 1
			}
			img.SetNRGBA(x, y, paint[corners[2*down+right]])
		}
	}
	return img
}

// cornersOf names the colours in the middle of the quadrants of a loaded photo, '?' for any other.
func cornersOf(p Photo) string {
	var out []byte
	for _, at := range []image.Point{{1, 1}, {3, 1}, {1, 3}, {3, 3}} {
		out = append(out, nameOf(pixel(p, at.X*p.Cols/4, at.Y*p.Rows/4)))
	}
	return string(out)
}

func nameOf(bgr [3]int) byte {
	for name, c := range paint {
		if near(bgr, [3]int{int(c.B), int(c.G), int(c.R)}, 24) {
			return name
		}
	}
	return '?'
}

func pixel(p Photo, x, y int) [3]int {
	at := 3 * (y*p.Cols + x)
	return [3]int{int(p.Pix[at]), int(p.Pix[at+1]), int(p.Pix[at+2])}
}

func near(a, b [3]int, tolerance int) bool {
	for i := range a {
		if max(a[i]-b[i], b[i]-a[i]) > tolerance {
			return false
		}
	}
	return true
}

func pngOf(t testing.TB, img image.Image) []byte {
	t.Helper()
	var buf bytes.Buffer
	if err := png.Encode(&buf, img); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

func jpegOf(t testing.TB, img image.Image) []byte {
	t.Helper()
	var buf bytes.Buffer
	if err := jpeg.Encode(&buf, img, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

// encoded is the picture as OpenCV writes it, for what the standard library cannot write.
func encoded(t testing.TB, img *image.NRGBA, ext gocv.FileExt, params ...int) []byte {
	t.Helper()
	rgba, err := gocv.NewMatFromBytes(img.Rect.Dy(), img.Rect.Dx(), gocv.MatTypeCV8UC4, img.Pix)
	if err != nil {
		t.Fatal(err)
	}
	defer rgba.Close()
	bgra := gocv.NewMat()
	defer bgra.Close()
	gocv.CvtColor(rgba, &bgra, gocv.ColorBGRAToRGBA)
	if ext == gocv.JPEGFileExt {
		gocv.CvtColor(rgba, &bgra, gocv.ColorRGBAToBGR)
	}
	buf, err := gocv.IMEncodeWithParams(ext, bgra, params)
	if err != nil {
		t.Fatal(err)
	}
	defer buf.Close()
	return bytes.Clone(buf.GetBytes())
}

func webpOf(t testing.TB, img *image.NRGBA, quality int) []byte {
	return encoded(t, img, ".webp", gocv.IMWriteWebpQuality, quality)
}

func progressiveOf(t testing.TB, img *image.NRGBA) []byte {
	return encoded(t, img, gocv.JPEGFileExt, gocv.IMWriteJpegProgressive, 1, gocv.IMWriteJpegQuality, 95)
}

func sampleHEIC(t testing.TB) []byte {
	t.Helper()
	b, err := os.ReadFile("testdata/quadrants.heic")
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// exifOf writes the TIFF structure of an EXIF block: orientation and DateTime
// in its first directory, DateTimeOriginal in the one that it points to.
// Values that are zero are left out.
func exifOf(order binary.AppendByteOrder, orientation uint16, original, changed string) []byte {
	const (
		short, long, ascii = 3, 4, 2
		first              = 8
	)
	var main, sub, text []byte
	entries := uint16(0)
	entry := func(dir []byte, tag, kind uint16, count, value uint32) []byte {
		dir = order.AppendUint16(dir, tag)
		dir = order.AppendUint16(dir, kind)
		dir = order.AppendUint32(dir, count)
		if kind == short {
			return order.AppendUint16(order.AppendUint16(dir, uint16(value)), 0)
		}
		return order.AppendUint32(dir, value)
	}
	count := 0
	for _, present := range []bool{orientation != 0, changed != "", original != ""} {
		if present {
			count++
		}
	}
	subAt := uint32(first + 2 + 12*count + 4)
	textAt := subAt
	if original != "" {
		textAt += 2 + 12 + 4
	}
	addText := func(s string) (n, at uint32) {
		at = textAt + uint32(len(text))
		text = append(append(text, s...), 0)
		return uint32(len(s)) + 1, at
	}
	if orientation != 0 {
		main = entry(main, 0x0112, short, 1, uint32(orientation))
		entries++
	}
	if changed != "" {
		n, at := addText(changed)
		main = entry(main, 0x0132, ascii, n, at)
		entries++
	}
	if original != "" {
		main = entry(main, 0x8769, long, 1, subAt)
		entries++
		n, at := addText(original)
		sub = order.AppendUint16(sub, 1)
		sub = entry(sub, 0x9003, ascii, n, at)
		sub = order.AppendUint32(sub, 0)
	}
	out := []byte("MM")
	if order.AppendUint16(nil, 1)[0] == 1 {
		out = []byte("II")
	}
	out = order.AppendUint16(out, 42)
	out = order.AppendUint32(out, first)
	out = order.AppendUint16(out, entries)
	out = append(out, main...)
	out = order.AppendUint32(out, 0)
	return append(append(out, sub...), text...)
}

// withEXIF puts an EXIF block into a JPEG, PNG or WebP.
func withEXIF(t testing.TB, b, exif []byte) []byte {
	t.Helper()
	format, err := sniff(b)
	if err != nil {
		t.Fatal(err)
	}
	switch format {
	case JPEG:
		return insert(b, 2, jpegSegment(jpegAPP1, append([]byte(exifPreamble), exif...)))
	case PNG:
		return insert(b, afterIHDR, pngChunk("eXIf", exif))
	case WebP:
		h, err := Info(b)
		if err != nil {
			t.Fatal(err)
		}
		extended := make([]byte, 10)
		extended[0] = 0x08 // has EXIF
		binary.LittleEndian.PutUint32(extended[4:], uint32(h.Width-1))
		w := h.Height - 1
		extended[7], extended[8], extended[9] = byte(w), byte(w>>8), byte(w>>16)
		return riff(riffChunk("VP8X", extended), b[12:], riffChunk("EXIF", exif))
	}
	t.Fatalf("no way to put EXIF into a %s", format)
	return nil
}

const afterIHDR = 8 + 12 + 13

func insert(b []byte, at int, part []byte) []byte {
	return bytes.Join([][]byte{b[:at], part, b[at:]}, nil)
}

func jpegSegment(marker byte, body []byte) []byte {
	return append(binary.BigEndian.AppendUint16([]byte{0xFF, marker}, uint16(len(body)+2)), body...)
}

func pngChunk(kind string, body []byte) []byte {
	out := binary.BigEndian.AppendUint32(nil, uint32(len(body)))
	out = append(append(out, kind...), body...)
	return binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(out[4:]))
}

// pngClaiming is a PNG that states a size and holds next to nothing.
func pngClaiming(width, height uint32, depth, kind byte) []byte {
	body := binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, width), height)
	body = append(body, depth, kind, 0, 0, 0)
	return bytes.Join([][]byte{[]byte(pngSignature), pngChunk("IHDR", body), pngChunk("IDAT", []byte{0}), pngChunk("IEND", nil)}, nil)
}

func riff(parts ...[]byte) []byte {
	body := append([]byte("WEBP"), bytes.Join(parts, nil)...)
	return append(binary.LittleEndian.AppendUint32([]byte("RIFF"), uint32(len(body))), body...)
}

func riffChunk(kind string, body []byte) []byte {
	out := append(binary.LittleEndian.AppendUint32([]byte(kind), uint32(len(body))), body...)
	if len(body)%2 == 1 {
		out = append(out, 0)
	}
	return out
}
