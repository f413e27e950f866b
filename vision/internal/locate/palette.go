package locate

import (
	"image"
	"image/color"
	"math"

	"gocv.io/x/gocv"

	"traystage/vision/internal/parallel"
)

// Palettes hold which colours the faces and the ground of this one tray have:
// histograms over cells of CIELAB, 3.1 units of L*, 3 of a* and b*. Of the 32^3
// cells a photo fills a few thousand; only those are numbered and kept.
const (
	levels    = 32
	chromaMin = 128 - 48 // 8-bit a* or b* of the first level
)

// chroma is the level of every 8-bit a* or b*.
var chroma [256]int

func init() {
	for v := range chroma {
		chroma[v] = min(max((v-chromaMin)/3, 0), levels-1)
	}
}

func cellOf(l, a, b uint8) int {
	return (int(l>>3)*levels+chroma[a])*levels + chroma[b]
}

// colours numbers the cells that occur on one picture.
type colours struct {
	count int
	look  []shade     // of every colour, as its first pixel has it
	near  []neighbour // of one colour after the other: itself and the colours in adjoining cells
	upTo  []int32     // of every colour, where its neighbours end
}

// neighbours are those of one colour.
func (c colours) neighbours(colour int) []neighbour {
	from := int32(0)
	if colour > 0 {
		from = c.upTo[colour-1]
	}
	return c.near[from:c.upTo[colour]]
}

// neighbour is a colour that lends a share of its pixels to another: sensor
// noise scatters one colour over adjoining cells.
type neighbour struct {
	colour int32
	share  float32
}

// number gives every pixel its colour: of one picture, the 8-bit values as BGR and as CIELAB.
func number(bgr, lab []uint8) (code []uint16, c colours) {
	code = make([]uint16, len(lab)/3)
	ids := make([]int32, levels*levels*levels)
	var cells []int
	for i := range code {
		pixel := lab[3*i : 3*i+3 : 3*i+3]
		cell := cellOf(pixel[0], pixel[1], pixel[2])
		if ids[cell] == 0 {
			cells = append(cells, cell)
			c.look = append(c.look, shadeOf(bgr[3*i], bgr[3*i+1], bgr[3*i+2]))
			ids[cell] = int32(len(cells))
		}
		code[i] = uint16(ids[cell] - 1)
	}
	c.count, c.near, c.upTo = len(cells), make([]neighbour, 0, 12*len(cells)), make([]int32, len(cells))
	weight := [3]float32{0.25, 0.5, 0.25}
	for i, cell := range cells {
		l, a, b := cell/(levels*levels), cell/levels%levels, cell%levels
		for dl := max(-1, -l); dl <= min(1, levels-1-l); dl++ {
			for da := max(-1, -a); da <= min(1, levels-1-a); da++ {
				for db := max(-1, -b); db <= min(1, levels-1-b); db++ {
					if id := ids[cell+(dl*levels+da)*levels+db]; id > 0 {
						c.near = append(c.near, neighbour{id - 1, weight[dl+1] * weight[da+1] * weight[db+1]})
					}
				}
			}
		}
		c.upTo[i] = int32(len(c.near))
	}
	return code, c
}

// palette is a share of pixels for every colour, smoothed.
type palette []float32

func (c colours) palette(count []float32) palette {
	var total float32
	for _, n := range count {
		total += n
	}
	p := make(palette, c.count)
	for i, n := range count {
		if n == 0 {
			continue
		}
		n /= max(total, 1)
		for _, o := range c.neighbours(i) {
			p[o.colour] += o.share * n
		}
	}
	return p
}

// tints are the colours counted around one outline.
type tints struct {
	face   []float32 // what shows flesh, stained or clear
	ground []float32 // what does not: the surroundings, side and skin of the half included
	far    []float32 // the ground farther off, beyond the side of the half
}

func (t *tints) add(u tints) {
	for i := range t.face {
		t.face[i] += u.face[i]
		t.ground[i] += u.ground[i]
		t.far[i] += u.far[i]
	}
}

// belts are the colours counted in belts around one outline, from the inside outward.
type belts struct {
	in    []float32 // the face
	shell []float32 // the outer part of the face; or the side of the half, where the outline takes it in
	band  []float32 // the doubtful band along the outline
	near  []float32 // the ground close by, sides of the half included
	far   []float32 // the ground farther off, beyond the side of the half
}

func (c colours) belts() belts {
	all, n := make([]float32, 5*c.count), c.count
	return belts{all[:n:n], all[n : 2*n : 2*n], all[2*n : 3*n : 3*n], all[3*n : 4*n : 4*n], all[4*n:]}
}

// nearby marks in the map of owners what lies in no outline but close to one,
// where the side of the half may show. So many outlines do not fit on a tray.
const nearby = 255

// owners tells for every pixel which outline it lies in: its index + 1, nearby, or 0.
func owners(p *picture, rings []ring) []uint8 {
	m := gocv.NewMatWithSizeFromScalar(gocv.NewScalar(0, 0, 0, 0), p.h, p.w, gocv.MatTypeCV8U)
	defer m.Close()
	paint := func(g ring, value uint8) {
		pts := gocv.NewPointsVectorFromPoints([][]image.Point{g.polygon()})
		defer pts.Close()
		gocv.FillPoly(&m, pts, color.RGBA{B: value})
	}
	for _, g := range rings {
		for b := range g.r {
			g.r[b] *= 1.22
		}
		paint(g, nearby)
	}
	for i, g := range rings {
		paint(g, uint8(i+1))
	}
	return m.ToBytes()
}

