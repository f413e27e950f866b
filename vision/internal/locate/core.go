package locate

import "math"

// Most apples have five carpels: cut across the equator, the core shows a star of
// five seed cavities, whatever the light, the variety and the stain. It tells where the
// centre of the core lies; of a half it is one sign of several (see evidence.go).

const (
	coreSamples = 30
	phases      = coreSamples / 5 // samples from one lobe of the star to the next
)

var (
	coreCos, coreSin [coreSamples]float64
	fifth            [phases]complex128 // the fifth harmonic along one lobe
)

func init() {
	for i := range coreSamples {
		coreSin[i], coreCos[i] = math.Sincos(2 * math.Pi * float64(i) / coreSamples)
	}
	for i := range fifth {
		s, c := math.Sincos(-2 * math.Pi * float64(i) / phases)
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
	starSize    = 3.0   // least amplitude, in CIELAB units
	starSpacing = 0.046 // the core is looked for in steps of this, in radii, up to three from the middle of the face
)

// FaintStar is the share from which the star still tells where the core is.
const FaintStar = 0.12

// findCore looks around (x, y) for the core of a face of radius r.
func findCore(p *picture, x, y, r float64) core {
	best := core{x: x, y: y}
	const n = 3 // steps to either side
	at := circlesAround(p, x, y, r)
	reach := n*starSpacing*r + coreDepths[len(coreDepths)-1]*r + 1
	amid := p.inside(x-reach, y-reach) && p.inside(x+reach, y+reach)
	for j := -n; j <= n; j++ {
		for i := -n; i <= n; i++ {
			// By whole pixels, so that the circles need only be shifted.
			dx, dy := math.Round(float64(i)*starSpacing*r), math.Round(float64(j)*starSpacing*r)
			next := core{x: x + dx, y: y + dy}
			if amid {
				next.share = starOn(p, &at, int(dy)*p.w+int(dx))
			} else {
				next.share = starAt(p, next.x, next.y, r)
			}
			if next.share > best.share {
				best = next
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

// circles are the pixels that the star is looked for on.
type circles [len(coreDepths)][coreSamples]int32

func circlesAround(p *picture, x, y, r float64) (at circles) {
	for d, depth := range coreDepths {
		for i := range coreSamples {
			at[d][i] = int32(p.index(x+depth*r*coreCos[i], y+depth*r*coreSin[i]))
		}
	}
	return at
}

// starAt is the share of variance on circles around (x, y) that a star of five
// with the same bearings on all circles explains, in lightness and in b*.
func starAt(p *picture, x, y, r float64) float64 {
	at := circlesAround(p, x, y, r)
	return starOn(p, &at, 0)
}

// starOn is starAt on circles shifted by so many pixels.
func starOn(p *picture, at *circles, shift int) float64 {
	const floor = 4 // variance of sensor noise, in CIELAB units squared
	var star [2]complex128
	total := 0.0
	for d := range at {
		var sums, squares [2]int
		for phase, wave := range fifth {
			// Five bearings a fifth of a turn apart see the same phase of a star of five,
			// so that only their sums are needed.
			l, b := 0, 0
			for i := phase; i < coreSamples; i += phases {
				c := p.lab[3*(int(at[d][i])+shift):][:3]
				vl, vb := int(c[0]), int(c[2])
				l += vl
				b += vb
				squares[0] += vl * vl
				squares[1] += vb * vb
			}
			sums[0] += l
			sums[1] += b
			star[0] += complex(float64(l)*float64(toStar[0])/coreSamples, 0) * wave
			star[1] += complex(float64(b)*float64(toStar[2])/coreSamples, 0) * wave
		}
		for c, unit := range [2]float64{float64(toStar[0]), float64(toStar[2])} {
			mean := float64(sums[c]) / coreSamples
			total += unit * unit * (float64(squares[c])/coreSamples - mean*mean)
		}
	}
	const n = float64(len(coreDepths))
	power := 0.0
	for _, s := range star {
		power += 2 * (real(s)*real(s) + imag(s)*imag(s)) / n
	}
	if power < starSize*starSize*n {
		return 0
	}
	return power / (total + floor*n)
}
