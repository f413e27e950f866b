package jpeg

import (
	"encoding/binary"
	"slices"
)

// scan is one pass over the picture.
type scan struct {
	parts      []*component
	start, end int  // coefficients, in zigzag order
	high, low  uint // bits known before, bits left over
	run        int  // blocks for which there is nothing more (progressive)
}

// scan reads the header of a scan and decodes the data that follows.
func (d *decoder) scan(body []byte) error {
	if len(d.components) == 0 {
		return damaged("has picture data before its size")
	}
	if d.scans++; d.scans > MostScans {
		return unusual("goes over its picture more than %d times", MostScans)
	}
	s, err := d.scanHeader(body)
	if err != nil {
		return err
	}
	d.load()
	decode := d.sequential
	if d.progressive {
		if err := s.progress(); err != nil {
			return err
		}
		decode = d.progressiveBlock(s)
	}
	if err := d.walk(s, decode); err != nil {
		return err
	}
	if s.run > 0 {
		return damaged("holds less than it says")
	}
	return d.bits.used()
}

func (d *decoder) scanHeader(body []byte) (*scan, error) {
	if len(body) < 1 || len(body) != 4+2*int(body[0]) {
		return nil, damaged("has a broken scan header")
	}
	s := &scan{}
	n := int(body[0])
	for i := range n {
		c := d.find(body[1+2*i])
		if c == nil {
			return nil, damaged("has a broken scan header")
		}
		for _, o := range s.parts {
			if o == c {
				return nil, damaged("has a broken scan header")
			}
		}
		c.dcTable, c.acTable, c.last = body[2+2*i]>>4, body[2+2*i]&15, 0
		if c.dcTable > 3 || c.acTable > 3 {
			return nil, damaged("has a broken scan header")
		}
		if c.quant == nil {
			if c.quant = d.quant[c.table]; c.quant == nil {
				return nil, damaged("lacks a table")
			}
		}
		s.parts = append(s.parts, c)
	}
	rest := body[1+2*n:]
	s.start, s.end, s.high, s.low = int(rest[0]), int(rest[1]), uint(rest[2]>>4), uint(rest[2]&15)
	if len(s.parts) == 0 {
		return nil, damaged("has a broken scan header")
	}
	if d.progressive {
		return s, d.checkProgressive(s)
	}
	return s, d.checkSequential(s)
}

func (d *decoder) find(id byte) *component {
	for i := range d.components {
		if d.components[i].id == id {
			return &d.components[i]
		}
	}
	return nil
}

func (d *decoder) checkSequential(s *scan) error {
	for _, c := range s.parts {
		if c.done {
			return damaged("has a colour channel twice")
		}
		if d.dc[c.dcTable] == nil || d.ac[c.acTable] == nil {
			return damaged("lacks a code")
		}
		c.done = true
	}
	return nil
}

// walk visits the blocks of a scan in their order, with the restart markers among them.
func (d *decoder) walk(s *scan, decode func(c *component, at int) bool) error {
	down := d.mcusY
	if len(s.parts) == 1 {
		down = s.parts[0].down
	}
	if !d.progressive && len(s.parts) == len(d.components) {
		return d.walkOnly(s, down)
	}
	left := d.restart
	for y := range down {
		var err error
		if left, err = d.row(s, y, left, decode); err != nil {
			return err
		}
	}
	return nil
}

// walkOnly is walk for the one scan of a sequential picture: its blocks become samples, and are looked at for seams, meanwhile.
func (d *decoder) walkOnly(s *scan, down int) error {
	d.only, d.starts = s, make([]rowStart, down)
	if d.by > 1 {
		d.watch = d.watched()
		defer close(d.watch.rows)
	}
	blocks := 0
	for _, c := range s.parts {
		blocks += c.stride * c.v
	}
	relay := relayed(down, blocks, d.watch)
	defer relay.end()
	left := d.restart
	for y := range down {
		d.starts[y] = d.here(s, left)
		row := <-relay.free
		var err error
		if left, err = d.row(s, y, left, func(c *component, at int) bool {
			row = row[:len(row)+1]
			b := &row[len(row)-1]
			b.of, b.at = c, at
			var ok bool
			b.last, ok = d.coefficients(c, &b.coefs)
			return ok
		}); err != nil {
			return err
		}
		relay.rows <- row
	}
	return nil
}

// row visits one row of MCUs. left is how many are left before the next restart marker, and then behind the row.
func (d *decoder) row(s *scan, y, left int, decode func(c *component, at int) bool) (int, error) {
	across, down := d.mcusX, d.mcusY
	alone := len(s.parts) == 1
	if alone {
		across, down = s.parts[0].across, s.parts[0].down
	}
	if err := d.visit(across * len(s.parts)); err != nil {
		return 0, err
	}
	for x := range across {
		if d.restart > 0 {
			if left == 0 {
				if err := d.restartAt(s, (y*across+x)/d.restart-1); err != nil {
					return 0, err
				}
				left = d.restart
			}
			left--
		}
		ok := true
		if alone {
			ok = decode(s.parts[0], y*s.parts[0].stride+x)
		} else {
			ok = d.mcu(s, x, y, decode)
		}
		if !ok || d.bits.over() {
			return 0, d.broken(y, down)
		}
	}
	return left, nil
}

