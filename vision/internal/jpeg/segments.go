package jpeg

import (
	"bytes"
	"encoding/binary"
)

// Marker codes (T.81, table B.1).
const (
	sof0  = 0xC0
	sof1  = 0xC1
	sof2  = 0xC2
	dht   = 0xC4
	rst0  = 0xD0
	rst7  = 0xD7
	soi   = 0xD8
	eoi   = 0xD9
	sos   = 0xDA
	dqt   = 0xDB
	dnl   = 0xDC
	dri   = 0xDD
	app14 = 0xEE
	tem   = 0x01
)

// zigzag gives the place, row by row, of the coefficients in the order they are coded in (T.81, figure A.6).
var zigzag = [64]uint8{
	0, 1, 8, 16, 9, 2, 3, 10, 17, 24, 32, 25, 18, 11, 4, 5,
	12, 19, 26, 33, 40, 48, 41, 34, 27, 20, 13, 6, 7, 14, 21, 28,
	35, 42, 49, 56, 57, 50, 43, 36, 29, 22, 15, 23, 30, 37, 44, 51,
	58, 59, 52, 45, 38, 31, 39, 46, 53, 60, 61, 54, 47, 55, 62, 63,
}

// segments reads the file to its end marker, decoding each scan as it comes.
func (d *decoder) segments() error {
	if !bytes.HasPrefix(d.b, []byte{0xFF, soi}) {
		return damaged("does not start like one")
	}
	d.at = 2
	for {
		marker, err := d.marker()
		if err != nil {
			return err
		}
		if marker == eoi {
			return d.complete()
		}
		if marker == soi || rst0 <= marker && marker <= rst7 {
			return damaged("has a marker in the wrong place")
		}
		if marker == tem {
			continue
		}
		body, err := d.body()
		if err == nil {
			err = d.segment(marker, body)
		}
		if err != nil {
			return err
		}
	}
}

// marker gives the code of the marker at hand, over bytes that fill up.
func (d *decoder) marker() (byte, error) {
	if d.at >= len(d.b) {
		return 0, damaged("ends without its end marker")
	}
	if d.b[d.at] != 0xFF {
		return 0, damaged("has bytes that belong to no part of it")
	}
	for d.at < len(d.b) && d.b[d.at] == 0xFF {
		d.at++
	}
	if d.at >= len(d.b) {
		return 0, damaged("ends without its end marker")
	}
	code := d.b[d.at]
	d.at++
	return code, nil
}

func (d *decoder) body() ([]byte, error) {
	rest := d.b[d.at:]
	if len(rest) < 2 {
		return nil, damaged("ends in the middle of a part")
	}
	n := int(binary.BigEndian.Uint16(rest)) // counts its own two bytes
	if n < 2 || n > len(rest) {
		return nil, damaged("has a part of a length that cannot be")
	}
	d.at += n
	return rest[2:n], nil
}

func (d *decoder) segment(marker byte, body []byte) error {
	switch marker {
	case sof0, sof1, sof2:
		return d.frame(marker, body)
	case dht:
		d.starts = nil
		return d.codes(body)
	case dqt:
		return d.quantization(body)
	case dri:
		if len(body) != 2 {
			return damaged("has a broken restart interval")
		}
		d.starts = nil
		d.restart = int(binary.BigEndian.Uint16(body))
	case sos:
		return d.scan(body)
	case app14:
		if bytes.HasPrefix(body, []byte("Adobe")) && len(body) >= 12 {
			d.transform = int(body[11])
		}
	case dnl:
		return unusual("states its height at its end")
	default:
		// 0xC0 to 0xCF are frames of rare kinds, 0xE0 to 0xFE hold no picture.
		if marker&0xF0 == sof0 {
			return unusual("is of a rare kind")
		}
		if marker < 0xE0 {
			return damaged("has a part that does not exist")
		}
	}
	return nil
}

func (d *decoder) quantization(body []byte) error {
	for len(body) > 0 {
		precision, id := body[0]>>4, body[0]&15
		size := 64 * (1 + int(precision))
		if precision > 1 || id > 3 || len(body) < 1+size {
			return damaged("has a broken table")
		}
		t := &[64]int32{}
		for i := range t {
			if precision == 0 {
				t[i] = int32(body[1+i])
			} else {
				t[i] = int32(binary.BigEndian.Uint16(body[1+2*i:]))
			}
			if t[i] == 0 {
				return damaged("has a broken table")
			}
		}
		d.quant[id] = t
		body = body[1+size:]
	}
	return nil
}

