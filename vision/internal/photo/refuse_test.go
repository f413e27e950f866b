package photo

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"image"
	"slices"
	"strings"
	"testing"
)

func TestRefusals(t *testing.T) {
	img := quadrants(sampleWidth, sampleHeight, uprightCorners)
	jpg, pic, webp, heic := jpegOf(t, img), pngOf(t, img), webpOf(t, img, 100), sampleHEIC(t)
	// changed gives a JPEG with one byte of its frame segment replaced: 0 is the
	// precision, 1 to 4 the size, 5 the number of channels.
	changed := func(at int, v byte) []byte {
		b := bytes.Clone(jpg)
		b[bytes.Index(b, []byte{0xFF, jpegSOF0})+4+at] = v
		return b
	}
	frame := bytes.Index(jpg, []byte{0xFF, jpegSOF0})
	badSum := bytes.Clone(pic)
	badSum[afterIHDR-1] ^= 1
	seeThrough := quadrants(sampleWidth, sampleHeight, uprightCorners)
	seeThrough.Pix[3] = 9
	isoFile := func(brand string) []byte {
		return append([]byte("\x00\x00\x00\x14ftyp"), brand+"\x00\x00\x00\x00"+brand+"\x00\x00\x00\x08mdat"...)
	}
	tests := []struct {
		name string
		b    []byte
		err  error
		says string
	}{
		{"empty", nil, ErrNotPhoto, "the file is empty"},
		{"text", []byte("block,fruit,stage\nNorth 3,1,4.5\n"), ErrNotPhoto, "this is text"},
		{"long text", []byte(strings.Repeat("Größe, Stärke\n", 100)), ErrNotPhoto, "this is text"},
		{"PDF", []byte("%PDF-1.7\n\x00\x01"), ErrNotPhoto, "PDF"},
		{"GIF", []byte("GIF89a\x01\x00\x01\x00"), ErrNotPhoto, "GIF"},
		{"BMP", []byte("BM\x46\x00\x00\x00\x00"), ErrNotPhoto, "BMP"},
		{"TIFF, little-endian", []byte("II*\x00\x08\x00\x00\x00"), ErrNotPhoto, "TIFF"},
		{"TIFF, big-endian", []byte("MM\x00*\x00\x00\x00\x08"), ErrNotPhoto, "TIFF"},
		{"zip", []byte("PK\x03\x04\x14\x00"), ErrNotPhoto, "zip archive"},
		{"AVI", []byte("RIFF\x00\x00\x00\x00AVI LIST"), ErrNotPhoto, "video"},
		{"MP4", isoFile("mp42"), ErrNotPhoto, "video"},
		{"QuickTime", isoFile("qt  "), ErrNotPhoto, "video"},
		{"AVIF", isoFile("avif"), ErrNotPhoto, "AVIF"},
		{"HEIF without HEVC", isoFile("mif1"), ErrNotPhoto, "rare kind"},
		{"raw in boxes", isoFile("crx "), ErrNotPhoto, "raw camera picture"},
		{"box file of no brand", []byte("\x00\x00\x00\x09ftyp?"), ErrNotPhoto, "video"},
		{"noise", []byte("\x01\x02\x03\x04\xfe\xdc"), ErrNotPhoto, "none of JPEG, PNG, WebP and HEIC"},

		{"JPEG too large", jpegOf(t, image.NewGray(image.Rect(0, 0, 1250, 1000))), ErrTooLarge, "1250 x 1000 px are 1.2 megapixels and the limit is 1.0"},
		{"PNG of 900 Mpx", pngClaiming(30000, 30000, 8, 2), ErrTooLarge, "900.0 megapixels and the limit is 1.0"},
		{"PNG of 4611 Tpx", pngClaiming(1<<31-1, 1<<31-1, 8, 2), ErrTooLarge, "the limit is 1.0"},
		{"PNG of one pixel", pngOf(t, image.NewGray(image.Rect(0, 0, 1, 1))), ErrTooSmall, "1 x 1 px, 64 px a side"},
		{"PNG one row short", pngOf(t, image.NewGray(image.Rect(0, 0, 64, 63))), ErrTooSmall, "64 x 63 px"},

		{"JPEG in printing colours", changed(5, 4), ErrNotPhoto, "CMYK"},
		{"JPEG of 2 channels", changed(5, 2), ErrNotPhoto, "2 colour channels"},
		{"JPEG of 12 bits", changed(0, 12), ErrNotPhoto, "12 bits a channel"},
		{"lossless JPEG", replaced(jpg, frame+1, 0xC3), ErrNotPhoto, "rare kind of JPEG"},
		{"JPEG of no height", replaced(replaced(jpg, frame+5, 0), frame+6, 0), ErrDamaged, "192 x 0 px"},
		{"JPEG with two sizes", insert(jpg, frame, jpg[frame:frame+19]), ErrDamaged, "states its size twice"},
		{"JPEG without size", bytes.Join([][]byte{jpg[:frame], jpg[frame+19:]}, nil), ErrDamaged, "before its size"},
		{"JPEG without picture", []byte("\xff\xd8\xff\xd9"), ErrDamaged, "holds no picture"},
		{"JPEG in JPEG", []byte("\xff\xd8\xff\xd8"), ErrDamaged, "starts anew"},
		{"JPEG with a part of no length", []byte("\xff\xd8\xff\xe0\x00\x01\xff\xd9"), ErrDamaged, "no length"},
		{"JPEG with a broken size", []byte("\xff\xd8\xff\xc0\x00\x04\x08\x00\xff\xd9"), ErrDamaged, "broken size"},
		{"JPEG of thousands of scans", slices.Concat(jpg[:frame+19], bytes.Repeat([]byte("\xff\xda\x00\x08\x01\x01\x00\x00\x3f\x00\xff\x00"), 3000), []byte("\xff\xd9")),
			ErrNotPhoto, "more than 100 times"},
		{"JPEG filled up with zeros", append(bytes.Clone(jpg[:len(jpg)/2]), make([]byte, len(jpg)/2)...), ErrCutShort, "without its end marker"},
		{"JPEG without tables", []byte("\xff\xd8" + string(jpg[frame:frame+19]) + "\xff\xda\x00\x0c\x03\x01\x00\x02\x11\x03\x11\x00\x3f\x00\xff\xd9"), ErrDamaged, "lacks a table"},

		{"PNG with a wrong sum", badSum, ErrDamaged, "broken header chunk"},
		{"PNG without header", append([]byte(pngSignature), pngChunk("IEND", nil)...), ErrDamaged, "header chunk"},
		{"PNG with two headers", insert(pic, afterIHDR, pic[8:afterIHDR]), ErrDamaged, "header chunk"},
		{"PNG without picture", append(bytes.Clone(pic[:afterIHDR]), pngChunk("IEND", nil)...), ErrDamaged, "holds no picture"},
		{"PNG of no width", pngClaiming(0, 64, 8, 2), ErrDamaged, "0 x 64 px"},
		{"PNG of 3 bits", pngClaiming(64, 64, 3, 0), ErrDamaged, "kind of pixel"},
		{"PNG of colour type 5", pngClaiming(64, 64, 8, 5), ErrDamaged, "kind of pixel"},
		{"PNG with a broken picture", pngClaiming(64, 64, 8, 2), ErrDamaged, "cannot be decoded"},

		{"animated WebP", riff(riffChunk("VP8X", []byte{webpAnimated, 0, 0, 0, 99, 0, 0, 99, 0, 0})), ErrNotPhoto, "animated"},
		{"WebP of no length", []byte("RIFF\x00\x00\x00\x00WEBP"), ErrDamaged, "shorter than its own header"},
		{"WebP without picture", riff(), ErrCutShort, "before its picture"},
		{"WebP of unknown parts", riff(riffChunk("VP8?", []byte{1, 2, 3})), ErrDamaged, "does not state its size"},
		{"WebP with a part too long", riff([]byte("VP8 \xff\xff\x00\x00")), ErrDamaged, "longer than itself"},
		{"lossless WebP", webpOf(t, img, 101), ErrNotPhoto, "lossless WebP"},
		{"see-through WebP", webpOf(t, seeThrough, 90), ErrNotPhoto, "see-through WebP"},
		{"WebP with a broken picture", riff(webp[12:42]), ErrDamaged, "longer than itself"},

		{"HEIC without description", heic[:binary.BigEndian.Uint32(heic)], ErrCutShort, "HEIC ends after"},
		{"HEIC with a broken description", replaced(heic, bytes.Index(heic, []byte("pitm"))-1, 3), ErrDamaged, "broken description"},
		{"HEIC without size", []byte(strings.Replace(string(heic), "ispe", "free", 1)), ErrDamaged, "does not state its size"},
		{"HEIC with a broken picture", replaced(heic, bytes.Index(heic, []byte("hvcC")), 'x'), ErrDamaged, "coded in another size"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Load(context.Background(), tt.b, plenty)
			if !errors.Is(err, tt.err) {
				t.Fatalf("error = %v, want %v", err, tt.err)
			}
			text := err.Error()
			if !strings.Contains(text, tt.says) {
				t.Errorf("error = %q, want it to say %q", text, tt.says)
			}
			if !strings.Contains(text, "; ") || strings.HasSuffix(text, ".") {
				t.Errorf("error = %q, want a clause that ends with what to do", text)
			}
		})
	}
}

