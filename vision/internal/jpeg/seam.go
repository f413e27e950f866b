package jpeg

import (
	"math"
	"slices"
)

// The mean of a block is coded as its difference from the block before, so that where one is
// read wrongly all that follow are off by as much, in one channel. The picture then
// has a seam along the edges of the MCUs: from one of them to the right along its upper edge, and
// to the left along its lower one, it jumps everywhere by the same amount without a slope on
// either side. Edges of things seldom follow such a line, and never without a slope at full size,
// where lens and sensor have blurred them: so a seam that is seen at reduced size is looked at again there.

const (
	// leastSeam is by how many levels the weakest fifth of a seam jumps at least, beyond one
	// step of the quantization. On 113 photos without damage it was 1.1 at most.
	leastSeam = 1.5
	weakest   = 0.2
	// doubt is the share of that from where on a seam at reduced size is looked at again.
	doubt = 0.5
	// A jump counts for so many levels at most while the place where the seam turns is looked for.
	mostJump = 6
	// usualJump is what edges may jump anyway, so that none is counted in by chance.
	usualJump = 1.5
)

// findSeam is the height at which the picture has a seam, in (0, 1]; 0 for none.
func (d *decoder) findSeam() (float64, error) {
	if d.watch != nil {
		d.watch.end()
		return d.watch.seam, d.watch.err
	}
	return d.seamIn(0, d.mcusY)
}

// seamIn is findSeam for those that begin in rows of MCUs from one on up to another, which is not looked at.
func (d *decoder) seamIn(from, to int) (float64, error) {
	scores := d.seams(from, to)
	doubtful := make([]bool, len(scores))
	for y, jump := range scores {
		doubtful[y] = jump > doubt
	}
	// What is usual beside a row can only take from its jump: it is looked at where that is enough by itself.
	for _, beside := range []int{along, aside + 1} {
		if d.by == 1 || !slices.Contains(doubtful, true) {
			break
		}
		var err error
		if scores, err = d.closer(doubtful, beside, from, to); err != nil {
			return 0, err
		}
		for y, jump := range scores {
			doubtful[y] = doubtful[y] && jump > 1
		}
	}
	for y, jump := range scores {
		if doubtful[y] && jump > 1 {
			return (float64(y) + 0.5) / float64(d.mcusY), nil
		}
	}
	return 0, d.ctx.Err()
}

// closer looks for seams at full size, in the rows of MCUs that are doubtful and so many on either side.
func (d *decoder) closer(doubtful []bool, beside, from, to int) ([]float64, error) {
	e, err := d.again(widened(doubtful, beside))
	if err != nil {
		return nil, err
	}
	return e.seams(from, to), nil
}

// widened adds to the rows so many on either side.
func widened(rows []bool, beside int) []bool {
	out := make([]bool, len(rows))
	for y, yes := range rows {
		for near := max(y-beside, 0); yes && near <= min(y+beside, len(rows)-1); near++ {
			out[near] = true
		}
	}
	return out
}

const (
	// along is how many rows of MCUs off a seam may run: along both edges of its row, and a strip into the next.
	along = 2
	// aside is how many rows off it is compared with what is usual.
	aside = 3
)

// seams gives for each row of MCUs, from one on up to another, the jump of the clearest seam that begins there, in
// shares of what makes one, and 0 for the other rows.
func (d *decoder) seams(from, to int) []float64 {
	scores, own := make([]float64, d.mcusY), make([]float64, d.mcusY)
	first, end := max(from-aside, 0), min(to+aside, d.mcusY)
	for i := range d.components {
		clear(own)
		c := &d.components[i]
		if 0 < d.restart && d.restart <= d.mcusX {
			c.strips(d.restart, d.mcusX, own, first, end)
		} else {
			c.seams(d.mcusX, own, first, end)
		}
		least := leastSeam + float64(c.quant[0])/8
		for y := from; y < to; y++ {
			scores[y] = max(scores[y], (own[y]-nearby(own, y))/least)
		}
	}
	return scores
}

// nearby is what is usual two and three rows off: in a coarsely coded picture a
// slope of light becomes steps from row to row.
func nearby(scores []float64, y int) float64 {
	var near []float64
	for _, o := range []int{y - aside, y - 2, y + 2, y + aside} {
		if 0 <= o && o < len(scores) {
			near = append(near, scores[o])
		}
	}
	if len(near) == 0 {
		return 0
	}
	slices.Sort(near)
	return max((near[(len(near)-1)/2]+near[len(near)/2])/2, 0)
}