func (d *decoder) codes(body []byte) error {
	for len(body) > 0 {
		if len(body) < 17 {
			return damaged("has a broken code")
		}
		class, id := body[0]>>4, body[0]&15
		n := 0
		for _, c := range body[1:17] {
			n += int(c)
		}
		if class > 1 || id > 3 || n > 256 || len(body) < 17+n {
			return damaged("has a broken code")
		}
		h, err := newHuffman(body[1:17], body[17:17+n])
		if err != nil {
			return err
		}
		if class == 0 {
			d.dc[id] = h
		} else {
			d.ac[id] = h
		}
		body = body[17+n:]
	}
	return nil
}

// frame reads the size and the channels and makes room for them.
func (d *decoder) frame(marker byte, body []byte) error {
	if len(d.components) > 0 {
		return damaged("states its size twice")
	}
	if len(body) < 6 || len(body) != 6+3*int(body[5]) {
		return damaged("has a broken size segment")
	}
	if body[0] != 8 || body[5] != 1 && body[5] != 3 {
		return unusual("has %d channels of %d bits", body[5], body[0])
	}
	d.progressive = marker == sof2
	d.height, d.width = int(binary.BigEndian.Uint16(body[1:])), int(binary.BigEndian.Uint16(body[3:]))
	if d.width == 0 || d.height == 0 {
		return damaged("states a size of %d x %d px", d.width, d.height)
	}
	for part := body[6:]; len(part) > 0; part = part[3:] {
		c := component{id: part[0], h: int(part[1] >> 4), v: int(part[1] & 15), table: part[2]}
		if c.h < 1 || c.h > 4 || c.v < 1 || c.v > 4 || c.table > 3 {
			return damaged("has a broken size segment")
		}
		d.hMax, d.vMax = max(d.hMax, c.h), max(d.vMax, c.v)
		d.components = append(d.components, c)
	}
	return d.makeRoom()
}

func ceilDiv(a, b int) int { return (a + b - 1) / b }

func (d *decoder) makeRoom() error {
	if len(d.components) == 1 {
		// A single channel is not interleaved, whatever it says of its blocks.
		c := &d.components[0]
		c.h, c.v, d.hMax, d.vMax = 1, 1, 1, 1
	}
	d.mcusX, d.mcusY = ceilDiv(d.width, 8*d.hMax), ceilDiv(d.height, 8*d.vMax)
	for i := range d.components {
		c := &d.components[i]
		if d.hMax%c.h != 0 || d.vMax%c.v != 0 {
			return unusual("has channels of an odd fineness")
		}
		c.across = ceilDiv(ceilDiv(d.width*c.h, d.hMax), 8)
		c.down = ceilDiv(ceilDiv(d.height*c.v, d.vMax), 8)
		c.stride, c.rows = d.mcusX*c.h, d.mcusY*c.v
		d.sized(c)
		if d.progressive {
			c.coefs = make([]int16, 64*c.stride*c.rows)
			for k := range c.known {
				c.known[k] = -1
			}
		}
	}
	return nil
}

// sized makes a plane for the reduction; a channel coarser than the finest one is reduced less.
func (d *decoder) sized(c *component) {
	c.side = min(8, 8/d.by*min(d.hMax/c.h, d.vMax/c.v))
	c.slots = make([]int, c.rows)
	kept := 0
	for y := range c.slots {
		c.slots[y] = -1
		if d.wanted == nil || d.wanted[y/c.v] {
			c.slots[y] = kept
			kept++
		}
	}
	c.plane = make([]byte, c.stride*c.side*kept*c.side)
}

// complete is nil when every channel has been coded, to the last bit.
func (d *decoder) complete() error {
	if len(d.components) == 0 || d.scans == 0 {
		return damaged("holds no picture")
	}
	for _, c := range d.components {
		if d.progressive {
			for _, left := range c.known {
				if left != 0 {
					return damaged("holds only a part of its picture")
				}
			}
		} else if !c.done {
			return damaged("lacks a colour channel")
		}
	}
	return nil
}
