package photo

import (
	"encoding/binary"
	"fmt"
	"hash/crc32"
)

const pngSignature = "\x89PNG\r\n\x1a\n"

// pngDepths lists the bit depths that each colour type may have (PNG specification,
// third edition, 2025, table 8): the bits of a type are 1 palette, 2 colour, 4 alpha.
var pngDepths = map[byte][]byte{
	0: {1, 2, 4, 8, 16}, 2: {8, 16}, 3: {1, 2, 4, 8}, 4: {8, 16}, 6: {8, 16},
}

// walkPNG follows the chunks of a PNG to its end chunk without inflating
// anything. Whatever follows the end chunk is ignored.
func walkPNG(b []byte) (Header, []byte, error) {
	var h Header
	var exif []byte
	data := false
	for at := len(pngSignature); ; {
		rest := b[at:]
		if len(rest) < 12 {
			return Header{}, nil, cutShort(PNG, len(b), "without its end chunk")
		}
		n := int64(binary.BigEndian.Uint32(rest))
		if n > int64(len(rest)-12) {
			return Header{}, nil, cutShort(PNG, len(b), "without its end chunk")
		}
		kind, body := string(rest[4:8]), rest[8:8+n]
		at += 12 + int(n)
		if (h.Format == 0) != (kind == "IHDR") {
			return Header{}, nil, damaged(PNG, "does not start with one header chunk")
		}
		switch kind {
		case "IHDR":
			var err error
			if h, err = pngHeader(body, rest[4:8+n], binary.BigEndian.Uint32(rest[8+n:])); err != nil {
				return Header{}, nil, err
			}
		case "eXIf":
			exif = body
		case "IDAT":
			data = true
		case "IEND":
			if !data {
				return Header{}, nil, damaged(PNG, "holds no picture")
			}
			return h, exif, nil
		}
	}
}

func pngHeader(body, summed []byte, sum uint32) (Header, error) {
	if len(body) != 13 || crc32.ChecksumIEEE(summed) != sum {
		return Header{}, damaged(PNG, "has a broken header chunk")
	}
	width, height := binary.BigEndian.Uint32(body), binary.BigEndian.Uint32(body[4:])
	depth, kind := body[8], body[9]
	if width == 0 || height == 0 || width > 1<<31-1 || height > 1<<31-1 {
		return Header{}, damaged(PNG, fmt.Sprintf("states a size of %d x %d px", width, height))
	}
	known := false
	for _, d := range pngDepths[kind] {
		known = known || d == depth
	}
	if !known || body[10] != 0 || body[11] != 0 || body[12] > 1 {
		return Header{}, damaged(PNG, "states a kind of pixel that does not exist")
	}
	h := Header{Format: PNG, Width: int(width), Height: int(height), bytes: 4}
	if depth == 16 {
		h.bytes = 8
	}
	if body[12] != 0 {
		h.bytes *= 2 // interlaced: the passes beside the whole
	}
	return h, nil
}
