package photo

import (
	"encoding/binary"
	"slices"
)

// box is one part of an ISO base media file (ISO/IEC 14496-12): a four-letter
// kind and a body.
type box struct {
	kind string
	body []byte
}

// nextBox takes the first box off b. It is false where b holds no whole box.
func nextBox(b []byte) (first box, rest []byte, ok bool) {
	if len(b) < 8 {
		return box{}, nil, false
	}
	head, size := uint64(8), uint64(binary.BigEndian.Uint32(b))
	switch size {
	case 0: // reaches to the end
		size = uint64(len(b))
	case 1: // long size after the kind
		if len(b) < 16 {
			return box{}, nil, false
		}
		head, size = 16, binary.BigEndian.Uint64(b[8:])
	}
	if size < head || size > uint64(len(b)) {
		return box{}, nil, false
	}
	return box{string(b[4:8]), b[head:size]}, b[size:], true
}

// fields reads big-endian numbers off a box's body. Reading past the end gives
// zeros and sets short.
type fields struct {
	b     []byte
	short bool
}

// uint reads a number of n bytes, 0 to 8.
func (f *fields) uint(n int) uint64 {
	if n > len(f.b) {
		f.b, f.short = nil, true
		return 0
	}
	var v uint64
	for _, c := range f.b[:n] {
		v = v<<8 | uint64(c)
	}
	f.b = f.b[n:]
	return v
}

// version reads the version and flags that many boxes start with.
func (f *fields) version() (version byte, flags uint32) {
	v := uint32(f.uint(4))
	return byte(v >> 24), v & 0xFFFFFF
}

// narrowOr32 reads 2 bytes where narrow holds, else 4.
func (f *fields) narrowOr32(narrow bool) uint32 {
	if narrow {
		return uint32(f.uint(2))
	}
	return uint32(f.uint(4))
}

// heicBrands are the file types for still pictures coded in HEVC (ISO/IEC 23008-12, HEIF).
var heicBrands = []string{"heic", "heix", "heim", "heis"}

// sniffISOMedia tells the box-based formats apart by the brands of their first
// box: the same container holds HEIC photos, AVIF pictures, raw pictures and videos.
func sniffISOMedia(b []byte) (Format, error) {
	brands := isoBrands(b)
	among := func(set ...string) bool {
		return slices.ContainsFunc(brands, func(s string) bool { return slices.Contains(set, s) })
	}
	switch {
	case among(heicBrands...):
		return HEIC, nil
	case among("avif", "avis"):
		return 0, notPhoto("this is an AVIF picture", saveAsJPEG)
	case among("mif1", "msf1", "hevc", "hevx"):
		return 0, notPhoto("this is a HEIF file of a rare kind", saveAsJPEG)
	case among("crx "):
		return 0, notPhoto("this is a raw camera picture", saveAsJPEG)
	}
	return 0, notPhoto("this is a video", takeStill)
}

// isoBrands gives the major brand and the compatible ones, as far as they are there.
func isoBrands(b []byte) []string {
	list := b[:min(uint64(binary.BigEndian.Uint32(b)), uint64(len(b)))]
	if len(list) < 12 {
		return nil
	}
	brands := []string{string(list[8:12])}
	for at := 16; at+4 <= len(list); at += 4 {
		brands = append(brands, string(list[at:at+4]))
	}
	return brands
}
