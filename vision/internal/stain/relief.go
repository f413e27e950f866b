package stain

import "math"

// relief is a face in small: log10 of the light of its flesh, core left out, averaged over square cells.
type relief struct {
	c  [reliefCells][reliefCells][3]float64
	ok [reliefCells][reliefCells]bool // the cell shows flesh
}

const (
	reliefSteps = 20 // cells to a radius
	reliefCells = 2*reliefSteps + 2
	deepInCore  = 0.2 // normalised radius within which most is seeds and cavities
)

// relief gives the face in small.
func (q *patch) relief(c *curve) *relief {
	r := &relief{}
	var n [reliefCells][reliefCells]float64
	for i, rho := range q.rho {
		if !q.flesh[i] || rho >= nearSkin || rho < deepInCore {
			continue
		}
		x, y, ok := reliefCell(q.at(i))
		if !ok {
			continue
		}
		n[y][x]++
		for band := range 3 {
			r.c[y][x][band] += float64(c[q.raw[3*i+2-band]])
		}
	}
	for y := range n {
		for x, k := range n[y] {
			r.ok[y][x] = k > 0
			for band := range r.c[y][x] {
				r.c[y][x][band] /= math.Max(k, 1)
			}
		}
	}
	return r
}

// reliefCell is the cell at (u, v), radii from the core; false where it lies beyond.
func reliefCell(u, v float64) (x, y int, ok bool) {
	x, y = int(math.Floor(u*reliefSteps))+reliefCells/2, int(math.Floor(v*reliefSteps))+reliefCells/2
	return x, y, x >= 0 && y >= 0 && x < reliefCells && y < reliefCells
}

// each calls do for every cell that shows flesh, with its place in radii from the core.
func (r *relief) each(do func(u, v float64, c [3]float64)) {
	at := func(k int) float64 { return (float64(k-reliefCells/2) + 0.5) / reliefSteps }
	for y := range r.ok {
		for x, ok := range r.ok[y] {
			if ok {
				do(at(x), at(y), r.c[y][x])
			}
		}
	}
}

// drop is by how much darker, log10, the face is at one place than at another, radii from the core; false where either shows no flesh.
func (r *relief) drop(fromU, fromV, toU, toV float64) (d [3]float64, ok bool) {
	x, y, in := reliefCell(fromU, fromV)
	toX, toY, toIn := reliefCell(toU, toV)
	if !in || !toIn || !r.ok[y][x] || !r.ok[toY][toX] {
		return d, false
	}
	for band := range d {
		d[band] = r.c[y][x][band] - r.c[toY][toX][band]
	}
	return d, true
}

// across calls do, a step apart along a brink, with the drop from one distance beyond it to another.
func (r *relief) across(b brink, from, to float64, do func(drop [3]float64)) {
	half := math.Sqrt(math.Max(0, 1-b.p*b.p))
	for along := -half; along <= half; along += 1.0 / reliefSteps {
		u, v := b.at(along)
		if d, ok := r.drop(u+from*b.u, v+from*b.v, u+to*b.u, v+to*b.v); ok {
			do(d)
		}
	}
}

// flanks is the brightness, log10, that a tenth of the flesh beyond each line across a face reaches, by turn and place; levelFloor where there is none.
type flanks [turns][places]float32

// flanks tells how bright the face is on either side of every line.
func (r *relief) flanks() *flanks {
	var out flanks
	for turn := range turns / 2 {
		b := facing(turn)
		var count [places][levelBins]uint16
		r.each(func(u, v float64, c [3]float64) {
			k := min(max(place(b.beyond(u, v)), 0), places-1)
			count[k][min(max(int((brightness(c)-levelFloor)/levelStep), 0), levelBins-1)]++
		})
		var far, near topTenth
		for k := range places {
			// What lies beyond one line lies before that which faces the other way.
			out[turn][places-1-k] = far.with(&count[places-1-k])
			out[turn+turns/2][places-1-k] = near.with(&count[k])
		}
	}
	return &out
}

// topTenth counts brightnesses.
type topTenth struct {
	sum [levelBins]int
	n   int
}

// with counts more of them and gives the brightness, log10, that a tenth of all reaches; levelFloor where there is none.
func (t *topTenth) with(more *[levelBins]uint16) float32 {
	for bin, c := range more {
		t.sum[bin] += int(c)
		t.n += int(c)
	}
	above := 0
	for bin := levelBins - 1; bin > 0 && t.n > 0; bin-- {
		if above += t.sum[bin]; 10*above >= t.n {
			return float32(levelFloor + (float64(bin)+0.5)*levelStep)
		}
	}
	return levelFloor
}

// beyond is how bright it is from a distance beyond a brink on.
func (f *flanks) beyond(b brink, from float64) float64 {
	k := place(b.p + from)
	if k >= places {
		return levelFloor
	}
	return float64(f[b.turn][max(k, 0)])
}

// before is how bright it is from a distance before a brink on.
func (f *flanks) before(b brink, from float64) float64 {
	b.turn, b.p = (b.turn+turns/2)%turns, -b.p
	return f.beyond(b, from)
}
