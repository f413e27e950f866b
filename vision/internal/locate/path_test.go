package locate

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// gridOf takes one string a bearing, one digit a depth.
func gridOf(rows ...string) grid {
	g := newGrid(len(rows), len(rows[0]))
	for b, row := range rows {
		for k, digit := range row {
			g.row(b)[k] = float32(digit - '0')
		}
	}
	return g
}

func TestClosedPathByHand(t *testing.T) {
	for _, tt := range []struct {
		name  string
		gain  grid
		reach int
		stiff float32
		want  []int
	}{
		{"straight", gridOf("0090", "0090", "0090", "0090"), 1, 0.1, []int{2, 2, 2, 2}},
		{"a wave", gridOf("0900", "0090", "0009", "0090"), 1, 0.1, []int{1, 2, 3, 2}},
		// the 9 at the first bearing lies out of reach of both its neighbours
		{"too far to go", gridOf("9040", "0050", "0050", "0050"), 1, 0.1, []int{2, 2, 2, 2}},
		// a step and back costs 2 x 4, and gains 7 - 1
		{"not worth the bend", gridOf("0500", "0170", "0500", "0500"), 1, 4, []int{1, 1, 1, 1}},
		{"worth the bend", gridOf("0500", "0170", "0500", "0500"), 1, 2.9, []int{1, 2, 1, 1}},
		{"one depth", gridOf("3", "1", "2"), 2, 1, []int{0, 0, 0}},
	} {
		if got := closedPath(tt.gain, tt.reach, tt.stiff); !slices.Equal(got, tt.want) {
			t.Errorf("%s: %v, want %v", tt.name, got, tt.want)
		}
	}
}

// worthOf is the gain of a path less what its bends cost; false where a step goes
// beyond reach. The step from the last bearing to the first counts when closed.
func worthOf(g grid, path []int, reach int, stiff float32, closed bool) (float64, bool) {
	sum := 0.0
	for b, k := range path {
		sum += float64(g.row(b)[k])
		if b+1 == len(path) && !closed {
			break
		}
		d := path[(b+1)%len(path)] - k
		if d > reach || d < -reach {
			return 0, false
		}
		sum -= float64(stiff) * float64(d*d)
	}
	return sum, true
}

// bestOf tries every path; held is the depth it must pass at bearing at, or -1.
func bestOf(g grid, reach int, stiff float32, closed bool, at, held int) float64 {
	best := math.Inf(-1)
	path := make([]int, g.rows)
	for {
		if held < 0 || path[at] == held {
			if w, ok := worthOf(g, path, reach, stiff, closed); ok {
				best = math.Max(best, w)
			}
		}
		b := 0
		for ; b < len(path); b++ { // count on
			if path[b]++; path[b] < g.depths {
				break
			}
			path[b] = 0
		}
		if b == len(path) {
			return best
		}
	}
}

// Against all paths of small grids: the open path is the best there is; the
// closed one the best that passes where the open one does, opposite the seam.
func TestPathsAgainstAll(t *testing.T) {
	const rounded = 12.0 / worthUnit // six gains and six bends
	r := rand.New(rand.NewPCG(3, 5))
	for range 60 {
		g := newGrid(4+r.IntN(3), 2+r.IntN(3))
		for i := range g.v {
			g.v[i] = float32(r.Float64())
		}
		reach, stiff := 1+r.IntN(2), float32(r.Float64()*0.4)
		open, total := openPath(g, reach, stiff)
		w, ok := worthOf(g, open, reach, stiff, false)
		if want := bestOf(g, reach, stiff, false, 0, -1); !ok || math.Abs(w-want) > rounded || math.Abs(total-want) > rounded {
			t.Errorf("open path %v is worth %v (said %v), the best %v", open, w, total, want)
		}
		closed := closedPath(g, reach, stiff)
		half := g.rows / 2
		w, ok = worthOf(g, closed, reach, stiff, true)
		if want := bestOf(g, reach, stiff, true, half, open[half]); !ok || math.Abs(w-want) > rounded {
			t.Errorf("closed path %v is worth %v (%v), the best through %d at bearing %d is %v", closed, w, ok, open[half], half, want)
		}
	}
}