func replaced(b []byte, at int, v byte) []byte {
	b = bytes.Clone(b)
	b[at] = v
	return b
}

// Whatever part of a photo is missing at its end, that must be seen without
// decoding.
func TestCutShortAnywhere(t *testing.T) {
	img := quadrants(sampleWidth, sampleHeight, uprightCorners)
	dated := exifOf(binary.BigEndian, 6, "2026:09:14 08:31:00", "")
	tests := []struct {
		name  string
		b     []byte
		spare int // bytes at the end that may be missing
	}{
		{"JPEG", withEXIF(t, jpegOf(t, img), dated), 0},
		{"progressive JPEG", progressiveOf(t, img), 0},
		{"PNG", withEXIF(t, pngOf(t, img), dated), 0},
		{"lossy WebP", webpOf(t, img, 100), 1},
		{"WebP with EXIF", withEXIF(t, webpOf(t, img, 100), dated), 1},
		{"HEIC", sampleHEIC(t), 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if _, err := Info(tt.b); err != nil {
				t.Fatal(err)
			}
			for n := 24; n < len(tt.b)-tt.spare; n++ {
				if _, err := Info(tt.b[:n]); !errors.Is(err, ErrCutShort) {
					t.Fatalf("%d of %d bytes: error = %v, want %v", n, len(tt.b), err, ErrCutShort)
				}
			}
		})
	}
}

