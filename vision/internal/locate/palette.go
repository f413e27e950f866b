package locate

import (
	"image"
	"image/color"
	"math"

	"gocv.io/x/gocv"
)

// Palettes hold which colours the faces and the ground of this one tray have:
// histograms over bins of CIELAB, 3.2 units of L*, 3 of a* and b*.
const (
	levels    = 32
	bins      = levels * levels * levels
	chromaMin = 128 - 48 // 8-bit a* or b* of the first level
)

func binOf(l, a, b uint8) uint16 {
	chroma := func(v uint8) uint16 {
		return uint16(min(max((int(v)-chromaMin)/3, 0), levels-1))
	}
	return uint16(l>>3)<<10 | chroma(a)<<5 | chroma(b)
}

// palette is a share of pixels for every bin, smoothed.
type palette []float32

func newPalette(count []float32) palette {
	var total float32
	for _, c := range count {
		total += c
	}
	p := palette(count)
	for stride := 1; stride < bins; stride *= levels {
		p = p.smoothed(stride)
	}
	for i := range p {
		p[i] /= max(total, 1)
	}
	return p
}

// smoothed spreads every bin over its neighbours along one axis of colour.
func (p palette) smoothed(stride int) palette {
	out := make(palette, bins)
	for i, v := range p {
		if v == 0 {
			continue
		}
		k := i / stride % levels
		out[i] += v / 2
		out[i-stride*min(k, 1)] += v / 4
		out[i+stride*min(levels-1-k, 1)] += v / 4
	}
	return out
}

// tints are the colours counted around one outline.
type tints struct {
	rim  []float32 // the outer part of the face
	band []float32 // the doubtful band along the outline
	near []float32 // the ground close by, sides of the half included
	far  []float32 // the ground farther off, beyond the side of the half
}

func newTints() tints {
	return tints{make([]float32, bins), make([]float32, bins), make([]float32, bins), make([]float32, bins)}
}

func (t *tints) add(u tints) {
	for i := range t.rim {
		t.rim[i] += u.rim[i]
		t.band[i] += u.band[i]
		t.near[i] += u.near[i]
		t.far[i] += u.far[i]
	}
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
func lookAround(p *picture, rings []ring, owner []uint8, i int) tints {
	const rays, depth = 96, 96
	t := newTints()
	g := &rings[i]
	for b := range rays {
		sin, cos := math.Sincos(2 * math.Pi * float64(b) / rays)
		edge := g.radiusAt(2 * math.Pi * float64(b) / rays)
		for k := range depth {
			rho := 0.55 + (1.6-0.55)*(float64(k)+0.5)/depth
			x, y := g.x+rho*edge*cos, g.y+rho*edge*sin
			if !p.inside(x, y) {
				break
			}
			at := p.index(x, y)
			if inAnother(owner[at], i) || rho > 1.22 && owner[at] != 0 {
				continue
			}
			weight := float32(rho)
			switch bin := p.code[at]; {
			case rho < 0.92:
				t.rim[bin] += weight
			case rho < 1.06:
				t.band[bin] += weight
			case rho < 1.22:
				t.near[bin] += weight
			default:
				t.far[bin] += weight
			}
		}
	}
	return t
}

// lessons are what the tray has taught so far.
type lessons struct {
	owner []uint8
	all   odds   // face against ground for the tray as a whole
	own   []odds // the same for every half, mostly by its own surroundings
	tray  []odds // how surely a colour is the tray's and no half's: 0 not at all
}

// odds are log odds for every colour bin, within +-surest.
type odds []float32

const surest = 2.5

func learn(p *picture, rings []ring) lessons {
	l := lessons{owner: owners(p, rings), own: make([]odds, len(rings)), tray: make([]odds, len(rings))}
	around := make([]tints, len(rings))
	each(len(rings), func(i int) { around[i] = lookAround(p, rings, l.owner, i) })
	total := newTints()
	for _, t := range around {
		total.add(t)
	}
	face, far := newPalette(total.rim), newPalette(total.far)
	ground := newPalette(total.ground(face))
	l.all = logOdds(face, ground, 5e-5)
	each(len(rings), func(i int) {
		ownFace := mix(newPalette(around[i].rim), face)
		l.own[i] = logOdds(ownFace, mix(newPalette(around[i].ground(face)), ground), 5e-5)
		o := logOdds(mix(newPalette(around[i].far), far), face, 2e-4)
		for k := range o {
			o[k] = max(o[k], 0)
		}
		l.tray[i] = o
	})
	return l
}

// ground is what is not face: everything outside, and in the doubtful band
// what no face of the tray shows, which is skin.
func (t tints) ground(face palette) []float32 {
	const unseen = 1e-4
	out := make([]float32, bins)
	for i := range out {
		out[i] = t.near[i] + t.far[i]
		if face[i] < unseen {
			out[i] += t.band[i]
		}
	}
	return out
}

func mix(a, b palette) palette {
	out := make(palette, bins)
	for i := range out {
		out[i] = (a[i] + b[i]) / 2
	}
	return out
}

// logOdds compares two palettes; floor is the share that says nothing.
func logOdds(a, b palette, floor float32) odds {
	out := make(odds, bins)
	for i := range out {
		if a[i] != b[i] {
			v := float32(math.Log(float64((a[i] + floor) / (b[i] + floor))))
			out[i] = min(max(v, -surest), surest)
		}
	}
	return out
}
