package hevc

// parameters are what a picture's own symbols are read by: those of a sequence (SPS) and of
// its pictures (PPS). Sizes named log are powers of two.
type parameters struct {
	// Of the sequence (H.265, 7.3.2.2).
	width, height      int // luma samples, filled up to whole smallest coding blocks
	chroma             int // 0 none, 1 half as many each way, 3 as many as luma
	depth              [2]int
	logCTB, logMinCB   int
	logMinTB, logMaxTB int
	treeDepth          int // how far transform blocks may be split beyond their coding block
	sao                bool

	// Of its pictures (7.3.2.3).
	output, signHiding, transformSkip bool
	extraBits                         int
	qp                                int
	qpDelta                           bool
	logQPGroup                        int
	chromaOffsets, bypass             bool
	sync                              bool // every row of blocks starts anew
	loopAcross, override, unfiltered  bool
	headerExtension                   bool
}

func (p *parameters) across() int { return (p.width + 1<<p.logCTB - 1) >> p.logCTB }
func (p *parameters) down() int   { return (p.height + 1<<p.logCTB - 1) >> p.logCTB }

// readSPS reads a sequence parameter set, without its header of two bytes. known is false where it asks
// for tools that are not read here.
func (p *parameters) readSPS(b []byte) (known bool) {
	r := &bits{b: unescaped(b)}
	p.readSize(r)
	p.depth[0], p.depth[1] = 8+r.golomb(), 8+r.golomb()
	logOrder := r.golomb() + 4
	layers := int(b1(b, 0)>>1&7) + 1
	if !r.flag() {
		layers = 1
	}
	r.golombs(3 * layers)
	p.logMinCB = r.golomb() + 3
	p.logCTB = p.logMinCB + r.golomb()
	p.logMinTB = r.golomb() + 2
	p.logMaxTB = p.logMinTB + r.golomb()
	r.golomb()
	p.treeDepth = r.golomb()
	if r.flag() { // coefficients are weighed
		if r.flag() { // by weights of its own
			skipScalingLists(r)
		}
	}
	r.flag() // blocks cut unevenly, which pictures on their own do not have
	p.sao = r.flag()
	if r.flag() { // samples that are not coded
		return false
	}
	if !skipPictureSets(r, logOrder) {
		return false
	}
	r.skip(2)
	if r.flag() && !skipUsability(r) {
		return false
	}
	extended := r.flag() && r.uint(8) != 0
	return !r.short && !extended && p.sane()
}

func b1(b []byte, i int) byte {
	if i < len(b) {
		return b[i]
	}
	return 0
}

// readSize reads a sequence parameter set up to the depths.
func (p *parameters) readSize(r *bits) {
	r.skip(4) // video parameter set
	layers := int(r.uint(3))
	r.skip(1)
	r.skip(88 + 8) // profile and level
	var profiles, levels int
	for range layers {
		profiles += int(r.uint(1))
		levels += int(r.uint(1))
	}
	if layers > 0 {
		r.skip(2 * (8 - layers))
	}
	r.skip(88*profiles + 8*levels)
	r.golomb() // its number
	if p.chroma = r.golomb(); p.chroma == 3 && r.flag() {
		p.chroma = 2 // planes on their own are not read, as 2 is not
	}
	p.width, p.height = r.golomb(), r.golomb()
	if r.flag() {
		r.golombs(4)
	}
}

// sane says whether blocks are of sizes that there are (7.4.3.2.1), so that whatever a file
// holds, reading it stays within its tables.
func (p *parameters) sane() bool {
	side := 1 << p.logMinCB
	return p.chroma <= 3 && p.chroma != 2 && p.depth[0] <= 16 && p.depth[1] <= 16 &&
		p.logMinCB <= p.logCTB && p.logCTB >= 3 && p.logCTB <= 6 &&
		p.logMinTB < p.logMinCB && p.logMaxTB <= min(p.logCTB, 5) && p.treeDepth <= p.logCTB-p.logMinTB &&
		p.width > 0 && p.height > 0 && p.width <= maxSide && p.height <= maxSide &&
		p.width%side == 0 && p.height%side == 0
}

// maxSide is the largest side of a picture that a level allows (table A.8: sqrt(8 * 35 651 584) samples).
const maxSide = 16888

// readPPS reads a picture parameter set, without its header, after the set of its sequence.
func (p *parameters) readPPS(b []byte) (known bool) {
	r := &bits{b: unescaped(b)}
	r.golombs(2) // its number and its sequence's
	dependent := r.flag()
	p.output = r.flag()
	p.extraBits = int(r.uint(3))
	p.signHiding = r.flag()
	r.flag()
	r.golombs(2)
	p.qp = 26 + r.signed()
	r.flag()
	p.transformSkip = r.flag()
	p.logQPGroup = p.logCTB
	if p.qpDelta = r.flag(); p.qpDelta {
		p.logQPGroup -= r.golomb()
	}
	r.golombs(2)
	p.chromaOffsets = r.flag()
	r.skip(2)
	p.bypass = r.flag()
	tiled := r.flag()
	p.sync = r.flag()
	p.loopAcross = r.flag()
	if r.flag() {
		p.override, p.unfiltered = r.flag(), r.flag()
		if !p.unfiltered {
			r.golombs(2)
		}
	}
	if r.flag() {
		skipScalingLists(r)
	}
	r.flag()
	r.golomb()
	p.headerExtension = r.flag()
	extended := r.flag() && r.uint(8) != 0
	return !r.short && !extended && !dependent && !tiled
}
