package painter

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/draw"
	"image/jpeg"
	"time"
)

// Meta is what the camera writes beside the picture.
type Meta struct {
	Orientation int       // EXIF orientation 1 to 8; 0 counts as 1
	Taken       time.Time // capture time as the camera's clock had it; zero writes none
	Quality     int       // of the JPEG, 1 to 100; 0 means 88
}

// Meta is the camera's record that belongs to the Spec.
func (s *Spec) Meta() Meta {
	return Meta{Orientation: s.Orientation, Taken: s.Taken, Quality: s.Quality}
}

// EncodeJPEG stores an upright picture as a phone would: the pixels turned as the
// orientation says, so that a reader that honours it sees the picture upright, and
// orientation and capture time in an EXIF segment.
func EncodeJPEG(img *image.RGBA, m Meta) []byte {
	if m.Quality == 0 {
		m.Quality = 88
	}
	if m.Orientation < 1 || m.Orientation > 8 {
		m.Orientation = 1
	}
	var buf bytes.Buffer
	// writing to memory cannot fail, and the encoder refuses only sides of 65536 pixels and more
	if err := jpeg.Encode(&buf, stored(img, m.Orientation), &jpeg.Options{Quality: m.Quality}); err != nil {
		return nil
	}
	plain := buf.Bytes()
	segment := exifSegment(m)
	out := make([]byte, 0, len(plain)+len(segment))
	out = append(out, plain[:2]...) // start of image
	out = append(out, segment...)
	return append(out, plain[2:]...)
}

// stored turns an upright picture into the pixels of a file with the orientation.
func stored(img *image.RGBA, orientation int) *image.RGBA {
	b := img.Bounds()
	w, h := b.Dx(), b.Dy()
	sw, sh := w, h
	if orientation >= 5 {
		sw, sh = h, w
	}
	out := image.NewRGBA(image.Rect(0, 0, sw, sh))
	if orientation == 1 {
		draw.Draw(out, out.Bounds(), img, b.Min, draw.Src)
		return out
	}
	for y := range sh {
		for x := range sw {
			ux, uy := upright(x, y, w, h, orientation)
			out.SetRGBA(x, y, img.RGBAAt(b.Min.X+ux, b.Min.Y+uy))
		}
	}
	return out
}

// upright is the pixel of the upright picture (w by h) that is stored at x, y.
// Source: CIPA DC-008, Exchangeable image file format, tag Orientation.
func upright(x, y, w, h, orientation int) (int, int) {
	switch orientation {
	case 2:
		return w - 1 - x, y
	case 3:
		return w - 1 - x, h - 1 - y
	case 4:
		return x, h - 1 - y
	case 5:
		return y, x
	case 6:
		return w - 1 - y, x
	case 7:
		return w - 1 - y, h - 1 - x
	case 8:
		return y, h - 1 - x
	}
	return x, y
}

// EXIF tags and types used here.
const (
	tagOrientation = 0x0112
	tagDateTime    = 0x0132
	tagExifIFD     = 0x8769
	tagOriginal    = 0x9003
	typeASCII      = 2
	typeShort      = 3
	typeLong       = 4
)

// exifSegment is an APP1 segment with a TIFF directory in little-endian order:
// orientation, date, and the directory that holds the capture time.
func exifSegment(m Meta) []byte {
	le := binary.LittleEndian
	stamp := []byte(m.Taken.Format("2006:01:02 15:04:05") + "\x00")
	entry := func(b []byte, tag, kind uint16, count, value uint32) []byte {
		b = le.AppendUint16(le.AppendUint16(b, tag), kind)
		return le.AppendUint32(le.AppendUint32(b, count), value)
	}
	tiff := []byte{'I', 'I', 42, 0, 8, 0, 0, 0}
	if m.Taken.IsZero() {
		tiff = le.AppendUint16(tiff, 1)
		tiff = entry(tiff, tagOrientation, typeShort, 1, uint32(m.Orientation))
		tiff = le.AppendUint32(tiff, 0)
	} else {
		const first = 8 + 2 + 3*12 + 4    // end of the first directory
		const second = first + 2 + 12 + 4 // end of the second
		tiff = le.AppendUint16(tiff, 3)
		tiff = entry(tiff, tagOrientation, typeShort, 1, uint32(m.Orientation))
		tiff = entry(tiff, tagDateTime, typeASCII, uint32(len(stamp)), second)
		tiff = entry(tiff, tagExifIFD, typeLong, 1, first)
		tiff = le.AppendUint32(tiff, 0)
		tiff = le.AppendUint16(tiff, 1)
		tiff = entry(tiff, tagOriginal, typeASCII, uint32(len(stamp)), second+uint32(len(stamp)))
		tiff = le.AppendUint32(tiff, 0)
		tiff = append(append(tiff, stamp...), stamp...)
	}
	body := append([]byte("Exif\x00\x00"), tiff...)
	seg := binary.BigEndian.AppendUint16([]byte{0xff, 0xe1}, uint16(len(body)+2))
	return append(seg, body...)
}
