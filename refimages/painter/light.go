package painter

import "math"

// lamp is one source of light.
type lamp struct {
	dir   vec // unit, towards the lamp, when it is far
	pos   vec // where it is, when it is near
	near  bool
	col   rgb     // irradiance on a surface facing it; for a near lamp at distance reach
	reach float64 // mm
	size  float64 // tangent of its angular radius
}

// lighting is all light in the room.
type lighting struct {
	lamps   []lamp
	ambient rgb // irradiance from the whole sky or ceiling
	window  vec // brightest direction of it
}

// from is the unit direction at a bearing and a height in degrees.
func from(bearing, height float64) vec {
	sb, cb := math.Sincos(radians(bearing))
	sh, ch := math.Sincos(radians(height))
	return vec{ch * cb, ch * sb, sh}
}

// newLighting sets the lamps up. Colours are those left over after the camera's
// automatic white balance.
func newLighting(s *Spec, cam *camera) lighting {
	dir := from(s.LightFrom, s.LightHeight)
	l := lighting{window: dir}
	switch s.Light {
	case Tubes:
		green := rgb{0.96, 1.04, 0.95}
		side := from(s.LightFrom+90, 0)
		for _, k := range []float64{-0.35, 0.35} {
			l.lamps = append(l.lamps, lamp{dir: dir.along(side, k).unit(), col: green.scale(0.36), size: 0.2})
		}
		l.ambient = green.scale(0.42)
	case Tungsten:
		warm := rgb{1.13, 1, 0.76}
		l.lamps = []lamp{{near: true, pos: dir.mul(900), reach: 900, col: warm.scale(0.75), size: 0.09}}
		l.ambient = warm.scale(0.28)
	case Sun:
		l.lamps = []lamp{{dir: dir, col: rgb{1.08, 1, 0.88}, size: 0.012}}
		l.ambient = rgb{0.2, 0.24, 0.31}
		l.window = vec{0, 0, 1}
	case Lamp:
		col := rgb{1.05, 1, 0.86}
		l.lamps = []lamp{{near: true, pos: dir.mul(480), reach: 480, col: col.scale(1.05), size: 0.06}}
		l.ambient = rgb{0.15, 0.15, 0.15}
	case Flash:
		pos := cam.eye.along(cam.right, 18)
		reach := pos.norm()
		l.lamps = []lamp{{near: true, pos: pos, reach: reach, col: rgb{0.98, 1, 1.01}, size: 0.008}}
		l.ambient = rgb{0.17, 0.16, 0.14}
	default:
		l.lamps = []lamp{{dir: dir, col: rgb{0.47, 0.48, 0.49}, size: 0.5}}
		l.ambient = rgb{0.5, 0.52, 0.55}
	}
	return l
}

// toward gives the unit direction and distance to the lamp, and what it sheds on
// a surface that faces it.
func (l *lamp) toward(p vec) (dir vec, dist float64, col rgb) {
	if !l.near {
		return l.dir, math.Inf(1), l.col
	}
	d := l.pos.sub(p)
	dist = d.norm()
	return d.mul(1 / dist), dist, l.col.scale(l.reach * l.reach / (dist * dist))
}

// sky is the brightness of the ceiling or sky seen in a direction: brightest
// around the window, dim at the walls.
func (l *lighting) sky(d vec) rgb {
	up := smooth(-0.1, 0.7, d.z)
	glow := math.Pow(math.Max(d.dot(l.window), 0), 6)
	return l.ambient.scale(0.25 + 0.6*up + 1.1*glow)
}

// level is what falls on the middle of the tray at the height of the faces.
func (l *lighting) level(z float64) float64 {
	sum := l.ambient[1]
	for i := range l.lamps {
		d, _, col := l.lamps[i].toward(vec{z: z})
		sum += col[1] * math.Max(d.z, 0)
	}
	return sum
}
