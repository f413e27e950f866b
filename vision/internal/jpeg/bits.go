package jpeg

import (
	"bytes"
	"encoding/binary"
)

// spare is how far reading may go beyond the end of the data before it is noticed:
// a block takes 64 times 16 bits of code and 16 of number at most.
const spare = 64*4 + 16

// bits reads the coded data between two markers, freed of its stuffing.
type bits struct {
	buf []byte // data and spare zeros
	end int    // bytes of data
	pos int    // next byte to take into acc
	acc uint64 // the next n bits, at the top
	n   uint
}

// load takes the coded data of b from at to the next marker and gives the place of that.
func (r *bits) load(b []byte, at int) int {
	buf := r.buf[:0]
	for {
		i := bytes.IndexByte(b[at:], 0xFF)
		if i < 0 {
			buf, at = append(buf, b[at:]...), len(b)
			break
		}
		if at+i+1 < len(b) && b[at+i+1] == 0 {
			buf = append(buf, b[at:at+i+1]...)
			at += i + 2
			continue
		}
		buf, at = append(buf, b[at:at+i]...), at+i
		break
	}
	r.end = len(buf)
	r.buf = append(buf, make([]byte, spare)...)
	r.pos, r.acc, r.n = 0, 0, 0
	return at
}

// fill sees to it that 32 bits or more are at hand. Beyond the end they are zeros.
func (r *bits) fill() {
	if r.n < 32 {
		if r.pos+4 <= len(r.buf) {
			r.acc |= uint64(binary.BigEndian.Uint32(r.buf[r.pos:])) << (32 - r.n)
		}
		r.pos += 4
		r.n += 32
	}
}

// take gives the next count bits, 0 to 16.
func (r *bits) take(count uint) int32 {
	r.fill()
	v := int32(r.acc >> (64 - count))
	if count == 0 {
		return 0
	}
	r.acc <<= count
	r.n -= count
	return v
}

// number gives the signed number that size bits stand for (T.81, figure F.12).
func (r *bits) number(size uint) int32 {
	if size == 0 {
		return 0
	}
	return extend(r.take(size), size)
}

func extend(v int32, size uint) int32 {
	if v < 1<<(size-1) {
		return v - 1<<size + 1
	}
	return v
}

// over says whether more was read than there is.
func (r *bits) over() bool { return 8*r.pos-int(r.n) > 8*r.end }

// used is nil when all data has been read but for the bits that fill up the last byte.
// Some encoders leave whole bytes of filling, of ones or of zeros.
func (r *bits) used() error {
	if r.over() {
		return damaged("ends before its picture is complete")
	}
	read := 8*r.pos - int(r.n)
	var ones, zeros bool
	for at := read; at < 8*r.end; {
		left := 8 - at%8
		rest := r.buf[at/8] & (1<<left - 1)
		ones = ones || rest != 0
		zeros = zeros || rest != 1<<left-1
		at += left
	}
	if ones && zeros {
		return damaged("holds more than its picture needs")
	}
	return nil
}
