package photo

import (
	"bytes"
	"encoding/binary"
	"fmt"
)

// Flags of a WebP's extended header (RFC 9649, 2024, section 2.7.1).
const (
	webpAnimated = 0x02
	webpAlpha    = 0x10
)

// walkWebP follows the chunks of a WebP to the end that its RIFF header states.
func walkWebP(b []byte) (Header, []byte, error) {
	size := 8 + int64(binary.LittleEndian.Uint32(b[4:]))
	// Some writers leave out the byte that pads the last chunk to an even length.
	if size > int64(len(b))+1 {
		return Header{}, nil, cutShort(WebP, len(b), fmt.Sprintf("and needs %d", size))
	}
	if size < 12 {
		return Header{}, nil, damaged(WebP, "states a length shorter than its own header")
	}
	var h Header
	var exif []byte
	for rest := b[12:min(size, int64(len(b)))]; len(rest) >= 8; {
		kind, n := string(rest[:4]), int64(binary.LittleEndian.Uint32(rest[4:]))
		if n > int64(len(rest)-8) {
			return Header{}, nil, damaged(WebP, "holds a part longer than itself")
		}
		body := rest[8 : 8+n]
		rest = rest[min(8+n+n%2, int64(len(rest))):]
		switch {
		case h.Format == 0: // the first chunk states the size
			var err error
			if h, err = webpHeader(kind, body); err != nil {
				return Header{}, nil, err
			}
		case kind == "EXIF":
			exif = bytes.TrimPrefix(body, []byte(exifPreamble))
		}
	}
	if h.Format == 0 {
		return Header{}, nil, cutShort(WebP, len(b), "before its picture")
	}
	return h, exif, nil
}

// webpHeader reads the size from the first chunk: lossy (RFC 6386, 2011, section 9.1),
// lossless (RFC 9649, section 3.4) or extended.
func webpHeader(kind string, body []byte) (Header, error) {
	h := Header{Format: WebP}
	switch {
	case kind == "VP8 " && has(body, 3, "\x9d\x01\x2a") && len(body) >= 10:
		h.bytes = 2
		h.Width = int(binary.LittleEndian.Uint16(body[6:]) & 0x3FFF)
		h.Height = int(binary.LittleEndian.Uint16(body[8:]) & 0x3FFF)
	case kind == "VP8L" && has(body, 0, "\x2f") && len(body) >= 5:
		h.bytes = 9 // its pixels, and once more between two of its transforms
		bits := binary.LittleEndian.Uint32(body[1:])
		h.Width = int(bits&0x3FFF) + 1
		h.Height = int(bits>>14&0x3FFF) + 1
		h.alpha = bits>>28&1 != 0
	case kind == "VP8X" && len(body) >= 10:
		if body[0]&webpAnimated != 0 {
			return Header{}, notPhoto("this is an animated WebP", takeStill)
		}
		h.bytes = 9 // lossless, or lossy with lossless alpha
		h.Width = 1 + int(body[4]) + int(body[5])<<8 + int(body[6])<<16
		h.Height = 1 + int(body[7]) + int(body[8])<<8 + int(body[9])<<16
		h.alpha = body[0]&webpAlpha != 0
	}
	if h.Width == 0 || h.Height == 0 {
		return Header{}, damaged(WebP, "does not state its size")
	}
	return h, nil
}
