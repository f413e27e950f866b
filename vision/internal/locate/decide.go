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
		halves, doubted = sorted(fs)
		rough = slices.DeleteFunc(rough, func(r face) bool {
			return slices.ContainsFunc(fs, func(f face) bool { return f.x == r.x && f.y == r.y })
		})
	}
	return halves, doubted
}

// sorted tells the sure faces from those that may be halves. What the frame hides of a face its likeness to
// others cannot make up for.
func sorted(fs []face) (halves, doubted []face) {
	for _, f := range fs {
		switch {
		case f.sum() >= sure && (!f.clipped || f.alone() >= sureClipped):
			halves = append(halves, f)
		case f.sum() >= likely:
			doubted = append(doubted, f)
		}
	}
	slices.SortStableFunc(doubted, func(a, b face) int { return cmpDown(a.sum(), b.sum()) })
	return halves, doubted
}

// examine sharpens outlines by what the sure ones among them teach and weighs them anew. Where none is
// sure by itself there is nothing to be like, and none is a half.
func examine(p *picture, fs []face) []face {
	l := learn(p, ringsOf(fs), teachers(fs))
	out := sharpen(p, fs, l, l.own, 2)
	parallel.Each(len(out), func(i int) { out[i] = weigh(p, out[i].ring, out[i].support) })
	var sizes []float64
	for i := range out {
		if out[i].teaches() {
			sizes = append(sizes, out[i].radius())
		}
	}
	if len(sizes) == 0 {
		for i := range out {
			out[i].evidence[DoubtLikeness] = min(0, evenOdds-out[i].alone())
		}
		return out
	}
	slices.Sort(sizes)
	all := l.all()
	parallel.Each(len(out), func(i int) {
		in, beyond := faceShare(p, all, &out[i].ring)
		out[i].evidence[DoubtLikeness] += says(likeSize, math.Abs(math.Log(out[i].radius()/sizes[len(sizes)/2])))
		out[i].evidence[DoubtLikeness] += says(likeColours, in-beyond)
	})
	return out
}

// teaches says whether a face is sure enough by itself to tell what halves look like on this tray.
func (f *face) teaches() bool { return f.alone() >= teaching && !f.clipped }

// teachers says which faces teach: all, where none is sure enough.
func teachers(fs []face) func(i int) bool {
	if !slices.ContainsFunc(fs, func(f face) bool { return f.teaches() }) {
		return everyone
	}
	is := make([]bool, len(fs))
	for i := range fs {
		is[i] = fs[i].teaches()
	}
	return func(i int) bool { return is[i] }
}

// recount makes use of knowing how many halves there are. Suspects that are missing to the number are halves where
// they are likelier so than not and the next one is clearly less likely; halves too many are
// suspects where they are the least sure ones by as clear a step.
func recount(halves, doubted []face, expected int) (h, d []face) {
	if expected <= 0 || len(halves) == 0 || expected == len(halves) {
		return halves, doubted
	}
	all := slices.Concat(halves, doubted)
	slices.SortStableFunc(all, func(a, b face) int { return cmpDown(a.sum(), b.sum()) })
	switch {
	case expected > len(all), all[expected-1].sum() < evenOdds:
		return halves, doubted
	case expected < len(all) && all[expected-1].sum()-all[expected].sum() < clearStep:
		return halves, doubted
	case expected < len(halves) && all[expected].sum() > doubtful:
		return halves, doubted
	}
	return all[:expected:expected], all[expected:]
}
