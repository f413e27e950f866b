package locate

import "math"

// An apple has five carpels: cut across its equator, the core shows a star of
// five seed cavities. That is what a core looks like whatever the light, the
// variety and the stain, and what nothing else on a tray looks like.

const coreSamples = 30

var (
	coreCos, coreSin [coreSamples]float64
	fifth            [coreSamples]complex128 // the fifth harmonic around a circle
)

func init() {
	for i := range fifth {
		a := 2 * math.Pi * float64(i) / coreSamples
		coreSin[i], coreCos[i] = math.Sincos(a)
		s, c := math.Sincos(-5 * a)
		fifth[i] = complex(c, s)
	}
}

// coreDepths are the circles on which the star is looked for, in shares of the
// face's radius: the cavities reach from about 0.06 to 0.25.
var coreDepths = [...]float64{0.09, 0.13, 0.17, 0.21}

// core is the star in the middle of a face.
type core struct {
	x, y  float64 // its centre, px
	share float64 // of the colour variance around the centre that a star of five explains, 0 to 1
}

const (
	clearStar   = 0.18  // share from which a star proves a face; on tuning photos without halves nothing passes 0.12
	starSize    = 3.0   // least amplitude, in CIELAB units
	starSpacing = 0.046 // the core is looked for in steps of this, in radii, up to three from the middle of the face
)

// FaintStar is the share from which the star still tells where the core is.
const FaintStar = 0.12

// findCore looks around (x, y) for the core of a face of radius r.
func findCore(p *picture, x, y, r float64) core {
	best := core{x: x, y: y}
	const n = 3 // steps to either side
	for j := -n; j <= n; j++ {
		for i := -n; i <= n; i++ {
			cx, cy := x+float64(i)*starSpacing*r, y+float64(j)*starSpacing*r
			if s := starAt(p, cx, cy, r); s > best.share {
				best = core{cx, cy, s}
			}
		}
	}
	return best
}

// centreCore moves a core to the very centre of its star.
func centreCore(p *picture, c core, r float64) core {
	for step := starSpacing * r / 2; step > 0.3; step /= 2 {
		around := c
		for _, d := range [8][2]float64{{1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}} {
			x, y := c.x+d[0]*step, c.y+d[1]*step
			if s := starAt(p, x, y, r); s > around.share {
				around = core{x, y, s}
			}
		}
		c = around
	}
	return c
}

// starAt is the share of variance on circles around (x, y) that a star of five
// with the same bearings on all circles explains, in lightness and in b*.
func starAt(p *picture, x, y, r float64) float64 {
	const floor = 4 // variance of sensor noise, in CIELAB units squared
	var star [2]complex128
	total := 0.0
	for _, d := range coreDepths {
		var v [2][coreSamples]float64
		var mean [2]float64
		for i := range coreSamples {
			k := 3 * p.index(x+d*r*coreCos[i], y+d*r*coreSin[i])
			v[0][i], v[1][i] = float64(p.lab[k])*float64(toStar[0]), float64(p.lab[k+2])
			mean[0] += v[0][i] / coreSamples
			mean[1] += v[1][i] / coreSamples
		}
		for c := range v {
			for i, s := range v[c] {
				s -= mean[c]
				star[c] += complex(s/coreSamples, 0) * fifth[i]
				total += s * s / coreSamples
			}
		}
	}
	circles := float64(len(coreDepths))
	power := 0.0
	for _, s := range star {
		power += 2 * (real(s)*real(s) + imag(s)*imag(s)) / circles
	}
	if power < starSize*starSize*circles {
		return 0
	}
	return power / (total + floor*circles)
}
