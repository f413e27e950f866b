package hevc

// scans are the orders of the sixteen coefficients of a group and of the groups of a block (6.5.3 to
// 6.5.5): of blocks of 1, 2, 4 and 8 a side, diagonal, row by row, column by column; x in the low three bits.
var scans = func() (out [4][3][]uint8) {
	for log := range out {
		n := 1 << log
		for sum := range 2*n - 1 {
			for x := range n {
				if y := sum - x; y >= 0 && y < n {
					out[log][0] = append(out[log][0], uint8(y<<3|x))
				}
			}
		}
		for i := range n {
			for j := range n {
				out[log][1] = append(out[log][1], uint8(i<<3|j))
				out[log][2] = append(out[log][2], uint8(j<<3|i))
			}
		}
	}
	return out
}()

// scanOf is the order in which the coefficients of a block come, by how it is predicted (7.4.9.11).
func (p *picture) scanOf(log, plane, mode int) int {
	if log == 2 || log == 3 && (plane == 0 || p.chroma == 3) {
		switch {
		case mode >= 6 && mode <= 14:
			return 2
		case mode >= 22 && mode <= 30:
			return 1
		}
	}
	return 0
}

// residual is a block of coefficients that is being read.
type residual struct {
	log, plane, scan int
	groups           [8][8]bool // which groups of 4 x 4 have any
	state            int        // that of the ones greater than one, as the group before left it
}

// readCoefficients reads a block of a plane (7.3.8.11).
func (p *picture) readCoefficients(log, plane, mode int) error {
	c := &residual{log: log, plane: plane, scan: p.scanOf(log, plane, mode), state: 1}
	colour := min(plane, 1)
	if p.transformSkip && !p.bypassed && log == 2 {
		p.bit(skipTransform + colour)
	}
	x, y := p.readLast(log, colour)
	if c.scan == 2 {
		x, y = y, x
	}
	if x >= 1<<log || y >= 1<<log {
		return ErrDamaged
	}
	group, within := 0, 0
	for order := scans[log-2][c.scan]; order[group] != uint8(y>>2<<3|x>>2); {
		group++
	}
	for order := scans[2][c.scan]; order[within] != uint8(y&3<<3|x&3); {
		within++
	}
	for i := group; i >= 0; i-- {
		from := 16
		if i == group {
			from = within
		}
		if err := p.readGroup(c, i, from, i == group); err != nil {
			return err
		}
	}
	return nil
}

// readLast reads where the last coefficient is.
func (p *picture) readLast(log, colour int) (x, y int) {
	offset, shift := 3*(log-2)+(log-1)>>2, (log+1)>>2
	if colour == 1 {
		offset, shift = 15, log-2
	}
	prefix := func(from int) int {
		v := 0
		for v < 2*log-1 && p.bit(from+offset+v>>shift) == 1 {
			v++
		}
		return v
	}
	rest := func(v int) int {
		if v < 4 {
			return v
		}
		n := v>>1 - 1
		return 1<<n*(2+v&1) + p.number(n)
	}
	x, y = prefix(lastX), prefix(lastY)
	x = rest(x)
	return x, rest(y)
}

// readGroup reads a group of sixteen, from the one before position from on.
func (p *picture) readGroup(c *residual, i, from int, isLast bool) error {
	at := scans[c.log-2][c.scan][i]
	gx, gy := int(at&7), int(at>>3)
	near := 0 // groups to the right and below that have any
	if gx+1 < 8 && c.groups[gy][gx+1] {
		near |= 1
	}
	if gy+1 < 8 && c.groups[gy+1][gx] {
		near |= 2
	}
	colour := min(c.plane, 1)
	coded, implied := true, false
	if !isLast && i > 0 {
		coded = p.bit(codedGroup+min(near, 1)+2*colour) == 1
		implied = true
	}
	c.groups[gy][gx] = coded
	if !coded {
		return nil
	}
	var places [16]int // of those that are not zero
	n := 0
	if isLast {
		places[0], n = from, 1
	}
	order := scans[2][c.scan]
	for k := from - 1; k >= 0; k-- {
		if k > 0 || !implied {
			ctx := c.significance(int(order[k]&7), int(order[k]>>3), gx, gy, near)
			if p.bit(significant+ctx) == 0 {
				continue
			}
			implied = false
		}
		places[n] = k
		n++
	}
	if n == 0 {
		return nil
	}
	return p.readLevels(c, places[:n], i)
}

