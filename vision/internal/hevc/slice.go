package hevc

import mathbits "math/bits"

// picture is one that is being read.
type picture struct {
	*parameters
	arithmetic
	slice []int                 // first block of the slice that each coding tree block belongs to, -1 before it is read
	done  int                   // how many are read, row by row
	above [contextCount]context // contexts that the next row takes over, where rows start anew

	depths []uint8 // of each smallest coding block: how often it was split from a tree block
	modes  []uint8 // of each 4 x 4 samples: how lightness is predicted

	// Of the slice that is being read.
	first    int // its first block
	qp       int
	saoOf    [2]bool // lightness, colour
	qpRead   bool    // the step of quantization was told for this group
	bypassed bool    // this coding unit is coded without loss
}

func newPicture(p *parameters) *picture {
	pic := &picture{
		parameters: p,
		slice:      make([]int, p.across()*p.down()),
		depths:     make([]uint8, (p.width>>p.logMinCB)*(p.height>>p.logMinCB)),
		modes:      make([]uint8, (p.width>>2)*(p.height>>2)),
	}
	for i := range pic.slice {
		pic.slice[i] = -1
	}
	return pic
}

// read reads a slice, freed of its unit's header and escapes (7.3.6).
func (p *picture) read(b []byte) error {
	r := &bits{b: b}
	firstOfAll := r.flag()
	r.skip(1)
	r.golomb()
	p.first = 0
	if !firstOfAll {
		p.first = int(r.uint(mathbits.Len(uint(len(p.slice) - 1))))
	}
	if p.done == len(p.slice) || p.first != p.done || firstOfAll != (p.done == 0) {
		return ErrDamaged
	}
	if err := p.readHead(r); err != nil {
		return err
	}
	if p.sync {
		if n := r.golomb(); n > 0 && n <= len(p.slice) {
			r.skip(n * min(r.golomb()+1, 32)) // where each part starts: behind the one before
		}
	}
	if p.headerExtension {
		r.skip(8 * min(r.golomb(), 256))
	}
	stop := r.flag()
	for r.at%8 != 0 {
		stop = !r.flag() && stop
	}
	if r.short || !stop || r.at/8 > len(b) {
		return ErrDamaged
	}
	p.b = b
	p.start(r.at / 8)
	return p.readBlocks()
}

const sliceOnItsOwn = 2 // that rests on no other picture (table 7-7)

// readHead reads what a slice tells of itself.
func (p *picture) readHead(r *bits) error {
	r.skip(p.extraBits)
	if r.golomb() != sliceOnItsOwn {
		return ErrDamaged // nothing else may stand in such a picture
	}
	if p.output {
		r.skip(1)
	}
	p.saoOf = [2]bool{}
	if p.sao {
		p.saoOf[0] = r.flag()
		p.saoOf[1] = p.chroma != 0 && r.flag()
	}
	p.qp = p.parameters.qp + r.signed()
	if p.chromaOffsets {
		r.golombs(2)
	}
	unfiltered := p.unfiltered
	if p.override && r.flag() {
		if unfiltered = r.flag(); !unfiltered {
			r.golombs(2)
		}
	}
	if p.loopAcross && (p.saoOf[0] || p.saoOf[1] || !unfiltered) {
		r.skip(1)
	}
	return nil
}

// readBlocks reads the coding tree blocks of a slice (7.3.8.1).
func (p *picture) readBlocks() error {
	p.reset(p.qp)
	for {
		x, y := p.done%p.across(), p.done/p.across()
		if p.sync && x == 0 {
			p.reset(p.qp)
			if x+1 < p.across() && p.with(p.done-p.across()+1) {
				p.contexts = p.above
			}
		}
		p.slice[p.done] = p.first
		if err := p.readTree(x, y); err != nil {
			return err
		}
		if p.sync && x == 1 {
			p.above = p.contexts
		}
		p.done++
		if p.end() {
			break
		}
		if p.done == len(p.slice) || p.over() {
			return ErrDamaged
		}
		if p.sync && x+1 == p.across() {
			if !p.end() || !p.stopped() {
				return ErrDamaged
			}
			p.start(p.next)
		}
	}
	if !p.stopped() || p.over() {
		return ErrDamaged
	}
	for _, c := range p.b[min(p.next, len(p.b)):] { // filling, in words of zeros (7.3.2.10)
		if c != 0 {
			return ErrDamaged
		}
	}
	return nil
}

// with says whether another block above or to the left is in the slice that is being read, so that it
// may be leant on (6.4.1).
func (p *picture) with(other int) bool { return other >= 0 && p.slice[other] == p.first }
