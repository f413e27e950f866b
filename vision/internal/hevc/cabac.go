package hevc

// arithmetic decodes symbols of two values, each with a context that tells how likely they are (H.265, 9.3.4.3).
// Value holds the offset of the standard above seven bits that are read ahead.
type arithmetic struct {
	b          []byte
	next       int // first byte that is not in value
	value, rng uint32
	spent      int // bits of the last byte in value that the offset has taken, less eight
	contexts   [contextCount]context
}

// context is the state of one: how unlikely the rarer symbol is, 0 to 62, and which is the commoner.
type context struct{ state, common uint8 }

// start begins at a byte (9.3.2.5).
func (a *arithmetic) start(at int) {
	a.next = at
	a.rng, a.spent = 510, -8
	a.value = uint32(a.byte())<<8 | uint32(a.byte())
}

// byte is the next one, zero beyond the end.
func (a *arithmetic) byte() byte {
	a.next++
	return b1(a.b, a.next-1)
}

// over says whether more was read than there is. Two bytes are read ahead at the start.
func (a *arithmetic) over() bool { return a.next > len(a.b)+2 }

// reset gives every context the state that pictures on their own start with (9.3.2.2).
func (a *arithmetic) reset(qp int) {
	qp = max(0, min(51, qp))
	for i, v := range initial {
		slope, offset := int(v>>4)*5-45, int(v&15)<<3-16
		pre := max(1, min(126, slope*qp>>4+offset))
		if pre <= 63 {
			a.contexts[i] = context{uint8(63 - pre), 0}
		} else {
			a.contexts[i] = context{uint8(pre - 64), 1}
		}
	}
}

func (a *arithmetic) shift(n int) {
	a.value <<= n
	if a.spent += n; a.spent >= 0 {
		a.value |= uint32(a.byte()) << a.spent
		a.spent -= 8
	}
}

// bit decodes a symbol with a context (9.3.4.3.2).
func (a *arithmetic) bit(i int) int {
	c := &a.contexts[i]
	rare := uint32(rareRange[c.state][a.rng>>6&3])
	a.rng -= rare
	out := c.common
	if at := a.rng << 7; a.value < at {
		c.state = min(c.state+1, 62)
		if a.rng < 256 {
			a.rng <<= 1
			a.shift(1)
		}
	} else {
		a.value -= at
		out = 1 - out
		if c.state == 0 {
			c.common = 1 - c.common
		}
		c.state = afterRare[c.state]
		n := 0
		for ; rare < 256; n++ {
			rare <<= 1
		}
		a.rng = rare
		a.shift(n)
	}
	return int(out)
}

// even decodes a symbol whose values are as likely (9.3.4.3.4).
func (a *arithmetic) even() int {
	a.shift(1)
	if at := a.rng << 7; a.value >= at {
		a.value -= at
		return 1
	}
	return 0
}

// number decodes n of them.
func (a *arithmetic) number(n int) int {
	v := 0
	for range n {
		v = v<<1 | a.even()
	}
	return v
}

// end decodes whether something ends (9.3.4.3.5).
func (a *arithmetic) end() bool {
	a.rng -= 2
	if a.value >= a.rng<<7 {
		return true
	}
	if a.rng < 256 {
		a.rng <<= 1
		a.shift(1)
	}
	return false
}

// stopped says, after an end, whether the last bit that was read is a one and zeros fill up its byte, as
// they do behind the last symbol.
func (a *arithmetic) stopped() bool {
	return b1(a.b, a.next-1)<<(8+a.spent) == 0x80
}

