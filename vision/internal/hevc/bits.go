package hevc

// Bits reads numbers bit by bit. Reading past the end gives zeros and sets short.
type bits struct {
	b     []byte
	at    int
	short bool
}

func (r *bits) skip(n int) { r.at += n }

func (r *bits) flag() bool { return r.uint(1) == 1 }

// uint reads a number of n bits, 0 to 32.
func (r *bits) uint(n int) uint32 {
	var v uint32
	for range n {
		v <<= 1
		if r.at/8 >= len(r.b) {
			r.short = true
		} else {
			v |= uint32(r.b[r.at/8]) >> (7 - r.at%8) & 1
		}
		r.at++
	}
	return v
}

// golomb reads a number in exponential Golomb code (H.265, 9.2).
func (r *bits) golomb() int {
	zeros := 0
	for !r.flag() {
		if zeros++; zeros > 31 || r.short {
			r.short = true
			return 0
		}
	}
	return 1<<zeros - 1 + int(r.uint(zeros))
}

// signed reads a number of either sign (H.265, 9.2.2).
func (r *bits) signed() int {
	k := r.golomb()
	if k%2 == 0 {
		return -k / 2
	}
	return (k + 1) / 2
}

// golombs reads n numbers of which nothing depends.
func (r *bits) golombs(n int) {
	for range n {
		r.golomb()
	}
}

// unescaped takes out the bytes that keep a unit from looking like a start code (H.265, 7.4.2).
func unescaped(unit []byte) []byte {
	out := make([]byte, 0, len(unit))
	zeros := 0
	for _, c := range unit {
		if zeros >= 2 && c == 3 {
			zeros = 0
			continue
		}
		if zeros++; c != 0 {
			zeros = 0
		}
		out = append(out, c)
	}
	return out
}

// startsWithin says whether a unit holds two zeros followed by 0, 1 or 2. An encoder puts a 3 between, as
// a unit seems to start there else (H.265, 7.4.2); where a part of a file was lost and is zeros, they are there.
func startsWithin(unit []byte) bool {
	zeros := 0
	for _, c := range unit {
		if zeros >= 2 && c <= 2 {
			return true
		}
		if zeros++; c != 0 {
			zeros = 0
		}
	}
	return false
}
