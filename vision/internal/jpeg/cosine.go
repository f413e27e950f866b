package jpeg

// The inverse cosine transform (T.81, A.3.3) along one side of a block is
//
//	sample[x] = sum over u of c(u)/2 * cos((2x+1)*u*pi/16) * f[u],  c(0) = 1/sqrt 2, else 1
//
// and a sample that stands for several pixels is their mean, for which only the cosines are to
// be averaged; some of those come to nothing. Samples mirrored in the middle of the block share even
// terms and differ in the sign of odd ones. The numbers below are these factors times
// 2^factorBits; TestFactors works them out again.
const (
	factorBits = 12
	betweenGap = 7 // taken off between the two passes, so that 32 bits hold the second
	finalGap   = 2*factorBits - betweenGap
)

// eight transforms eight coefficients, step apart, into eight samples.
func eight(f0, f1, f2, f3, f4, f5, f6, f7 int32) (out [8]int32) {
	p, m := 1448*(f0+f4), 1448*(f0-f4)
	q, r := 1892*f2+784*f6, 784*f2-1892*f6
	o0 := 2009*f1 + 1703*f3 + 1138*f5 + 400*f7
	o1 := 1703*f1 - 400*f3 - 2009*f5 - 1138*f7
	o2 := 1138*f1 - 2009*f3 + 400*f5 + 1703*f7
	o3 := 400*f1 - 1138*f3 + 1703*f5 - 2009*f7
	return [8]int32{p + q + o0, m + r + o1, m - r + o2, p - q + o3, p - q - o3, m - r - o2, m + r - o1, p + q - o0}
}

// four does so into four samples of two pixels; the fifth coefficient comes to nothing.
func four(f0, f1, f2, f3, f5, f6, f7 int32) (s0, s1, s2, s3 int32) {
	e, t := 1448*f0, 1338*f2-554*f6
	o0 := 1856*f1 + 652*f3 - 435*f5 - 369*f7
	o1 := 769*f1 - 1573*f3 + 1051*f5 - 153*f7
	return e + t + o0, e - t + o1, e - t - o1, e + t - o0
}

// two does so into two samples of four pixels; of the even ones only the first counts.
func two(f0, f1, f3, f5, f7 int32) (s0, s1 int32) {
	e, o := 1448*f0, 1312*f1-461*f3+308*f5-261*f7
	return e + o, e - o
}

// sample rounds off bits of fraction, lifts to 0 to 255 and holds there.
func sample(v int32, fraction uint) byte {
	v = (v + 128<<fraction + 1<<(fraction-1)) >> fraction
	return byte(min(max(v, 0), 255))
}

// flat fills a block that has its mean alone.
func flat(mean int32, side int, to []byte, width int) {
	v := sample(mean, 3)
	for y := range side {
		row := to[y*width : y*width+side]
		for x := range row {
			row[x] = v
		}
	}
}

// allLines are those of a block, edgeLines the two upper and the two lower ones, which is all that seams show in.
var allLines, edgeLines = []int{0, 1, 2, 3, 4, 5, 6, 7}, []int{0, 1, 6, 7}

// toEight gives the 64 samples of a block, or those of some lines of it; last is its last coefficient, in zigzag order,
// that is not zero.
func toEight(c *[64]int32, last int, lines []int, to []byte, width int) {
	if last == 0 {
		flat(c[0], 8, to, width)
		return
	}
	var t [64]int32
	for u := range 8 {
		col := eight(c[u], c[u+8], c[u+16], c[u+24], c[u+32], c[u+40], c[u+48], c[u+56])
		for y, v := range col {
			t[8*y+u] = v >> betweenGap
		}
	}
	for _, y := range lines {
		r := t[8*y : 8*y+8 : 8*y+8]
		row := to[y*width : y*width+8]
		for x, v := range eight(r[0], r[1], r[2], r[3], r[4], r[5], r[6], r[7]) {
			row[x] = sample(v, finalGap)
		}
	}
}

// toFour gives the 16 samples of a block at half size.
func toFour(c *[64]int32, last int, to []byte, width int) {
	if last == 0 {
		flat(c[0], 4, to, width)
		return
	}
	var t [4][8]int32
	for u := range 8 {
		s0, s1, s2, s3 := four(c[u], c[u+8], c[u+16], c[u+24], c[u+40], c[u+48], c[u+56])
		t[0][u], t[1][u], t[2][u], t[3][u] = s0>>betweenGap, s1>>betweenGap, s2>>betweenGap, s3>>betweenGap
	}
	for y := range 4 {
		r := &t[y]
		s0, s1, s2, s3 := four(r[0], r[1], r[2], r[3], r[5], r[6], r[7])
		row := to[y*width : y*width+4]
		row[0], row[1] = sample(s0, finalGap), sample(s1, finalGap)
		row[2], row[3] = sample(s2, finalGap), sample(s3, finalGap)
	}
}

// toTwo gives the four samples of a block at a quarter of its size.
func toTwo(c *[64]int32, last int, to []byte, width int) {
	if last == 0 {
		flat(c[0], 2, to, width)
		return
	}
	var t [2][8]int32
	for _, u := range [...]int{0, 1, 3, 5, 7} {
		s0, s1 := two(c[u], c[u+8], c[u+24], c[u+40], c[u+56])
		t[0][u], t[1][u] = s0>>betweenGap, s1>>betweenGap
	}
	for y := range 2 {
		r := &t[y]
		s0, s1 := two(r[0], r[1], r[3], r[5], r[7])
		row := to[y*width : y*width+2]
		row[0], row[1] = sample(s0, finalGap), sample(s1, finalGap)
	}
}