// rareRange is the part of the range that the rarer symbol takes, by state and range (table 9-46).
var rareRange = [64][4]uint8{
	{128, 176, 208, 240}, {128, 167, 197, 227}, {128, 158, 187, 216}, {123, 150, 178, 205},
	{116, 142, 169, 195}, {111, 135, 160, 185}, {105, 128, 152, 175}, {100, 122, 144, 166},
	{95, 116, 137, 158}, {90, 110, 130, 150}, {85, 104, 123, 142}, {81, 99, 117, 135},
	{77, 94, 111, 128}, {73, 89, 105, 122}, {69, 85, 100, 116}, {66, 80, 95, 110},
	{62, 76, 90, 104}, {59, 72, 86, 99}, {56, 69, 81, 94}, {53, 65, 77, 89},
	{51, 62, 73, 85}, {48, 59, 69, 80}, {46, 56, 66, 76}, {43, 53, 63, 72},
	{41, 50, 59, 69}, {39, 48, 56, 65}, {37, 45, 54, 62}, {35, 43, 51, 59},
	{33, 41, 48, 56}, {32, 39, 46, 53}, {30, 37, 43, 50}, {29, 35, 41, 48},
	{27, 33, 39, 45}, {26, 31, 37, 43}, {24, 30, 35, 41}, {23, 28, 33, 39},
	{22, 27, 32, 37}, {21, 26, 30, 35}, {20, 24, 29, 33}, {19, 23, 27, 31},
	{18, 22, 26, 30}, {17, 21, 25, 28}, {16, 20, 23, 27}, {15, 19, 22, 25},
	{14, 18, 21, 24}, {14, 17, 20, 23}, {13, 16, 19, 22}, {12, 15, 18, 21},
	{12, 14, 17, 20}, {11, 14, 16, 19}, {11, 13, 15, 18}, {10, 12, 15, 17},
	{10, 12, 14, 16}, {9, 11, 13, 15}, {9, 11, 12, 14}, {8, 10, 12, 14},
	{8, 9, 11, 13}, {7, 9, 11, 12}, {7, 9, 10, 12}, {7, 8, 10, 11},
	{6, 8, 9, 11}, {6, 7, 9, 10}, {6, 7, 8, 9}, {2, 2, 2, 2},
}

// afterRare is the state after the rarer symbol (table 9-47).
var afterRare = [64]uint8{
	0, 0, 1, 2, 2, 4, 4, 5, 6, 7, 8, 9, 9, 11, 11, 12, 13, 13, 15, 15, 16, 16, 18, 18, 19, 19, 21, 21, 22, 22, 23, 24,
	24, 25, 26, 26, 27, 27, 28, 29, 29, 30, 30, 30, 31, 32, 32, 33, 33, 33, 34, 34, 35, 35, 35, 36, 36, 36, 37, 37, 37, 38, 38, 63,
}

// Where the contexts of each symbol start.
const (
	saoMerge      = 0
	saoType       = saoMerge + 1
	splitCU       = saoType + 1
	bypassCU      = splitCU + 3
	partMode      = bypassCU + 1
	prevMode      = partMode + 1
	chromaMode    = prevMode + 1
	splitTU       = chromaMode + 1
	cbfLuma       = splitTU + 3
	cbfChroma     = cbfLuma + 2
	qpDelta       = cbfChroma + 5
	skipTransform = qpDelta + 2
	lastX         = skipTransform + 2
	lastY         = lastX + 18
	codedGroup    = lastY + 18
	significant   = codedGroup + 4
	greater1      = significant + 42
	greater2      = greater1 + 24
	contextCount  = greater2 + 6
)

// initial are the values that contexts start from in pictures on their own (tables 9-5 to 9-37, initType 0).
var initial = [contextCount]uint8{
	153,           // saoMerge
	200,           // saoType
	139, 141, 157, // splitCU
	154,           // bypassCU
	184,           // partMode
	184,           // prevMode
	63,            // chromaMode
	153, 138, 138, // splitTU
	111, 141, // cbfLuma
	94, 138, 182, 154, 154, // cbfChroma
	154, 154, // qpDelta
	139, 139, // skipTransform
	110, 110, 124, 125, 140, 153, 125, 127, 140, 109, 111, 143, 127, 111, 79, 108, 123, 63, // lastX
	110, 110, 124, 125, 140, 153, 125, 127, 140, 109, 111, 143, 127, 111, 79, 108, 123, 63, // lastY
	91, 171, 134, 141, // codedGroup
	111, 111, 125, 110, 110, 94, 124, 108, 124, 107, 125, 141, 179, 153, 125, 107, 125, 141, 179, 153, 125, // significant
	107, 125, 141, 179, 153, 125, 140, 139, 182, 182, 152, 136, 152, 136, 153, 136, 139, 111, 136, 139, 111,
	140, 92, 137, 138, 140, 152, 138, 139, 153, 74, 149, 92, // greater1
	139, 107, 122, 152, 140, 179, 166, 182, 140, 227, 122, 197,
	138, 153, 136, 167, 152, 152, // greater2
}
