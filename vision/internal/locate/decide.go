package locate

import (
	"math"
	"slices"

	"traystage/vision/internal/parallel"
)

func everyone(int) bool { return true }

// decide picks the halves of the tray out of the rough outlines. Those that are sure by
// themselves teach what halves and ground look like on this tray; with that all outlines are
// sharpened and weighed again, now also by their likeness to the sure ones. What takes the place of a half
// and is none does not keep it: a second round looks at the outlines it had pushed aside.
func decide(p *picture, rough []face) (halves, doubted []face) {
	for range 2 {
		fs := distinct(halves, rough)
		if len(fs) == len(halves) {
			break
		}
		fs = examine(p, fs)
		halves, doubted = nil, nil
		for _, f := range fs {
			switch {
			case f.evidence >= sure:
				halves = append(halves, f)
			case f.evidence >= likely:
				doubted = append(doubted, f)
			}
		}
		rough = slices.DeleteFunc(rough, func(r face) bool {
			return slices.ContainsFunc(fs, func(f face) bool { return f.x == r.x && f.y == r.y })
		})
	}
	return halves, doubted
}

// examine sharpens outlines by what the sure ones among them teach and weighs them anew. Where none is
// sure by itself there is nothing to be like, and none is a half.
func examine(p *picture, fs []face) []face {
	l := learn(p, ringsOf(fs), teachers(fs))
	out := sharpen(p, fs, l, l.own, 2)
	parallel.Each(len(out), func(i int) { out[i] = weigh(p, out[i].ring, out[i].support) })
	teach := teachers(out)
	var sizes []float64
	for i := range out {
		if out[i].evidence >= teaching && teach(i) {
			sizes = append(sizes, out[i].radius())
		}
	}
	if len(sizes) == 0 {
		for i := range out {
			out[i].evidence = min(out[i].evidence, sure-0.01)
		}
		return out
	}
	slices.Sort(sizes)
	all := l.all()
	parallel.Each(len(out), func(i int) {
		in, beyond := faceShare(p, all, &out[i].ring)
		out[i].evidence += says(likeSize, math.Abs(math.Log(out[i].radius()/sizes[len(sizes)/2])))
		out[i].evidence += says(likeColours, in-beyond)
	})
	return out
}

// teachers says which faces are sure by themselves; all, where none is.
func teachers(fs []face) func(i int) bool {
	if !slices.ContainsFunc(fs, func(f face) bool { return f.evidence >= teaching }) {
		return everyone
	}
	is := make([]bool, len(fs))
	for i, f := range fs {
		is[i] = f.evidence >= teaching
	}
	return func(i int) bool { return is[i] }
}
