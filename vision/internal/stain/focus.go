package stain

// focus tells how sharp a face is, from its steepest edges. A blurred edge
// changes a quarter as much over one pixel as over four; the sharpest that a lens and a
// reduced picture give, nearly half as much. It is 1 for sharp, 0 for an edge
// spread over many pixels; 1 when the face shows no edge.
func (q *patch) focus() float64 {
	var one, four [256]int
	n := 0
	for y := 1; y < q.h-1; y += 2 {
		for i := y*q.w + 1; i < (y+1)*q.w-4; i++ {
			if q.rho[i-1] < 0.95 && q.rho[i+4] < 0.95 {
				here := int(q.raw[3*i+2])
				one[abs(int(q.raw[3*i+5])-here)]++
				four[abs(int(q.raw[3*i+14])-here)]++
				n++
			}
		}
	}
	over1, over4 := steepest(&one, n), steepest(&four, n)
	const faint = 12 // 8-bit steps: below, it is noise that is compared
	if over4 < faint {
		return 1
	}
	return min(max((4*float64(over1)/float64(over4)-1)/0.75, 0), 1)
}

// steepest is the step that two in a hundred of n exceed.
func steepest(count *[256]int, n int) int {
	above := 0
	for step := len(count) - 1; step > 0; step-- {
		if above += count[step]; above*50 > n {
			return step
		}
	}
	return 0
}

func abs(v int) int { return max(v, -v) }
