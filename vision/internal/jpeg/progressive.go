package jpeg

import (
	"traystage/vision/internal/parallel"
)

// Progressive pictures send each coefficient in several scans: first its upper
// bits, then one more bit a scan (T.81, annex G).

func (s *scan) progress() error {
	for _, c := range s.parts {
		for k := s.start; k <= s.end; k++ {
			// Each scan must begin where the one before left off.
			if known := c.known[k]; known < 0 && s.high != 0 || known >= 0 && int(known) != int(s.high) {
				return damaged("lacks a scan")
			}
			c.known[k] = int8(s.low)
		}
	}
	return nil
}

func (d *decoder) checkProgressive(s *scan) error {
	switch {
	case s.end > 63 || s.start > s.end || s.low > 13 || s.high > 13,
		s.start == 0 && s.end != 0,
		s.start > 0 && len(s.parts) != 1,
		s.high != 0 && s.high != s.low+1:
		return damaged("has a broken scan header")
	}
	for _, c := range s.parts {
		if s.start == 0 && s.high == 0 && d.dc[c.dcTable] == nil || s.start > 0 && d.ac[c.acTable] == nil {
			return damaged("lacks a code")
		}
		if s.start > 0 && c.known[0] < 0 {
			return damaged("lacks a scan")
		}
	}
	return nil
}

// progressiveBlock gives what decodes one block of the scan.
func (d *decoder) progressiveBlock(s *scan) func(c *component, at int) bool {
	r := &d.bits
	of := func(c *component, at int) *[64]int16 { return (*[64]int16)(c.coefs[64*at:]) }
	switch {
	case s.start == 0 && s.high == 0:
		return func(c *component, at int) bool {
			size, ok := d.dc[c.dcTable].symbol(r)
			if !ok || size > 11 {
				return false
			}
			c.last += r.number(uint(size))
			of(c, at)[0] = int16(c.last << s.low)
			mean := c.last << s.low * c.quant[0]
			reach := int32(mostDC) + c.quant[0]<<s.low
			return -reach <= mean && mean <= reach
		}
	case s.start == 0:
		return func(c *component, at int) bool {
			if r.take(1) != 0 {
				of(c, at)[0] |= 1 << s.low
			}
			return true
		}
	case s.high == 0:
		return func(c *component, at int) bool { return s.upper(r, d.ac[c.acTable], of(c, at)) }
	}
	return func(c *component, at int) bool { return s.refine(r, d.ac[c.acTable], of(c, at)) }
}

// upper reads the upper bits of a block's coefficients (T.81, G.1.2.2).
func (s *scan) upper(r *bits, h *huffman, b *[64]int16) bool {
	if s.run > 0 {
		s.run--
		return true
	}
	for k := s.start; k <= s.end; k++ {
		symbol, ok := h.symbol(r)
		if !ok {
			return false
		}
		run, size := int(symbol>>4), uint(symbol&15)
		if size == 0 {
			if run < 15 {
				s.run = 1<<run - 1 + int(r.take(uint(run)))
				return true
			}
			k += 15
			continue
		}
		if k += run; k > s.end {
			return false
		}
		b[k] = int16(r.number(size) << s.low)
	}
	return true
}

// refine reads one more bit of those that are not zero, and those that become so (T.81, G.1.2.3).
func (s *scan) refine(r *bits, h *huffman, b *[64]int16) bool {
	k := s.start
	for s.run == 0 && k <= s.end {
		symbol, ok := h.symbol(r)
		if !ok {
			return false
		}
		run, size := int(symbol>>4), uint(symbol&15)
		var fresh int16
		switch {
		case size == 1:
			fresh = -1 << s.low
			if r.take(1) != 0 {
				fresh = 1 << s.low
			}
		case size != 0:
			return false
		case run < 15:
			s.run = 1<<run + int(r.take(uint(run)))
		}
		if s.run > 0 {
			break
		}
		if k = s.skip(r, b, k, run); k > s.end {
			return false
		}
		b[k] = fresh // of a run of sixteen zeros it is the last
		k++
	}
	if s.run > 0 {
		s.skip(r, b, k, 64)
		s.run--
	}
	return true
}

// skip refines the coefficients from k on, passes over so many that are zero and gives the place of the next that is.
func (s *scan) skip(r *bits, b *[64]int16, k, zeros int) int {
	for ; k <= s.end; k++ {
		if b[k] == 0 {
			if zeros == 0 {
				break
			}
			zeros--
			continue
		}
		if r.take(1) != 0 {
			if b[k] > 0 {
				b[k] += 1 << s.low
			} else {
				b[k] -= 1 << s.low
			}
		}
	}
	return k
}

// finish turns the gathered coefficients into samples.
func (d *decoder) finish() error {
	for i := range d.components {
		c := &d.components[i]
		parallel.Each(c.rows, func(y int) {
			if d.ctx.Err() != nil {
				return
			}
			for at := y * c.stride; at < (y+1)*c.stride; at++ {
				c.finish(at)
			}
		})
	}
	return d.ctx.Err()
}

func (c *component) finish(at int) {
	var coefs [64]int32
	last := 0
	for k, v := range c.coefs[64*at : 64*at+64] {
		if v != 0 {
			coefs[zigzag[k]] = int32(v) * c.quant[k]
			last = k
		}
	}
	c.put(at, &coefs, last)
}
