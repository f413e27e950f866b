package hevc

// Modes of prediction that others are told by (8.4.2, 8.4.3).
const (
	planar     = 0
	even       = 1
	horizontal = 10
	vertical   = 26
	diagonal   = 34
)

// readTree reads a coding tree unit at a column and row of them (7.3.8.2).
func (p *picture) readTree(x, y int) error {
	if p.saoOf[0] || p.saoOf[1] {
		p.readOffsets(x, y)
	}
	return p.readQuads(x<<p.logCTB, y<<p.logCTB, p.logCTB, 0)
}

// readOffsets reads how a block's samples are shifted after decoding (7.3.8.3).
func (p *picture) readOffsets(x, y int) {
	at := y*p.across() + x
	if x > 0 && p.with(at-1) && p.bit(saoMerge) == 1 {
		return
	}
	if y > 0 && p.with(at-p.across()) && p.bit(saoMerge) == 1 {
		return
	}
	kind, planes := 0, 3
	if p.chroma == 0 {
		planes = 1
	}
	for plane := range planes {
		of := min(plane, 1)
		if !p.saoOf[of] {
			continue
		}
		if plane < 2 {
			if kind = p.bit(saoType); kind == 1 {
				kind += p.even()
			}
		}
		if kind == 0 {
			continue
		}
		shifted := 0
		for range 4 {
			most, v := 1<<(min(p.depth[of], 10)-5)-1, 0
			for v < most && p.even() == 1 {
				v++
			}
			if v > 0 {
				shifted++
			}
		}
		switch {
		case kind == 1:
			p.number(shifted + 5)
		case plane < 2:
			p.number(2)
		}
	}
}

// readQuads reads a quadtree of coding units (7.3.8.4).
func (p *picture) readQuads(x, y, log, depth int) error {
	size := 1 << log
	split := log > p.logMinCB
	if split && x+size <= p.width && y+size <= p.height {
		split = p.bit(splitCU+p.deeper(x, y, x-1, y, depth)+p.deeper(x, y, x, y-1, depth)) == 1
	}
	if p.qpDelta && log >= p.logQPGroup {
		p.qpRead = false
	}
	if !split {
		p.fill(x, y, log, depth)
		return p.readUnit(x, y, log)
	}
	half := size / 2
	for part := range 4 {
		px, py := x+part%2*half, y+part/2*half
		if px < p.width && py < p.height {
			if err := p.readQuads(px, py, log-1, depth+1); err != nil {
				return err
			}
		}
	}
	return nil
}

// near says whether what lies at a place left of or above another may be leant on.
func (p *picture) near(x, y, nx, ny int) bool {
	if nx < 0 || ny < 0 {
		return false
	}
	at, other := y>>p.logCTB*p.across()+x>>p.logCTB, ny>>p.logCTB*p.across()+nx>>p.logCTB
	return at == other || p.with(other)
}

// deeper is 1 where the neighbour was split more often.
func (p *picture) deeper(x, y, nx, ny, depth int) int {
	if p.near(x, y, nx, ny) && int(p.depths[ny>>p.logMinCB*(p.width>>p.logMinCB)+nx>>p.logMinCB]) > depth {
		return 1
	}
	return 0
}

// fill notes how often a coding block was split.
func (p *picture) fill(x, y, log, depth int) {
	side, stride := 1<<(log-p.logMinCB), p.width>>p.logMinCB
	from := y>>p.logMinCB*stride + x>>p.logMinCB
	for row := range side {
		for i := range side {
			p.depths[from+row*stride+i] = uint8(depth)
		}
	}
}

// unit is a coding unit: where it is, whether it is predicted in four parts, and how.
type unit struct {
	x, y, log int
	split     bool
	light     [4]int
	colour    [4]int
}

// part is which of the four a place lies in.
func (u *unit) part(x, y int) int {
	if !u.split {
		return 0
	}
	half := 1 << (u.log - 1)
	return (y-u.y)/half*2 + (x-u.x)/half
}

// readUnit reads a coding unit (7.3.8.5).
func (p *picture) readUnit(x, y, log int) error {
	u := &unit{x: x, y: y, log: log}
	p.bypassed = p.bypass && p.bit(bypassCU) == 1
	if log == p.logMinCB {
		u.split = p.bit(partMode) == 0
	}
	p.readModes(u)
	most := p.treeDepth
	if u.split {
		most++
	}
	if p.over() {
		return ErrDamaged
	}
	return p.readTransforms(u, block{x: x, y: y, log: log, cb: true, cr: true}, most)
}

// readModes reads how the parts of a unit are predicted.
func (p *picture) readModes(u *unit) {
	parts, side := 1, 1<<u.log
	if u.split {
		parts, side = 4, side/2
	}
	var likely [4]bool
	for i := range parts {
		likely[i] = p.bit(prevMode) == 1
	}
	for i := range parts {
		x, y := u.x+i%2*side, u.y+i/2*side
		u.light[i] = p.readMode(x, y, likely[i])
		p.setMode(x, y, side, u.light[i])
	}
	switch p.chroma {
	case 0:
		return
	case 1:
		parts = 1 // colour is not split
	}
	for i := range parts {
		u.colour[i] = p.readColourMode(u.light[i])
	}
}

// readMode reads how lightness is predicted at a place, by what is likely from the neighbours (8.4.2).
func (p *picture) readMode(x, y int, likely bool) int {
	left, above := p.modeAt(x, y, x-1, y), even
	if y&(1<<p.logCTB-1) != 0 {
		above = p.modeAt(x, y, x, y-1)
	}
	var c [3]int
	switch {
	case left != above:
		c = [3]int{left, above, vertical}
		if left != planar && above != planar {
			c[2] = planar
		} else if left != even && above != even {
			c[2] = even
		}
	case left <= even:
		c = [3]int{planar, even, vertical}
	default:
		c = [3]int{left, 2 + (left+29)%32, 2 + (left-1)%32}
	}
	if likely {
		i := p.even()
		if i == 1 {
			i += p.even()
		}
		return c[i]
	}
	if c[0] > c[1] {
		c[0], c[1] = c[1], c[0]
	}
	if c[0] > c[2] {
		c[0], c[2] = c[2], c[0]
	}
	if c[1] > c[2] {
		c[1], c[2] = c[2], c[1]
	}
	mode := p.number(5)
	for _, v := range c {
		if mode >= v {
			mode++
		}
	}
	return mode
}

func (p *picture) modeAt(x, y, nx, ny int) int {
	if !p.near(x, y, nx, ny) {
		return even
	}
	return int(p.modes[ny>>2*(p.width>>2)+nx>>2])
}

func (p *picture) setMode(x, y, side, mode int) {
	stride := p.width >> 2
	for row := y >> 2; row < (y+side)>>2; row++ {
		for i := x >> 2; i < (x+side)>>2; i++ {
			p.modes[row*stride+i] = uint8(mode)
		}
	}
}

// readColourMode reads how colour is predicted where lightness is as told (8.4.3).
func (p *picture) readColourMode(light int) int {
	if p.bit(chromaMode) == 0 {
		return light
	}
	mode := [4]int{planar, vertical, horizontal, even}[p.number(2)]
	if mode == light {
		return diagonal
	}
	return mode
}