// load takes the coded data at hand up to the next marker.
func (d *decoder) load() {
	if d.restart == 0 { // else it is a small part of what is left
		d.bits.buf = slices.Grow(d.bits.buf[:0], len(d.b)-d.at+spare)
	}
	d.loaded = d.at
	d.at = d.bits.load(d.b, d.at)
}

func (d *decoder) mcu(s *scan, x, y int, decode func(c *component, at int) bool) bool {
	for _, c := range s.parts {
		for v := range c.v {
			at := (y*c.v+v)*c.stride + x*c.h
			for h := range c.h {
				if !decode(c, at+h) {
					return false
				}
			}
		}
	}
	return true
}

// broken says where decoding came to its end.
func (d *decoder) broken(y, down int) error {
	if d.bits.over() {
		return damaged("ends before its picture is complete")
	}
	return damaged("makes no sense from %.0f %% of its height on", 100*float64(y)/float64(down))
}

// restartAt goes on behind a restart marker, which must be the n-th.
func (d *decoder) restartAt(s *scan, n int) error {
	if err := d.bits.used(); err != nil {
		return err
	}
	if s.run > 0 {
		return damaged("holds less than it says")
	}
	marker, err := d.marker()
	if err != nil {
		return err
	}
	if int(marker) != rst0+n%8 {
		return damaged("lacks a restart marker")
	}
	for _, c := range s.parts {
		c.last = 0
	}
	d.load()
	return nil
}

// mostDC bounds the dequantized mean of a block: 8 times -128 to 127, and what
// rounding to a step may add.
const mostDC = 8 * 128

// sequential decodes a block whole and puts its samples into the plane. False
// where the data makes no sense.
func (d *decoder) sequential(c *component, at int) bool {
	var coefs [64]int32
	last, ok := d.coefficients(c, &coefs)
	if ok {
		c.put(at, &coefs, last)
	}
	return ok
}

// coefficients decodes those of a block, which are zero, and gives the place of the last that is not. False where the data makes no sense.
func (d *decoder) coefficients(c *component, coefs *[64]int32) (last int, ok bool) {
	r := &d.bits
	size, ok := d.dc[c.dcTable].symbol(r)
	if !ok || size > 11 {
		return 0, false
	}
	c.last += r.number(uint(size))
	coefs[0] = c.last * c.quant[0]
	if coefs[0] < -mostDC-c.quant[0] || coefs[0] > mostDC+c.quant[0] {
		return 0, false
	}
	return r.block(d.ac[c.acTable], c.quant, coefs)
}

// block reads the coefficients of a block but the first and gives the place of the last that is not zero.
func (r *bits) block(h *huffman, quant *[64]int32, coefs *[64]int32) (last int, ok bool) {
	buf, pos, acc, n := r.buf, r.pos, r.acc, r.n
	for k := 1; k < 64; k++ {
		if n < 32 {
			if pos+4 > len(buf) {
				return 0, false
			}
			acc |= uint64(binary.BigEndian.Uint32(buf[pos:])) << (32 - n)
			pos += 4
			n += 32
		}
		var value int32
		if e := h.whole[acc>>(64-lookBits)]; e.bits != 0 {
			acc <<= e.bits & 63
			n -= uint(e.bits)
			k += int(e.run)
			value = int32(e.value)
		} else {
			s := h.symbols[acc>>(64-lookBits)]
			symbol, length := byte(s), uint(s>>8)
			if s == 0 {
				r.acc, r.n = acc, n
				if symbol, ok = h.long(r); !ok {
					return 0, false
				}
				length = n - r.n
			}
			acc <<= length & 63
			n -= length
			run, size := int(symbol>>4), uint(symbol&15)
			if size == 0 {
				if run < 15 {
					break // end of block
				}
				k += 15
				continue
			}
			k += run
			value = extend(int32(acc>>((64-size)&63)), size)
			acc <<= size
			n -= size
		}
		if k > 63 {
			return 0, false
		}
		coefs[zigzag[k]] = value * quant[k]
		last = k
	}
	r.pos, r.acc, r.n = pos, acc, n
	return last, true
}

// put turns a block into its samples.
func (c *component) put(at int, coefs *[64]int32, last int) {
	row := c.slots[at/c.stride]
	if row < 0 {
		return
	}
	width := c.stride * c.side
	to := c.plane[row*c.side*width+at%c.stride*c.side:]
	switch c.side {
	case 8:
		lines := allLines
		if c.edges {
			lines = edgeLines
		}
		toEight(coefs, last, lines, to, width)
	case 4:
		toFour(coefs, last, to, width)
	case 2:
		toTwo(coefs, last, to, width)
	default:
		to[0] = sample(coefs[0], 3)
	}
}