// smallBlock are the contexts of a block of 4 x 4 (table 9-50).
var smallBlock = [16]int{0, 1, 4, 5, 2, 3, 4, 5, 6, 6, 8, 8, 7, 7, 8, 8}

// significance is the context of whether a coefficient at x, y of a group is not zero (9.3.4.2.5).
func (c *residual) significance(x, y, gx, gy, near int) int {
	ctx := 0
	switch {
	case c.log == 2:
		ctx = smallBlock[y<<2|x]
	case x+y+gx+gy == 0:
	default:
		switch near {
		case 0:
			ctx = [7]int{2, 1, 1, 0, 0, 0, 0}[x+y]
		case 1:
			ctx = [4]int{2, 1, 0, 0}[y]
		case 2:
			ctx = [4]int{2, 1, 0, 0}[x]
		default:
			ctx = 2
		}
		switch {
		case c.plane > 0 && c.log == 3:
			ctx += 9
		case c.plane > 0:
			ctx += 12
		default:
			if gx+gy > 0 {
				ctx += 3
			}
			switch {
			case c.log > 3:
				ctx += 21
			case c.scan == 0:
				ctx += 9
			default:
				ctx += 15
			}
		}
	}
	if c.plane > 0 {
		ctx += 27
	}
	return ctx
}

// readLevels reads how large the coefficients at places of group i are.
func (p *picture) readLevels(c *residual, places []int, i int) error {
	colour := min(c.plane, 1)
	set := 0
	if i > 0 && c.plane == 0 {
		set = 2
	}
	if c.state == 0 {
		set++
	}
	const told = 8 // so many tell that they are greater than one
	var levels [16]int
	twice := -1
	c.state = 1
	for k := range places {
		levels[k] = 1
		if k >= told {
			continue
		}
		if p.bit(greater1+4*set+c.state+16*colour) == 1 {
			levels[k], c.state = 2, 0
			if twice < 0 {
				twice = k
			}
		} else if c.state > 0 && c.state < 3 {
			c.state++
		}
	}
	if twice >= 0 && p.bit(greater2+set+4*colour) == 1 {
		levels[twice] = 3
	}
	signs := len(places)
	if p.signHiding && !p.bypassed && places[0]-places[len(places)-1] > 3 {
		signs--
	}
	p.number(signs)
	return p.readRest(levels[:len(places)], twice)
}

// readRest reads what is left of coefficients that are larger than their flags tell.
func (p *picture) readRest(levels []int, twice int) error {
	rice := 0
	for k, base := range levels {
		most := 1
		if k < 8 {
			most = 2
		}
		if k == twice {
			most = 3
		}
		if base < most {
			continue
		}
		v, ok := p.remaining(rice)
		if !ok {
			return ErrDamaged
		}
		if base+v > 3<<rice {
			rice = min(rice+1, 4)
		}
	}
	return nil
}

// remaining reads a number by a Rice parameter (9.3.3.11); ok is false where it is none that there can be.
func (p *picture) remaining(rice int) (v int, ok bool) {
	prefix := 0
	for p.even() == 1 {
		if prefix++; prefix > 32 {
			return 0, false
		}
	}
	if prefix <= 3 {
		return prefix<<rice + p.number(rice), true
	}
	return (1<<(prefix-3)+2)<<rice + p.number(prefix-3+rice), true
}
