package painter

import (
	"math"
	"math/rand/v2"
)

// noise is a random field over the plane, the same for the same seed.
type noise uint64

// random gives the random numbers of one purpose (stream) of one seed.
func random(seed, stream uint64) *rand.Rand {
	return rand.New(rand.NewPCG(seed, stream*0x9e3779b97f4a7c15+1))
}

// between is uniform in [lo, hi).
func between(r *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }

// cell is uniform in [0, 1) for each cell of the unit grid.
func (n noise) cell(ix, iy int64) float64 {
	h := uint64(n) ^ uint64(ix)*0x9e3779b97f4a7c15 ^ uint64(iy)*0xc2b2ae3d27d4eb4f
	h = (h ^ h>>31) * 0xd6e8feb86659fd93
	h ^= h >> 32
	h *= 0xd6e8feb86659fd93
	h ^= h >> 29
	return float64(h>>11) / (1 << 53)
}

// at is smooth noise in [-1, 1] with features about one unit wide.
func (n noise) at(x, y float64) float64 {
	fx, fy := math.Floor(x), math.Floor(y)
	ix, iy := int64(fx), int64(fy)
	u, v := x-fx, y-fy
	u = u * u * u * (u*(u*6-15) + 10)
	v = v * v * v * (v*(v*6-15) + 10)
	a, b := n.cell(ix, iy), n.cell(ix+1, iy)
	c, d := n.cell(ix, iy+1), n.cell(ix+1, iy+1)
	return 2*((a+(b-a)*u)*(1-v)+(c+(d-c)*u)*v) - 1
}

// layers adds up count layers of noise, each twice as fine and half as strong;
// about [-1, 1].
func (n noise) layers(x, y float64, count int) float64 {
	sum, amp, total := 0.0, 1.0, 0.0
	for i := range count {
		sum += amp * (n+noise(i)*77).at(x, y)
		total += amp
		amp *= 0.5
		// turned by an angle, so that the grids of the layers do not line up
		x, y = 1.6*x+1.2*y, -1.2*x+1.6*y
	}
	return sum / total * 1.4
}

// spots gives the distance to the nearest of one random point per unit cell and
// that point's own number in [0, 1).
func (n noise) spots(x, y float64) (dist, id float64) {
	ix, iy := int64(math.Floor(x)), int64(math.Floor(y))
	best := math.Inf(1)
	for dy := int64(-1); dy <= 1; dy++ {
		for dx := int64(-1); dx <= 1; dx++ {
			px := float64(ix+dx) + n.cell(ix+dx, iy+dy)
			py := float64(iy+dy) + (n+1).cell(ix+dx, iy+dy)
			if d := (px-x)*(px-x) + (py-y)*(py-y); d < best {
				best, id = d, (n+2).cell(ix+dx, iy+dy)
			}
		}
	}
	return math.Sqrt(best), id
}
