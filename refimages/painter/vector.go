package painter

import "math"

// vec is a point or direction in the world, in millimetres.
type vec struct{ x, y, z float64 }

func (a vec) add(b vec) vec              { return vec{a.x + b.x, a.y + b.y, a.z + b.z} }
func (a vec) sub(b vec) vec              { return vec{a.x - b.x, a.y - b.y, a.z - b.z} }
func (a vec) mul(k float64) vec          { return vec{a.x * k, a.y * k, a.z * k} }
func (a vec) dot(b vec) float64          { return a.x*b.x + a.y*b.y + a.z*b.z }
func (a vec) norm() float64              { return math.Sqrt(a.dot(a)) }
func (a vec) unit() vec                  { return a.mul(1 / a.norm()) }
func (a vec) along(d vec, t float64) vec { return vec{a.x + d.x*t, a.y + d.y*t, a.z + d.z*t} }

// rgb is light or reflectance in linear red, green and blue.
type rgb [3]float64

func (a rgb) add(b rgb) rgb            { return rgb{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }
func (a rgb) times(b rgb) rgb          { return rgb{a[0] * b[0], a[1] * b[1], a[2] * b[2]} }
func (a rgb) scale(k float64) rgb      { return rgb{a[0] * k, a[1] * k, a[2] * k} }
func (a rgb) mix(b rgb, t float64) rgb { return a.scale(1 - t).add(b.scale(t)) }

// absorb is what is left of the light after a layer whose optical density in
// each band is k times od.
func (a rgb) absorb(od rgb, k float64) rgb {
	const ln10 = math.Ln10
	return rgb{
		a[0] * math.Exp(-ln10*k*od[0]),
		a[1] * math.Exp(-ln10*k*od[1]),
		a[2] * math.Exp(-ln10*k*od[2]),
	}
}

func clamp(v, lo, hi float64) float64 { return math.Max(lo, math.Min(hi, v)) }

// smooth rises from 0 at lo to 1 at hi without a kink; lo may lie above hi.
func smooth(lo, hi, v float64) float64 {
	t := clamp((v-lo)/(hi-lo), 0, 1)
	return t * t * (3 - 2*t)
}
