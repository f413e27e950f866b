package painter

import "math"

// tray is the form of what the halves lie on: a floor at height 0 with a wall
// and a lip around it, or a flat board; outside it, the table.
type tray struct {
	x, y, corner float64 // half size and corner radius of the floor, mm
	wall         float64 // width of the sloping wall, mm; 0 for a board
	rim          float64 // height of the lip, mm
	lip          float64 // width of the lip, mm
	table        float64 // height of the table, mm, below 0
}

func newTray(s *Spec) tray {
	t := tray{x: s.TrayX, y: s.TrayY, corner: 22, wall: 11, rim: 15, lip: 8, table: -2.5}
	switch s.Tray {
	case Wood:
		t.corner, t.wall, t.rim, t.lip, t.table = 9, 0, 0, 0, -14
	case Card:
		t.corner, t.wall, t.rim, t.lip, t.table = 3, 0, 0, 0, 0
	case Cardboard:
		t.corner, t.wall, t.rim, t.lip, t.table = 1, 0, 0, 0, -4
	case Towel:
		t.corner, t.wall, t.rim, t.lip, t.table = 3, 0, 0, 0, -0.8
	case GreyMetal:
		t.corner, t.wall, t.rim, t.lip = 30, 14, 18, 6
	case Pulp:
		t.corner, t.wall, t.rim, t.lip = 26, 12, 11, 11
	case BlackPlastic:
		t.corner, t.wall, t.rim, t.lip = 18, 9, 17, 6
	}
	return t
}

// edge is the signed distance to the edge of the floor (negative inside) and the
// outward direction.
func (t *tray) edge(x, y float64) (d, nx, ny float64) {
	ax, ay := math.Abs(x)-(t.x-t.corner), math.Abs(y)-(t.y-t.corner)
	sx, sy := math.Copysign(1, x), math.Copysign(1, y)
	switch {
	case ax > 0 && ay > 0:
		h := math.Hypot(ax, ay)
		return h - t.corner, sx * ax / h, sy * ay / h
	case ax > ay:
		return ax - t.corner, sx, 0
	default:
		return ay - t.corner, 0, sy
	}
}

// height is the surface's height at distance d from the edge of the floor, and
// its slope there.
func (t *tray) height(d float64) (z, slope float64) {
	switch out := t.wall + t.lip; {
	case d <= 0:
		return 0, 0
	case d < t.wall:
		u := d / t.wall
		return t.rim * u * u * (3 - 2*u), t.rim * 6 * u * (1 - u) / t.wall
	case d < out:
		u := (d - t.wall) / t.lip
		return t.rim + 1.2*u*(1-u), 1.2 * (1 - 2*u) / t.lip
	case d < out+2.5:
		u := (d - out) / 2.5
		drop := t.rim - t.table
		return t.rim - drop*u*u*(3-2*u), -drop * 6 * u * (1 - u) / 2.5
	default:
		return t.table, 0
	}
}

// hit is where a downward ray meets the tray or the table, at distance at along it.
func (t *tray) hit(o, dir vec) (at, edge float64, n vec) {
	floor := -o.z / dir.z
	p := o.along(dir, floor)
	d, _, _ := t.edge(p.x, p.y)
	reach := (t.rim + 2) * math.Hypot(dir.x, dir.y) / -dir.z
	if d < -reach-1 {
		return floor, d, vec{z: 1}
	}
	ground := (t.table - o.z) / dir.z
	if d > t.wall+t.lip+3+reach {
		return ground, d, vec{z: 1}
	}
	lo := (t.rim + 1.5 - o.z) / dir.z
	const steps = 24
	step := (ground - lo) / steps
	hi := ground
	for i := 1; i <= steps; i++ {
		if t.below(o.along(dir, lo+step)) {
			hi = lo + step
			break
		}
		lo += step
	}
	for range 8 {
		mid := (lo + hi) / 2
		if t.below(o.along(dir, mid)) {
			hi = mid
		} else {
			lo = mid
		}
	}
	p = o.along(dir, hi)
	d, nx, ny := t.edge(p.x, p.y)
	_, slope := t.height(d)
	return hi, d, vec{-slope * nx, -slope * ny, 1}.unit()
}

func (t *tray) below(p vec) bool {
	d, _, _ := t.edge(p.x, p.y)
	z, _ := t.height(d)
	return p.z <= z
}

// light is how much of a lamp's light passes the lip, and occlude how much of
// the sky is seen, at a point of the floor.
func (t *tray) light(p, dir vec, size float64) float64 {
	if t.rim == 0 || dir.z <= 0.05 {
		return 1
	}
	rise := t.rim - p.z
	if rise <= 0.5 {
		return 1
	}
	k := rise / dir.z
	q := p.along(dir, k)
	d, _, _ := t.edge(q.x, q.y)
	soft := size*k + 0.6
	return smooth(t.wall+soft, t.wall-soft, d)
}

func (t *tray) occlude(edge float64) float64 {
	out := t.wall + t.lip
	switch {
	case edge > out:
		return 1 - 0.6*math.Exp(-(edge-out)/6)
	case t.rim > 0 && edge < t.wall:
		return 1 - 0.3*math.Exp(-math.Abs(edge)/14)
	}
	return 1
}
