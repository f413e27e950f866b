package photo

import (
	"bytes"
	"encoding/binary"
	"fmt"
)

// Flag of a WebP's extended header (RFC 9649, 2024, section 2.7.1).
const webpAnimated = 0x02

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
	seen := false
	for rest := b[12:min(size, int64(len(b)))]; len(rest) >= 8; {
		kind, n := string(rest[:4]), int64(binary.LittleEndian.Uint32(rest[4:]))
		if n > int64(len(rest)-8) {
			return Header{}, nil, damaged(WebP, "holds a part longer than itself")
		}
		body := rest[8 : 8+n]
		rest = rest[min(8+n+n%2, int64(len(rest))):]
		if err := webpKind(kind); err != nil {
			return Header{}, nil, err
		}
		seen = seen || kind == "VP8 "
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
	if !seen {
		return Header{}, nil, cutShort(WebP, len(b), "before its picture")
	}
	return h, exif, nil
}

// webpKind refuses what is not coded as photos are. A wrong byte in a lossless picture or in
// lossless alpha changes all pixels behind it, and nothing in the file would tell.
func webpKind(chunk string) error {
	switch chunk {
	case "VP8L":
		return notPhoto("this is a lossless WebP, in which damage could not be told", saveAsJPEG)
	case "ALPH":
		return notPhoto("this is a see-through WebP, in which damage could not be told", saveAsJPEG)
	}
	return nil
}

// webpHeader reads the size from the first chunk: lossy (RFC 6386, 2011, section 9.1) or extended.
func webpHeader(kind string, body []byte) (Header, error) {
	h := Header{Format: WebP, bytes: 5} // three times one and a half, see decodeWebP
	switch {
	case kind == "VP8 " && has(body, 3, "\x9d\x01\x2a") && len(body) >= 10:
		h.Width = int(binary.LittleEndian.Uint16(body[6:]) & 0x3FFF)
		h.Height = int(binary.LittleEndian.Uint16(body[8:]) & 0x3FFF)
	case kind == "VP8X" && len(body) >= 10:
		if body[0]&webpAnimated != 0 {
			return Header{}, notPhoto("this is an animated WebP", takeStill)
		}
		h.Width = 1 + int(body[4]) + int(body[5])<<8 + int(body[6])<<16
		h.Height = 1 + int(body[7]) + int(body[8])<<8 + int(body[9])<<16
	}
	if h.Width == 0 || h.Height == 0 {
		return Header{}, damaged(WebP, "does not state its size")
	}
	return h, nil
}
