package painter

import "math"

// bearings is the number of bearings at which an outline is kept.
const bearings = 720

// shape is the outline of one cut face around its core, and the body below it.
type shape struct {
	rho    [bearings + 1]float64 // mm from the core's centre, by bearing; the last repeats the first
	mean   float64               // mean radius, mm
	max    float64               // largest radius, mm
	height float64               // of the face above the floor of the tray, mm
}

// newShape draws an outline from low harmonics: the first sets the core off
// centre, the second makes it oval, the fifth shows the five carpels.
func newShape(radius, height float64, seed uint64) *shape {
	r := random(seed, 3)
	amp := []float64{0, 0.035, 0.035, 0.018, 0.012, 0.018, 0.006, 0.004, 0.003}
	var a, p [9]float64
	for k := 1; k < len(amp); k++ {
		a[k] = amp[k] * between(r, -1, 1)
		p[k] = between(r, 0, 2*math.Pi)
	}
	s := &shape{height: height}
	for i := range bearings {
		th := 2 * math.Pi * float64(i) / bearings
		v := 1.0
		for k := 1; k < len(amp); k++ {
			v += a[k] * math.Cos(float64(k)*th-p[k])
		}
		s.rho[i] = radius * v
		s.mean += s.rho[i] / bearings
		s.max = math.Max(s.max, s.rho[i])
	}
	s.rho[bearings] = s.rho[0]
	return s
}

// at is the outline's radius at a bearing in radians, mm.
func (s *shape) at(th float64) float64 {
	t := th * (bearings / (2 * math.Pi))
	if t < 0 {
		t += bearings
	}
	i := int(t)
	if i >= bearings {
		i -= bearings
		t -= bearings
	}
	return s.rho[i] + (s.rho[i+1]-s.rho[i])*(t-float64(i))
}

// girth is the body's width at depth u below the face (0 at the face, 1 at the
// tray) as a share of the face's: it leaves the cut upright and curves in.
func girth(u float64) float64 { return 1 - 0.5*u*u*math.Sqrt(u) }

// girthSlope is the derivative of girth.
func girthSlope(u float64) float64 { return -1.25 * u * math.Sqrt(u) }

// gap is the least distance between the outlines of two faces whose centres
// lie dx, dy apart, mm; negative when they overlap.
func gap(a, b *shape, dx, dy float64) float64 {
	least := math.Inf(1)
	for i := 0; i < bearings; i += 3 {
		th := 2 * math.Pi * float64(i) / bearings
		x, y := a.rho[i]*math.Cos(th)-dx, a.rho[i]*math.Sin(th)-dy
		least = math.Min(least, math.Hypot(x, y)-b.at(math.Atan2(y, x)))
	}
	return least
}
