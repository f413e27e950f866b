package locate

import "math"

// A grid holds a value for every bearing and depth of an unrolled picture:
// row b is a ray outward.
type grid struct {
	rows, depths int
	v            []float32
}

func newGrid(rows, depths int) grid { return grid{rows, depths, make([]float32, rows*depths)} }

func (g grid) row(b int) []float32 { return g.v[b*g.depths : (b+1)*g.depths] }

// closedPath finds the ring of greatest total gain: one depth for every
// bearing, neighbours at most reach apart, each change of d depths costing
// stiff*d*d, the last bearing joined to the first. A first round finds where the best
// open path passes opposite its seam; a second one starts and ends there.
func closedPath(gain grid, reach int, stiff float32) []int {
	half := gain.rows / 2
	open, _ := bestPath(gain, 0, gain.rows-1, -1, reach, stiff)
	closed, _ := bestPath(gain, half, gain.rows, open[half], reach, stiff)
	return closed
}

// openPath is closedPath without the joining of its ends; it also gives the total gain.
func openPath(gain grid, reach int, stiff float32) ([]int, float64) {
	return bestPath(gain, 0, gain.rows-1, -1, reach, stiff)
}

// bestPath goes steps bearings on from bearing start. With anchor >= 0 it
// begins and ends at that depth.
func bestPath(gain grid, start, steps, anchor, reach int, stiff float32) ([]int, float64) {
	n := gain.depths
	best, next := make([]float32, n), make([]float32, n)
	from := make([]int8, (steps+1)*n)
	copy(best, gain.row(start))
	for k := range best {
		if anchor >= 0 && k != anchor {
			best[k] = float32(math.Inf(-1))
		}
	}
	for s := 1; s <= steps; s++ {
		row := gain.row((start + s) % gain.rows)
		for k := range next {
			top, arg := best[k], 0
			for d := 1; d <= reach; d++ {
				cost := stiff * float32(d*d)
				if k >= d && best[k-d]-cost > top {
					top, arg = best[k-d]-cost, -d
				}
				if k+d < n && best[k+d]-cost > top {
					top, arg = best[k+d]-cost, d
				}
			}
			next[k] = top + row[k]
			from[s*n+k] = int8(arg)
		}
		best, next = next, best
	}
	k := anchor
	if anchor < 0 {
		k = 0
		for j := range best {
			if best[j] > best[k] {
				k = j
			}
		}
	}
	total := float64(best[k])
	path := make([]int, gain.rows)
	for s := steps; s >= 0; s-- {
		path[(start+s)%gain.rows] = k
		k += int(from[s*n+k])
	}
	return path, total
}