// inAnother says whether a pixel belongs to another outline than that with index i.
func inAnother(owner uint8, i int) bool {
	return owner != 0 && owner != nearby && owner != uint8(i+1)
}

// lookAround counts the colours around the outline with index i.
func lookAround(p *picture, rings []ring, owner []uint8, i int) belts {
	const (
		stride   = 2 // bearings
		depth    = 64
		from, to = 0.55, 1.6 // shares of the radius
		step     = (to - from) / depth
		inner    = 0.78 // to here no side of a half reaches, even if the outline takes it in: at 25 degrees, half as high as wide
		face     = 0.92 // where the doubtful band begins
		bound    = 1.06 // where it ends
		side     = 1.22 // where even the side of a half has ended
	)
	t := p.colours.belts()
	g := &rings[i]
	pixels := make([]int32, depth)
	for b := 0; b < bearings; b += stride {
		within := p.walk(g.x, g.y, b, (from+step/2)*g.r[b], step*g.r[b], pixels)
		for k, at := range pixels[:within] {
			rho := from + step*(float32(k)+0.5)
			if inAnother(owner[at], i) || rho > side && owner[at] != 0 {
				continue
			}
			switch bin := p.code[at]; {
			case rho < inner:
				t.in[bin] += rho
			case rho < face:
				t.shell[bin] += rho
			case rho < bound:
				t.band[bin] += rho
			case rho < side:
				t.near[bin] += rho
			default:
				t.far[bin] += rho
			}
		}
	}
	return t
}

// judge tells what is face from what is ground. Skin is warm and hardly shown by the face farther in; what else lies
// in the doubtful band tells nothing. usual is how warm the faces of the tray are.
func (t *belts) judge(c colours, usual warmths) tints {
	const hardly = 0.25 // as often, for its area
	skin := c.flesh(t.in) + skinWarmer
	expected := (sum(t.shell) + sum(t.band)) / max(sum(t.in), 1)
	out := tints{face: make([]float32, c.count), ground: make([]float32, c.count), far: t.far}
	for i, look := range c.look {
		out.face[i], out.ground[i] = t.in[i]+t.shell[i], t.near[i]+t.far[i]
		warm := look.warm > skin || look.warm > usual.at(look.dark)+surelyWarmer
		if edge := t.shell[i] + t.band[i]; warm && t.in[i]*expected < edge*hardly {
			out.face[i], out.ground[i] = t.in[i], out.ground[i]+edge
		}
	}
	return out
}

func sum(counts []float32) (all float32) {
	for _, n := range counts {
		all += n
	}
	return all
}

// lessons are what the tray has taught so far.
type lessons struct {
	colours
	owner             []uint8
	around            []tints // of every half
	face, ground, far palette // of the tray as a whole
	warmth            float32 // of the clear flesh of all halves
	usual             warmths // of all halves
}

// odds are log odds for every colour, within +-surest.
type odds []float32

const surest = 2.5

// learn looks around all outlines; those that teach make the palettes of the tray.
func learn(p *picture, rings []ring, teaches func(i int) bool) lessons {
	l := lessons{colours: p.colours, owner: owners(p, rings), around: make([]tints, len(rings))}
	seen, in := make([]belts, len(rings)), make([]float32, l.count)
	parallel.Each(len(rings), func(i int) { seen[i] = lookAround(p, rings, l.owner, i) })
	for i, b := range seen {
		if teaches(i) {
			for k, n := range b.in {
				in[k] += n
			}
		}
	}
	l.usual = p.warmths(in)
	parallel.Each(len(rings), func(i int) { l.around[i] = seen[i].judge(p.colours, l.usual) })
	total := tints{make([]float32, l.count), make([]float32, l.count), make([]float32, l.count)}
	for i, t := range l.around {
		if teaches(i) {
			total.add(t)
		}
	}
	l.warmth = p.flesh(total.face)
	l.face, l.ground, l.far = l.palette(total.face), l.palette(total.ground), l.palette(total.far)
	return l
}

// all is face against ground for the tray as a whole.
func (l lessons) all() odds { return logOdds(l.face, l.ground, 5e-5) }

// own is face against ground for one half, as much by its own surroundings as by the tray.
func (l lessons) own(i int) odds {
	return logOdds(mix(l.palette(l.around[i].face), l.face), mix(l.palette(l.around[i].ground), l.ground), 5e-5)
}

// tray is how surely a colour near one half is the tray's and no half's: 0 not at all. What may be skin is not.
func (l lessons) tray(i int) odds {
	o := logOdds(mix(l.palette(l.around[i].far), l.far), l.face, 2e-4)
	for k, look := range l.look {
		o[k] = max(o[k], 0)
		if look.warm > min(l.warmth, l.usual.at(look.dark))+skinWarmer {
			o[k] = 0
		}
	}
	return o
}

func mix(a, b palette) palette {
	out := make(palette, len(a))
	for i := range out {
		out[i] = (a[i] + b[i]) / 2
	}
	return out
}

// logOdds compares two palettes; floor is the share that says nothing.
func logOdds(a, b palette, floor float32) odds {
	out := make(odds, len(a))
	for i := range out {
		if a[i] != b[i] {
			v := float32(math.Log(float64((a[i] + floor) / (b[i] + floor))))
			out[i] = min(max(v, -surest), surest)
		}
	}
	return out
}
