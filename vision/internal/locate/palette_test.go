package locate

import (
	"math"
	"slices"
	"testing"
)

// cell gives an 8-bit CIELAB colour in the middle of cell l, a, b.
func cell(l, a, b int) []uint8 {
	return []uint8{uint8(8*l + 4), uint8(chromaMin + 3*a + 1), uint8(chromaMin + 3*b + 1)}
}

// one counts a single pixel, of the first colour.
func (c colours) one() []float32 {
	n := make([]float32, c.count)
	n[0] = 1
	return n
}

// A colour lends 1/2 to its own cell along each axis of colour and 1/4 to either
// neighbour, as far as the picture has the neighbours.
func TestPaletteSmoothing(t *testing.T) {
	mass := func(p palette) (sum float64) {
		for _, v := range p {
			sum += float64(v)
		}
		return sum
	}
	all := cell(10, 10, 10)
	for dl := -1; dl <= 1; dl++ {
		for da := -1; da <= 1; da++ {
			for db := -1; db <= 1; db++ {
				all = append(all, cell(10+dl, 10+da, 10+db)...)
			}
		}
	}
	_, c := number(all, all)
	if p := c.palette(c.one()); c.count != 27 || math.Abs(mass(p)-1) > 1e-6 || p[0] != 0.125 {
		t.Errorf("amid %d colours %v of one pixel's mass is kept, %v in its own cell", c.count, mass(p), p[0])
	}
	two := append(cell(10, 10, 10), cell(11, 10, 10)...)
	_, c = number(two, two)
	if p := c.palette(c.one()); p[0] != 0.125 || p[1] != 0.0625 {
		t.Errorf("a colour and its neighbour in L* hold %v, want 1/8 and 1/16", p)
	}
	two = append(cell(10, 10, 10), cell(12, 10, 10)...)
	_, c = number(two, two)
	if p := c.palette(c.one()); p[1] != 0 {
		t.Errorf("a colour two cells off holds %v", p[1])
	}
	// twice the pixels are the same shares
	twice := []float32{2, 0}
	if p := c.palette(twice); p[0] != 0.125 {
		t.Errorf("two pixels give a share of %v, one 1/8", p[0])
	}
}

func TestNumber(t *testing.T) {
	a, b := cell(3, 16, 20), cell(30, 31, 0)
	far := []uint8{255, 255, 0} // beyond the last level of colour: counts to it
	lab := append(append(append(append([]uint8{}, a...), b...), a...), far...)
	code, c := number(lab, lab)
	if c.count != 3 || code[0] != code[2] || code[0] == code[1] || code[3] == code[1] {
		t.Errorf("pixels of colours 1 2 1 3 were numbered %v of %d", code, c.count)
	}
}

func TestOdds(t *testing.T) {
	face, ground := palette{0.5, 0.001, 0.2, 0}, palette{0.001, 0.5, 0.2, 0}
	o := logOdds(face, ground, 1e-4)
	if o[0] != surest || o[1] != -surest || o[2] != 0 || o[3] != 0 {
		t.Errorf("odds %v, want surely face, surely ground, undecided, unseen", o)
	}
	// ln(0.0201/0.0101) below the limit
	if o := logOdds(palette{0.02}, palette{0.01}, 1e-4); math.Abs(float64(o[0])-math.Log(0.0201/0.0101)) > 1e-5 {
		t.Errorf("odds %v, want %v", o[0], math.Log(0.0201/0.0101))
	}
}

// bgrOf is a colour of the given densities of red, green and blue.
func bgrOf(red, green, blue float64) []uint8 {
	eight := func(d float64) uint8 {
		for v := 255; v > 0; v-- {
			if float64(density[v]) >= d {
				return uint8(v)
			}
		}
		return 0
	}
	return []uint8{eight(blue), eight(green), eight(red)}
}

// coloursOf numbers colours in this order, each in a cell of its own far from the others.
func coloursOf(bgr ...[]uint8) colours {
	var lab []uint8
	for i := range bgr {
		lab = append(lab, cell(5*i+4, 10, 10)...)
	}
	_, c := number(slices.Concat(bgr...), lab)
	return c
}

// What the outer belts show that is warmer than flesh and rare farther in is skin, so ground; stain at
// the rim stays face, and so does what the whole face shows.
func TestBeltsJudgeSkin(t *testing.T) {
	flesh, skin, stain, wash := bgrOf(0.1, 0.12, 0.3), bgrOf(0.3, 0.4, 0.9), bgrOf(1.0, 0.9, 0.8), bgrOf(0.12, 0.2, 0.6)
	c := coloursOf(flesh, skin, stain, wash)
	b := c.belts()
	b.in = []float32{80, 1, 0, 20}
	b.shell = []float32{20, 10, 10, 5}
	b.band = []float32{10, 20, 10, 5}
	b.near = []float32{0, 3, 0, 0}
	got := b.judge(c, c.warmths(b.in))
	if want := []float32{100, 1, 10, 25}; !slices.Equal(got.face, want) {
		t.Errorf("face: flesh, skin, stain, wash count %v, want %v", got.face, want)
	}
	if want := []float32{0, 33, 0, 0}; !slices.Equal(got.ground, want) {
		t.Errorf("ground: flesh, skin, stain, wash count %v, want %v", got.ground, want)
	}
	// The lightest fifth lies in the flesh alone: its warmth is 0.3 - 0.1, to the step of 8 bits there.
	if w := c.flesh(b.in); math.Abs(float64(w)-0.2) > 0.02 {
		t.Errorf("flesh has warmth %.3f", w)
	}
}

// The side of a half, seen past the edge of yellow flesh, is no warmer than that flesh but warmer than stain as dark: it is
// ground, and the stain at the rim is face.
func TestBeltsJudgeSide(t *testing.T) {
	flesh, stain, side, rim := bgrOf(0.05, 0.08, 0.45), bgrOf(0.65, 0.60, 0.76), bgrOf(0.56, 0.60, 0.90), bgrOf(0.58, 0.60, 0.86)
	c := coloursOf(flesh, stain, side, rim) // the side is 0.23 warmer than stain, the stain of the rim 0.17
	b := c.belts()
	b.in = []float32{60, 40, 0, 0}
	b.shell = []float32{20, 10, 10, 10}
	b.band = []float32{5, 5, 10, 5}
	usual := c.warmths(b.in)
	got := b.judge(c, usual)
	if want := []float32{80, 50, 0, 10}; !slices.Equal(got.face, want) {
		t.Errorf("face: flesh, stain, side, stain of the rim count %v, want %v", got.face, want)
	}
	if want := []float32{0, 0, 20, 0}; !slices.Equal(got.ground, want) {
		t.Errorf("ground: flesh, stain, side, stain of the rim count %v, want %v", got.ground, want)
	}
	// What may be skin tells nothing of the tray, whatever it is as dark as.
	l := lessons{colours: c, around: []tints{{far: []float32{0, 0, 5, 0}}}, usual: usual, warmth: c.flesh(b.in),
		face: c.palette(got.face), far: palette{0, 0, 0.5, 0}}
	if o := l.tray(0); o[2] != 0 {
		t.Errorf("the colour of a side is the tray's with odds of %v", o[2])
	}
}
