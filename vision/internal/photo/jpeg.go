package photo

import (
	"bytes"
	"encoding/binary"
	"fmt"

	"traystage/vision/internal/jpeg"
)

// JPEG marker codes (ITU-T T.81, 1992, table B.1).
const (
	jpegTEM  = 0x01
	jpegSOF0 = 0xC0
	jpegSOF2 = 0xC2
	jpegDHT  = 0xC4
	jpegJPG  = 0xC8
	jpegDAC  = 0xCC
	jpegRST0 = 0xD0
	jpegRST7 = 0xD7
	jpegSOI  = 0xD8
	jpegEOI  = 0xD9
	jpegSOS  = 0xDA
	jpegAPP1 = 0xE1
)

const exifPreamble = "Exif\x00\x00"

// jpegWalk follows the markers of a JPEG from its start to its end marker
// without decoding anything: enough to know its size, and whether the end is there.
type jpegWalk struct {
	b      []byte
	at     int // next byte to look at
	header Header
	exif   []byte // TIFF structure of the EXIF segment, nil when there is none
	scans  int
}

// walkJPEG gives the header and EXIF bytes of a whole JPEG. Whatever follows
// the end marker is ignored: phones append videos and further pictures.
func walkJPEG(b []byte) (Header, []byte, error) {
	w := jpegWalk{b: b, at: 2, header: Header{Format: JPEG}}
	for {
		marker, ok := w.marker()
		if !ok {
			return Header{}, nil, w.cut()
		}
		switch {
		case marker == jpegEOI:
			if w.scans == 0 || w.header.Width == 0 {
				return Header{}, nil, damaged(JPEG, "holds no picture")
			}
			return w.header, w.exif, nil
		case marker == jpegSOI:
			return Header{}, nil, damaged(JPEG, "starts anew before its end")
		case marker == jpegTEM || jpegRST0 <= marker && marker <= jpegRST7:
			continue // stands alone, without a length
		}
		body, err := w.segment()
		if err == nil {
			err = w.take(marker, body)
		}
		if err != nil {
			return Header{}, nil, err
		}
	}
}

func (w *jpegWalk) cut() error {
	return cutShort(JPEG, len(w.b), "without its end marker")
}

// marker goes to the next marker, over fill bytes and stray bytes as decoders
// do, and gives its code.
func (w *jpegWalk) marker() (byte, bool) {
	for w.at < len(w.b) {
		i := bytes.IndexByte(w.b[w.at:], 0xFF)
		if i < 0 {
			break
		}
		w.at += i
		for w.at < len(w.b) && w.b[w.at] == 0xFF {
			w.at++
		}
		if w.at == len(w.b) {
			break
		}
		code := w.b[w.at]
		w.at++
		if code != 0 {
			return code, true
		}
	}
	return 0, false
}

// segment gives the body that follows a marker and steps over it.
func (w *jpegWalk) segment() ([]byte, error) {
	rest := w.b[w.at:]
	if len(rest) < 2 {
		return nil, w.cut()
	}
	// The length counts its own two bytes.
	n := int(binary.BigEndian.Uint16(rest))
	switch {
	case n < 2:
		return nil, damaged(JPEG, "has a part of no length")
	case n > len(rest):
		return nil, w.cut()
	}
	w.at += n
	return rest[2:n], nil
}

func (w *jpegWalk) take(marker byte, body []byte) error {
	switch {
	case marker == jpegAPP1 && w.exif == nil && bytes.HasPrefix(body, []byte(exifPreamble)):
		w.exif = body[len(exifPreamble):]
	case marker == jpegSOS:
		if w.header.Width == 0 {
			return damaged(JPEG, "has picture data before its size")
		}
		if w.scans++; w.scans > jpeg.MostScans {
			return notPhoto(fmt.Sprintf("this JPEG goes over its picture more than %d times", jpeg.MostScans), "save it as an ordinary JPEG")
		}
		// Coded data follows. In it 0xFF is stuffed with a zero or starts a restart
		// marker, and both of these the search for the next marker steps over.
	case isFrame(marker):
		return w.frame(marker, body)
	}
	return nil
}

// isFrame is true for the start-of-frame markers 0xC0 to 0xCF, among which
// stand three that are none.
func isFrame(marker byte) bool {
	return marker&0xF0 == jpegSOF0 && marker != jpegDHT && marker != jpegJPG && marker != jpegDAC
}

func (w *jpegWalk) frame(marker byte, body []byte) error {
	if len(body) < 6 {
		return damaged(JPEG, "has a broken size segment")
	}
	if w.header.Width != 0 {
		return damaged(JPEG, "states its size twice")
	}
	bits, parts := int(body[0]), int(body[5])
	switch {
	case marker > jpegSOF2:
		return notPhoto("this is a rare kind of JPEG (lossless, hierarchical or arithmetic)", "save it as an ordinary JPEG")
	case bits != 8:
		return notPhoto(fmt.Sprintf("this JPEG has %d bits a channel instead of 8", bits), "save it as an ordinary JPEG")
	case parts == 4:
		return notPhoto("this JPEG is in printing colours (CMYK)", "save it in RGB colours")
	case parts != 1 && parts != 3:
		return notPhoto(fmt.Sprintf("this JPEG has %d colour channels instead of 1 or 3", parts), "save it as an ordinary JPEG")
	}
	w.header.Height = int(binary.BigEndian.Uint16(body[1:]))
	w.header.Width = int(binary.BigEndian.Uint16(body[3:]))
	if w.header.Width == 0 || w.header.Height == 0 {
		return damaged(JPEG, fmt.Sprintf("states a size of %d x %d px", w.header.Width, w.header.Height))
	}
	if marker == jpegSOF2 {
		w.header.fixed = coefficients(w.header.Width, w.header.Height, body[6:])
	}
	return nil
}

// coefficients is how many bytes the coefficients of all channels take, which a progressive
// JPEG makes hold until its end: two for each, in whole blocks of 8 x 8.
func coefficients(width, height int, channels []byte) int {
	across, down, most := 1, 1, 0
	for i := 0; i+1 < len(channels); i += 3 {
		h, v := int(channels[i+1]>>4), int(channels[i+1]&15)
		across, down = max(across, h), max(down, v)
		most += h * v
	}
	return 128 * most * ceilDiv(width, 8*across) * ceilDiv(height, 8*down)
}
