package locate

import (
	"image"
	"math"
)

// bearings is the number of directions in which an outline is known: equal
// steps from the x axis towards y.
const bearings = 128

var cosines, sines [bearings]float64

func init() {
	for b := range bearings {
		sines[b], cosines[b] = math.Sincos(2 * math.Pi * float64(b) / bearings)
	}
}

// ring is an outline around a centre: a radius for every bearing, in pixels.
type ring struct {
	x, y float64
	r    [bearings]float64
}

func (g *ring) point(b int) (x, y float64) {
	return g.x + g.r[b]*cosines[b], g.y + g.r[b]*sines[b]
}

func (g *ring) polygon() []image.Point {
	pts := make([]image.Point, bearings)
	for b := range pts {
		x, y := g.point(b)
		pts[b] = image.Pt(int(math.Round(x-0.5)), int(math.Round(y-0.5)))
	}
	return pts
}

// radius is that of the circle with the ring's area.
func (g *ring) radius() float64 {
	s := 0.0
	for b := range g.r {
		s += g.r[b] * g.r[(b+1)%bearings]
	}
	return math.Sqrt(0.5 * s * math.Sin(2*math.Pi/bearings) / math.Pi)
}

// centroid is that of the enclosed area.
func (g *ring) centroid() (x, y float64) {
	var sx, sy, sa float64
	for b := range g.r {
		n := (b + 1) % bearings
		x0, y0 := g.r[b]*cosines[b], g.r[b]*sines[b]
		x1, y1 := g.r[n]*cosines[n], g.r[n]*sines[n]
		c := x0*y1 - x1*y0
		sa += c
		sx += (x0 + x1) * c / 3
		sy += (y0 + y1) * c / 3
	}
	return g.x + sx/sa, g.y + sy/sa
}

// radiusAt is the ring's radius at a bearing in radians.
func (g *ring) radiusAt(a float64) float64 {
	t := a / (2 * math.Pi) * bearings
	t -= math.Floor(t/bearings) * bearings
	i := int(t)
	f := t - float64(i)
	return g.r[i%bearings]*(1-f) + g.r[(i+1)%bearings]*f
}

// contains says whether the point lies inside the ring scaled by s.
func (g *ring) contains(x, y, s float64) bool {
	dx, dy := x-g.x, y-g.y
	return math.Hypot(dx, dy) < s*g.radiusAt(math.Atan2(dy, dx))
}

// recentred is the same outline seen from another centre inside it.
func (g *ring) recentred(x, y float64) ring {
	out := ring{x: x, y: y}
	corners := g.corners(x, y)
	for b := range out.r {
		out.r[b] = distance(&corners, b, cosines[b], sines[b])
	}
	return out
}

// corners are the points of the ring as seen from (x, y).
func (g *ring) corners(x, y float64) (out [bearings][2]float64) {
	for b := range out {
		px, py := g.point(b)
		out[b] = [2]float64{px - x, py - y}
	}
	return out
}

// distance is how far off corners joined to a ring lie in the direction (dx, dy),
// a unit vector about along a bearing: the ray's crossing with the polygon, the farthest where it bends back,
// 0 where it has none. From the middle of a face the corners around that bearing alone are looked at.
func distance(corners *[bearings][2]float64, bearing int, dx, dy float64) float64 {
	const around = bearings / 8
	if far := crossing(corners, bearing-around, 2*around, dx, dy); far > 0 {
		return far
	}
	return crossing(corners, 0, bearings, dx, dy)
}

// crossing is distance to so many sides of the polygon, from that behind a corner on.
func crossing(corners *[bearings][2]float64, first, sides int, dx, dy float64) float64 {
	far := 0.0
	// How far each corner lies along the ray and to the side of it: a stretch of
	// outline crosses the ray's line where the side changes.
	last := &corners[uint(first)%bearings]
	along, aside := last[0]*dx+last[1]*dy, last[0]*dy-last[1]*dx
	for k := 1; k <= sides; k++ {
		c := &corners[uint(first+k)%bearings] // of a power of two, so that it holds for negative ones
		nextAlong, nextAside := c[0]*dx+c[1]*dy, c[0]*dy-c[1]*dx
		if (aside > 0) != (nextAside > 0) {
			far = max(far, along+(nextAlong-along)*aside/(aside-nextAside))
		}
		along, aside = nextAlong, nextAside
	}
	return far
}

// fill sets the bearings between every stride-th from those by interpolation.
func (g *ring) fill(stride int) {
	for b := range g.r {
		if f := float64(b%stride) / float64(stride); f > 0 {
			before := b - b%stride
			g.r[b] = g.r[before]*(1-f) + g.r[(before+stride)%bearings]*f
		}
	}
}

// smooth keeps the first n harmonics of the outline.
func (g *ring) smooth(n int) ring {
	out := ring{x: g.x, y: g.y}
	for h := 0; h <= n; h++ {
		var c, s float64
		for b, r := range g.r {
			c += r * cosines[h*b%bearings]
			s += r * sines[h*b%bearings]
		}
		k := 2.0 / bearings
		if h == 0 {
			k = 1.0 / bearings
		}
		for b := range out.r {
			out.r[b] += k * (c*cosines[h*b%bearings] + s*sines[h*b%bearings])
		}
	}
	return out
}

// roughness is the root mean square distance of the ring from its first seven
// harmonics, in shares of the radius.
func (g *ring) roughness() float64 {
	even := g.smooth(7)
	sum := 0.0
	for b := range g.r {
		sum += (g.r[b] - even.r[b]) * (g.r[b] - even.r[b])
	}
	return math.Sqrt(sum/bearings) / g.radius()
}

// cutOff says whether the frame of the picture cuts a ring off.
func (g *ring) cutOff(p *picture) bool {
	out := 0
	for b := range bearings {
		x, y := g.point(b)
		if x < 1 || y < 1 || x > float64(p.w)-1 || y > float64(p.h)-1 {
			out++
		}
	}
	return out >= 2
}
