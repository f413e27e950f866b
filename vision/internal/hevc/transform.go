package hevc

// block is a node of a unit's tree of transform blocks.
type block struct {
	x, y, log int
	depth     int
	part      int  // which of its parent's four it is
	cb, cr    bool // colour has coefficients here or, at the root, may have
}

// readTransforms reads a tree of transform blocks that are split no more often than told (7.3.8.8).
func (p *picture) readTransforms(u *unit, b block, most int) error {
	forced := u.split && b.depth == 0
	split := b.log > p.logMaxTB || forced
	if b.log <= p.logMaxTB && b.log > p.logMinTB && b.depth < most && !forced {
		split = p.bit(splitTU+5-b.log) == 1
	}
	switch {
	case p.chroma == 0:
		b.cb, b.cr = false, false
	case b.log > 2 || p.chroma == 3:
		b.cb = b.cb && p.bit(cbfChroma+b.depth) == 1
		b.cr = b.cr && p.bit(cbfChroma+b.depth) == 1
	}
	if !split {
		return p.readBlock(u, b)
	}
	if b.log <= 2 || b.depth > 4 {
		return ErrDamaged
	}
	half := 1 << (b.log - 1)
	for part := range 4 {
		child := block{b.x + part%2*half, b.y + part/2*half, b.log - 1, b.depth + 1, part, b.cb, b.cr}
		if err := p.readTransforms(u, child, most); err != nil {
			return err
		}
	}
	return nil
}

// readBlock reads a transform unit (7.3.8.10). Four of 4 x 4 samples share
// one block of colour where that is coded at half the size.
func (p *picture) readBlock(u *unit, b block) error {
	first := 1
	if b.depth > 0 {
		first = 0
	}
	light := p.bit(cbfLuma+first) == 1
	if !light && !b.cb && !b.cr {
		return nil
	}
	if p.qpDelta && !p.qpRead {
		p.readStep()
	}
	if light {
		if err := p.readCoefficients(b.log, 0, u.light[u.part(b.x, b.y)]); err != nil {
			return err
		}
	}
	log, mode := b.log, u.colour[0]
	switch {
	case p.chroma == 3:
		mode = u.colour[u.part(b.x, b.y)]
	case b.log > 2:
		log--
	case b.part != 3:
		return nil
	}
	for i, coded := range [2]bool{b.cb, b.cr} {
		if coded {
			if err := p.readCoefficients(log, i+1, mode); err != nil {
				return err
			}
		}
	}
	return nil
}

// readStep reads by how much the step of quantization changes (7.3.8.14).
func (p *picture) readStep() {
	p.qpRead = true
	const most = 5
	v := 0
	for v < most && p.bit(qpDelta+min(v, 1)) == 1 {
		v++
	}
	if v == most {
		v += p.exponential(0)
	}
	if v > 0 {
		p.even()
	}
}

// exponential reads a number in exponential Golomb code of an order (9.3.3.3).
func (p *picture) exponential(order int) int {
	v := 0
	for ; order < 32 && p.even() == 1; order++ {
		v += 1 << order
	}
	return v + p.number(order)
}
