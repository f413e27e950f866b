package hevc

// What of the parameters only matters to pixels, or to pictures that rest on others, is
// read over, as what follows it matters.

// skipScalingLists reads over the weights of coefficients (7.3.4).
func skipScalingLists(r *bits) {
	for size := range 4 {
		step := 1
		if size == 3 {
			step = 3
		}
		for list := 0; list < 6; list += step {
			if !r.flag() {
				r.golomb() // as another list
				continue
			}
			if size > 1 {
				r.signed()
			}
			r.golombs(min(64, 1<<(4+2*size)))
		}
	}
}

// skipPictureSets reads over which pictures others rest on (7.3.7); false where there are more than may be.
func skipPictureSets(r *bits, logOrder int) bool {
	const most = 64
	n := r.golomb()
	if n > most {
		return false
	}
	pictures := make([]int, n)
	for i := range n {
		if i > 0 && r.flag() {
			r.skip(1)
			r.golomb()
			for range pictures[i-1] + 1 {
				kept := r.flag()
				if !kept {
					kept = r.flag()
				}
				if kept {
					pictures[i]++
				}
			}
		} else {
			before, after := r.golomb(), r.golomb()
			pictures[i] = before + after
			if pictures[i] > most {
				return false
			}
			for range pictures[i] {
				r.golomb()
				r.flag()
			}
		}
	}
	if r.flag() {
		for range min(r.golomb(), most) {
			r.skip(logOrder + 1)
		}
	}
	return !r.short
}

// skipUsability reads over how a picture is to be shown (E.2.1); false where it tells of
// buffers, which photos do not.
func skipUsability(r *bits) bool {
	if r.flag() && r.uint(8) == 255 { // shape of a sample
		r.skip(32)
	}
	if r.flag() {
		r.skip(1)
	}
	if r.flag() {
		r.skip(4)
		if r.flag() {
			r.skip(24)
		}
	}
	if r.flag() {
		r.golombs(2)
	}
	r.skip(3)
	if r.flag() {
		r.golombs(4)
	}
	if r.flag() {
		r.skip(64)
		if r.flag() {
			r.golomb()
		}
		if r.flag() {
			return false
		}
	}
	if r.flag() {
		r.skip(3)
		r.golombs(5)
	}
	return true
}