// seams raises the scores of rows of MCUs, from one on up to another, to the jump of the weakest fifth of a seam of
// this channel.
func (c *component) seams(across int, scores []float64, from, to int) {
	down := len(scores)
	if down < 3 || across < 8 {
		return
	}
	upper, lower := make([]float32, across), make([]float32, across)
	cells := make([]float64, 0, across)
	// What fills up the last row may make it jump, and little is left below it to be wrong.
	for y := from; y < min(to, down-2); y++ {
		// The seam is along upper, from where it turns on, and along lower before.
		c.jumps(y, upper)
		c.jumps(y+1, lower)
		turn := turnOf(upper, lower, y > 0)
		cells = cells[:0]
		for x := range across {
			if x < turn {
				cells = append(cells, float64(lower[x]))
			} else if y > 0 {
				cells = append(cells, float64(upper[x]))
			}
		}
		if 3*len(cells) >= across {
			scores[y] = max(scores[y], weakJump(cells))
		}
	}
}

// weakJump is by how much the weakest fifth of the cells jumps in the direction of most.
func weakJump(cells []float64) float64 {
	// Most lines are seen to be none without sorting.
	const none = 0.25
	up, down := 0, 0
	for _, c := range cells {
		if c > none {
			up++
		} else if c < -none {
			down++
		}
	}
	if float64(max(up, down)) < (1-weakest)*float64(len(cells)-1) {
		return 0
	}
	slices.Sort(cells)
	n := len(cells) - 1
	k := int(weakest * float64(n))
	return max(cells[k], -cells[n-k])
}

// Restart markers begin anew, so that between them a part of a row of MCUs is off as a strip:
// its upper edge jumps as much as its lower one jumps back. One of a few MCUs may be a thing
// of the picture, and so may a weaker one.
const (
	leastStrip = 8
	ofStrip    = 2.0 / 3 // of its jump counts
)

// strips is seams for pictures with restart markers within the rows.
func (c *component) strips(restart, across int, scores []float64, first, end int) {
	down := len(scores)
	edges := make([]float32, (down+1)*across)
	for y := max(first-1, 1); y < min(end+2, down); y++ {
		c.jumps(y, edges[y*across:(y+1)*across])
	}
	cells := make([]float64, 0, 2*restart)
	// A strip begins in the row where its marker stands or in the next.
	for from := max(first-1, 0) * across / restart * restart; from < across*end; from += restart {
		to := min(from+restart, across*down)
		start := stripStart(edges, from, to, across)
		cells = cells[:0]
		for m := start; m < to; m++ {
			if m >= across {
				cells = append(cells, float64(edges[m]))
			}
			if m+across < across*down {
				cells = append(cells, -float64(edges[m+across]))
			}
		}
		// At the upper and lower border of the picture one edge is missing.
		if y := start / across; len(cells) >= 2*leastStrip && max(first, 1) <= y && y < min(end, down-2) {
			scores[y] = max(scores[y], ofStrip*weakJump(cells))
		}
	}
}

// stripStart finds the MCU from which on to the end the edges jump most, up or down.
func stripStart(edges []float32, from, to, across int) int {
	start := to
	var up, down, best float64
	for m := to - 1; m >= from; m-- {
		jump := held(edges[m]) - held(edges[m+across])
		up, down = up+jump-2*usualJump, down-jump-2*usualJump
		if most := max(up, down); to-m >= leastStrip && most > best {
			best, start = most, m
		}
	}
	return start
}

// turnOf finds where the jumps along upper from there on and along lower before add up to most. The first
// row of a picture has no upper edge.
func turnOf(upper, lower []float32, isUpper bool) int {
	if !isUpper {
		turn := 0
		var up, down, best float64
		for x, v := range lower {
			up, down = up+held(v)-usualJump, down-held(v)-usualJump
			if most := max(up, down); most > best {
				best, turn = most, x+1
			}
		}
		return turn
	}
	var sum float64
	for _, v := range upper {
		sum += held(v)
	}
	best, turn := math.Abs(sum), 0
	for x := range upper {
		sum += held(lower[x]) - held(upper[x])
		if math.Abs(sum) > best {
			best, turn = math.Abs(sum), x+1
		}
	}
	return turn
}

func held(v float32) float64 { return float64(min(max(v, -mostJump), mostJump)) }

// jumps writes for each MCU of row y by how much the plane jumps along its upper edge: the
// step across less the mean of the steps on either side.
func (c *component) jumps(y int, out []float32) {
	clear(out)
	tall, wide := c.v*c.side, c.h*c.side
	if y == 0 || y*tall < 2 || y*tall+1 >= c.rows*c.side {
		return
	}
	p1, p0, n0, n1 := c.line(y*tall-2), c.line(y*tall-1), c.line(y*tall), c.line(y*tall+1)
	if p1 == nil || n1 == nil {
		return
	}
	for m := range out {
		sum := 0
		for x := m * wide; x < (m+1)*wide; x++ {
			sum += 3*(int(n0[x])-int(p0[x])) - int(n1[x]) + int(p1[x])
		}
		out[m] = float32(sum) / float32(2*wide)
	}
}

// line is a row of the plane, nil where it is not kept.
func (c *component) line(y int) []byte {
	row := c.slots[y/c.side]
	if row < 0 {
		return nil
	}
	width := c.stride * c.side
	at := (row*c.side + y%c.side) * width
	return c.plane[at : at+width]
}
