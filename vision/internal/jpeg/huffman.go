package jpeg

// lookBits is how many bits of a code are looked up at once; longer codes are rare.
const lookBits = 11

// huffman is a code (T.81, annex C).
type huffman struct {
	// symbols gives length<<8 | symbol of the code at the start of so many bits; 0 for longer ones.
	symbols [1 << lookBits]uint16
	// whole does the same for a run of zeros with the number behind it, see wholeOf.
	whole  [1 << lookBits]whole
	first  [18]int32 // by length: the first code beyond those of this length, aligned to 16 bits
	offset [17]int32 // what turns a code into its place among the values
	values []byte
}

// whole is a run of zeros and the number that ends it, as far as the bits looked up hold both.
type whole struct {
	value int16
	run   uint8
	bits  uint8 // of code and number; 0 where they do not fit
}

// newHuffman makes a code from the numbers of codes of each length and their symbols.
func newHuffman(counts []byte, values []byte) (*huffman, error) {
	h := &huffman{values: values}
	code, at := int32(0), 0
	for length := 1; length <= 16; length++ {
		n := int(counts[length-1])
		if int(code)+n > 1<<length {
			return nil, damaged("has a code with too many words")
		}
		h.offset[length] = int32(at) - code
		for range n {
			if length <= lookBits {
				h.enter(code, length, values[at])
			}
			code++
			at++
		}
		h.first[length] = code << (16 - length)
		code <<= 1
	}
	h.first[17] = 1 << 16
	return h, nil
}

func (h *huffman) enter(code int32, length int, symbol byte) {
	low := int(code) << (lookBits - length)
	for i := low; i < low+1<<(lookBits-length); i++ {
		h.symbols[i] = uint16(length)<<8 | uint16(symbol)
		h.whole[i] = wholeOf(i, length, symbol)
	}
}

// wholeOf reads the symbol's number from the bits that follow it, where they are all there.
func wholeOf(bits, length int, symbol byte) whole {
	run, size := symbol>>4, int(symbol&15)
	if size == 0 || length+size > lookBits {
		return whole{}
	}
	number := int32(bits>>(lookBits-length-size)) & (1<<size - 1)
	return whole{int16(extend(number, uint(size))), run, uint8(length + size)}
}

// symbol reads one symbol; false for bits that are none.
func (h *huffman) symbol(r *bits) (byte, bool) {
	r.fill()
	if e := h.symbols[r.acc>>(64-lookBits)]; e != 0 {
		n := uint(e >> 8)
		r.acc <<= n
		r.n -= n
		return byte(e), true
	}
	return h.long(r)
}

func (h *huffman) long(r *bits) (byte, bool) {
	word := int32(r.acc >> 48)
	for length := lookBits + 1; length <= 16; length++ {
		if word < h.first[length] {
			at := int(word>>(16-length) + h.offset[length])
			if at < 0 || at >= len(h.values) {
				return 0, false
			}
			r.acc <<= uint(length)
			r.n -= uint(length)
			return h.values[at], true
		}
	}
	return 0, false
}
