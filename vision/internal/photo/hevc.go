package photo

// What is coded in a HEIC may be larger than the file states, and then its decoder takes memory
// for what is coded. So the size is read from there too (ITU-T H.265, 7.3.2.2).

const (
	hevcSPS  = 33 // kind of unit that holds the size: sequence parameter set
	hevcCTB  = 64 // coded sizes are filled up to blocks of so many pixels at most
	hvcCHead = 22 // bytes before the list of units in an hvcC property
)

// honest says whether what is coded of an item is no larger than its properties
// state, but for what fills up the last blocks, and holds nothing that no encoder writes.
func (h heifItems) honest(b []byte, item uint32) bool {
	stated := heifItems{primary: item, props: h.props, uses: h.uses}
	width, height := stated.codedSize()
	sizes, known := 0, true
	check := func(unit []byte) {
		known = known && !startsWithin(unit)
		if len(unit) > 0 && unit[0]>>1&63 == hevcSPS {
			w, high, ok := spsSize(unit)
			sizes++
			known = known && ok && w <= width+hevcCTB && high <= height+hevcCTB
		}
	}
	lengthSize := 4
	for _, i := range h.uses[item] {
		if i < 1 || i > len(h.props) || h.props[i-1].kind != "hvcC" {
			continue
		}
		config := h.props[i-1].body
		if len(config) <= hvcCHead {
			return false
		}
		lengthSize = int(config[21]&3) + 1
		eachConfigured(config[hvcCHead:], check)
	}
	// Sizes may stand among the data as well.
	f := fields{b: h.bytesOf(b, item)}
	for len(f.b) > lengthSize {
		n := f.uint(lengthSize)
		if n > uint64(len(f.b)) {
			break
		}
		check(f.b[:n])
		f.b = f.b[n:]
	}
	return known && sizes > 0
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

// codedSize is the size stated of the primary item before it is turned.
func (h heifItems) codedSize() (width, height int) {
	for _, i := range h.uses[h.primary] {
		if i >= 1 && i <= len(h.props) && h.props[i-1].kind == "ispe" {
			f := fields{b: h.props[i-1].body}
			f.version()
			return int(f.uint(4)), int(f.uint(4))
		}
	}
	return 0, 0
}

// eachConfigured calls f for each unit in the lists of an hvcC property.
func eachConfigured(b []byte, f func(unit []byte)) {
	list := fields{b: b}
	for n := list.uint(1); n > 0 && !list.short; n-- {
		list.uint(1) // their kind, which each states itself
		for m := list.uint(2); m > 0 && !list.short; m-- {
			size := list.uint(2)
			if size > uint64(len(list.b)) {
				return
			}
			f(list.b[:size])
			list.b = list.b[size:]
		}
	}
}

// spsSize reads width and height, in pixels, from a sequence parameter set.
func spsSize(unit []byte) (width, height int, ok bool) {
	r := &bitFields{b: withoutEmulation(unit)}
	r.skip(16 + 4) // its own header, video parameter set
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
	if r.golomb() == 3 {
		r.skip(1)
	}
	width, height = int(r.golomb()), int(r.golomb())
	return width, height, !r.short && width > 0 && height > 0
}

// withoutEmulation takes out the bytes that keep a unit from looking like a start code.
func withoutEmulation(b []byte) []byte {
	var out []byte
	zeros := 0
	for _, c := range b {
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

// bitFields reads numbers bit by bit. Reading past the end gives zeros and sets short.
type bitFields struct {
	b     []byte
	at    int
	short bool
}

func (r *bitFields) skip(n int) { r.at += n }

func (r *bitFields) uint(n int) uint32 {
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
func (r *bitFields) golomb() uint32 {
	zeros := 0
	for r.uint(1) == 0 {
		if zeros++; zeros > 31 || r.short {
			r.short = true
			return 0
		}
	}
	return 1<<zeros - 1 + r.uint(zeros)
}
