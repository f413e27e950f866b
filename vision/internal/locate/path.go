package locate

import (
	"math"
	"slices"
	"sync"
)

// A grid holds a value for every bearing and depth of an unrolled picture:
// row b is a ray outward.
type grid struct {
	rows, depths int
	v            []float32
}

func newGrid(rows, depths int) grid { return grid{rows, depths, make([]float32, rows*depths)} }

func (g grid) row(b int) []float32 { return g.v[b*g.depths : (b+1)*g.depths] }

// mostReach is how many depths a path may go in or out from one bearing to the next.
const mostReach = 3

// closedPath finds the ring of greatest total gain: one depth for every
// bearing, neighbours at most reach apart (1 to mostReach), each change of d depths costing
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

// Worth is counted in whole numbers: the greater of two is found in half the time that it takes of floats.
const (
	worthUnit = 1 << 12
	// never is what no path is worth: the gains of grids are 600 at most, those of the worst paths -100,000 together.
	never = math.MinInt32 / 2
)

// pathMemory keeps what a search wrote on for the next one: they are many and short.
var pathMemory = sync.Pool{New: func() any { return new([]int32) }}

// bestPath goes steps bearings on from bearing start. With anchor >= 0 it
// begins and ends at that depth.
func bestPath(gain grid, start, steps, anchor, reach int, stiff float32) ([]int, float64) {
	n := gain.depths
	// What the best path to a depth is worth, step after step. Beyond either end
	// lie depths that no path reaches, so that the search need not look where it is.
	width := n + 2*mostReach
	memory := pathMemory.Get().(*[]int32)
	defer pathMemory.Put(memory)
	*memory = slices.Grow((*memory)[:0], (steps+1)*width)
	best := (*memory)[:(steps+1)*width]
	at := func(s int) []int32 { return best[s*width : (s+1)*width] }
	for s := range steps + 1 {
		edge := at(s)
		for d := range mostReach {
			edge[d], edge[n+mostReach+d] = never, never
		}
	}
	first := at(0)[mostReach : mostReach+n]
	for k, v := range gain.row(start) {
		first[k] = int32(v * worthUnit)
		if anchor >= 0 && k != anchor {
			first[k] = never
		}
	}
	var cost [mostReach + 1]int32
	for d := range cost {
		cost[d] = int32(stiff * float32(d*d) * worthUnit)
		if d > reach {
			cost[d] = -never / 2
		}
	}
	for s := 1; s <= steps; s++ {
		goOn(at(s)[mostReach:], at(s-1), gain.row((start+s)%gain.rows), &cost)
	}
	k := anchor
	if anchor < 0 {
		k = 0
		last := at(steps)[mostReach : mostReach+n]
		for j := range last {
			if last[j] > last[k] {
				k = j
			}
		}
	}
	total := float64(at(steps)[mostReach+k]) / worthUnit
	path := make([]int, gain.rows)
	for s := steps; s > 0; s-- {
		path[(start+s)%gain.rows] = k
		k += cameBy(at(s - 1)[k:], &cost)
	}
	path[start] = k
	return path, total
}

// goOn writes what the best paths are worth one bearing on: next and gain begin
// at the first depth, best mostReach before it.
func goOn(next, best []int32, gain []float32, cost *[mostReach + 1]int32) {
	c1, c2, c3 := cost[1], cost[2], cost[3]
	next = next[:len(gain)]
	best = best[:len(gain)+2*mostReach]
	w0, w1, w2, w3, w4, w5 := best[0], best[1], best[2], best[3], best[4], best[5]
	for k, v := range gain {
		w6 := best[k+2*mostReach]
		next[k] = int32(v*worthUnit) + max(w3, max(w2, w4)-c1, max(w1, w5)-c2, max(w0, w6)-c3)
		w0, w1, w2, w3, w4, w5 = w1, w2, w3, w4, w5, w6
	}
}

// cameBy is the move, in depths, from which the best path came to the depth in
// the middle of best: of equally good ones the shortest.
func cameBy(best []int32, cost *[mostReach + 1]int32) int {
	top, move := best[mostReach], 0
	for d := 1; d <= mostReach; d++ {
		for _, m := range [2]int{-d, d} {
			if v := best[mostReach+m] - cost[d]; v > top {
				top, move = v, m
			}
		}
	}
	return move
}