func TestCutShortSaysHowMuchIsThere(t *testing.T) {
	b := jpegOf(t, quadrants(sampleWidth, sampleHeight, uprightCorners))
	_, err := Load(context.Background(), b[:1000], plenty)
	want := "cut short: the JPEG ends after 1000 bytes without its end marker; copy the file from the phone again"
	if err == nil || err.Error() != want {
		t.Errorf("error = %v\nwant    %s", err, want)
	}
}

// The limit is on pixels: exactly as many as allowed pass, one column more does not.
func TestLimit(t *testing.T) {
	b := jpegOf(t, quadrants(100, 80, uprightCorners))
	if _, err := Load(context.Background(), b, Limits{MaxPixels: 8000}); err != nil {
		t.Errorf("100 x 80 px with a limit of 8000: %v", err)
	}
	if _, err := Load(context.Background(), b, Limits{MaxPixels: 7999}); !errors.Is(err, ErrTooLarge) {
		t.Errorf("100 x 80 px with a limit of 7999: error = %v, want %v", err, ErrTooLarge)
	}
}

// What a photo takes to decode is bounded too, whatever the limit of pixels.
func TestMemoryLimit(t *testing.T) {
	jpg := func(progressive int) Header {
		return Header{Format: JPEG, Width: 10000, Height: 11000, fixed: progressive * 2 * 3 * 110_000_000}
	}
	tests := []struct {
		name string
		h    Header
		fits bool
	}{
		{"JPEG of 110 megapixels", jpg(0), true},
		// two bytes a coefficient, of three channels
		{"progressive JPEG of 110 megapixels", jpg(1), false},
		{"PNG of 48 megapixels", Header{Format: PNG, Width: 8000, Height: 6000, bytes: 4}, true},
		{"PNG of 48 megapixels and 16 bits", Header{Format: PNG, Width: 8000, Height: 6000, bytes: 8}, false},
	}
	for _, tt := range tests {
		release, err := reserve(context.Background(), tt.h, 1000)
		if (err == nil) != tt.fits || err != nil && !errors.Is(err, ErrTooLarge) {
			t.Errorf("%s: %v", tt.name, err)
		}
		if err == nil {
			release()
		}
	}
}

// Photos that do not fit in together wait for one another, and no longer than asked to.
func TestPhotosWaitForMemory(t *testing.T) {
	large := Header{Format: PNG, Width: 8000, Height: 6000, bytes: 4} // 192 MB of 350
	release, err := reserve(context.Background(), large, 1000)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := reserve(ctx, large, 1000); !errors.Is(err, context.Canceled) {
		t.Errorf("a second one: %v, want it to wait until it is cancelled", err)
	}
	release()
	again, err := reserve(context.Background(), large, 1000)
	if err != nil {
		t.Fatal(err)
	}
	again()
}

func TestHEICBelowDecoderMinimum(t *testing.T) {
	if err := plenty.check(Header{Format: HEIC, Width: 4000, Height: 127}); !errors.Is(err, ErrTooSmall) {
		t.Errorf("error = %v, want %v", err, ErrTooSmall)
	}
}
