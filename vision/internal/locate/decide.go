package locate

import (
	"math"
	"slices"

	"traystage/vision/internal/parallel"
)

func everyone(int) bool { return true }

// decide picks the halves of the tray out of the candidates. Those that are sure by
// themselves teach what halves and ground look like on this tray; with that all outlines are
// sharpened and weighed again, now also by their likeness to the sure ones. A second round looks at the outlines that
// others had pushed aside which are none of a half, and at fainter circles as large as the halves found.
func decide(p *picture, cands []candidate) (halves, doubted []face) {
	faint := slices.IndexFunc(cands, func(c candidate) bool { return c.votes < clearVotes })
	if faint < 0 {
		faint = len(cands)
	}
	rough := follow(p, cands[:faint])
	fs := examine(p, distinct(nil, rough), 0, resharpen)
	halves, doubted = sorted(fs)
	if len(halves) == 0 {
		return halves, doubted
	}
	rough = slices.DeleteFunc(rough, func(r face) bool {
		return slices.ContainsFunc(fs, func(f face) bool { return f.x == r.x && f.y == r.y })
	})
	halves = asLarge(p, halves, rough)
	rough = append(rough, follow(p, alike(cands[faint:], halves))...)
	if again := distinct(halves, rough); len(again) > len(halves) {
		var more []face
		halves, more = sorted(examine(p, again, len(halves), resharpen))
		doubted = slices.DeleteFunc(append(doubted, more...), func(f face) bool { return !apart(f, halves) })
	}
	return halves, distinct(nil, doubted)
}

// asLarge lets an outline as large as those of the other halves take the place of one that is not where it is the likelier now that what is
// usual on the tray is known: dark stain on a dark tray leaves the edge of clear flesh the clearest.
func asLarge(p *picture, halves, rough []face) []face {
	usual := middleRadius(halves)
	isLarge := func(f *face) bool { return math.Abs(math.Log(f.radius()/usual)) < math.Log(sizeRatio) }
	out := slices.Clone(halves)
	for i := range halves {
		if isLarge(&halves[i]) {
			continue
		}
		others := slices.Delete(slices.Clone(halves), i, i+1)
		rivals := slices.Clone(others)
		for _, r := range rough {
			if isLarge(&r) && apart(r, others) && !apart(r, halves[i:i+1]) {
				rivals = append(rivals, r)
			}
		}
		for _, r := range examine(p, rivals, len(others), warily)[len(others):] {
			if r.sum() > out[i].sum() {
				out[i] = r
			}
		}
	}
	return out
}

// sizeRatio is within which the radii of halves of a tray lie where little else is known of them.
const sizeRatio = 1.25

// alike picks the candidates about as large as the halves that lie clear of them.
func alike(cands []candidate, halves []face) []candidate {
	r := middleRadius(halves)
	return slices.DeleteFunc(slices.Clone(cands), func(c candidate) bool {
		return c.r > sizeRatio*r || c.r < r/sizeRatio || slices.ContainsFunc(halves, func(h face) bool {
			return math.Hypot(h.x-c.x, h.y-c.y) < overlap*(h.radius()+c.r)
		})
	})
}

func middleRadius(fs []face) float64 { return middle(fs, func(f *face) float64 { return f.radius() }) }

func middleSkin(fs []face) float64 { return middle(fs, func(f *face) float64 { return f.skin }) }

// middle is the middle one of what some faces have.
func middle(fs []face, of func(f *face) float64) float64 {
	var all []float64
	for i := range fs {
		all = append(all, of(&fs[i]))
	}
	slices.Sort(all)
	return all[len(all)/2]
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

// examine sharpens outlines by what the sure ones among them teach and weighs them anew; those before the
// first keep what they have. Where none is sure by itself there is nothing to be like, and none is a half. Nor is one
// where the fruit of the tray were not cut across: cut lengthwise they have the skin, flesh and stain of halves and are alike.
func examine(p *picture, fs []face, first int, anew redraw) []face {
	l := learn(p, ringsOf(fs), teachers(fs))
	out := slices.Clone(fs)
	parallel.Each(len(fs)-first, func(i int) {
		i += first
		out[i] = weigh(p, anew(p, l, fs[i].ring, i, 2))
		out[i].lengthwise = out[i].cutLengthwise(notched(p, l, &out[i].ring, i))
	})
	var teach []face
	for i, yes := range known(out) {
		if yes {
			teach = append(teach, out[i])
		}
	}
	if len(teach) == 0 || !cutAcross(out, teach) {
		for i := first; i < len(out); i++ {
			out[i].evidence[DoubtLikeness] = min(0, -clearStep-out[i].alone())
		}
		return out
	}
	all, usual, skin := l.all(), middleRadius(teach), middleSkin(teach)
	parallel.Each(len(out)-first, func(i int) {
		i += first
		in, beyond := faceShare(p, all, &out[i].ring)
		out[i].evidence[DoubtLikeness] += says(likeSize, math.Abs(math.Log(out[i].radius()/usual)))
		out[i].evidence[DoubtLikeness] += says(likeColours, in-beyond)
		out[i].doubtCut(out[i].lengthwise, out[i].uncut(skin))
	})
	return out
}

// teaches says whether a face is sure enough by itself to tell what halves look like on this tray.
func (f *face) teaches() bool { return f.alone() >= teaching && !f.clipped }

// teachers says which faces teach: all, where none is known.
func teachers(fs []face) func(i int) bool {
	is := known(fs)
	if !slices.Contains(is, true) {
		return everyone
	}
	return func(i int) bool { return is[i] }
}

// known says which faces tell what the halves of the tray look like: those that are sure by themselves. Where there is none it is
// several as large as each other that are likelier halves than not and together are as sure as a few of those: a dim photo takes a little
// from each.
func known(fs []face) []bool {
	is := make([]bool, len(fs))
	for i := range fs {
		is[i] = fs[i].teaches()
	}
	if len(fs) == 0 || slices.Contains(is, true) {
		return is
	}
	best, n, sum := slices.MaxFunc(fs, func(a, b face) int { return cmpDown(b.alone(), a.alone()) }), 0, 0.0
	for i := range fs {
		f := &fs[i]
		if is[i] = f.alone() >= fewAlone && !f.clipped && math.Abs(math.Log(f.radius()/best.radius())) < math.Log(sizeRatio); is[i] {
			n++
			sum += f.alone()
		}
	}
	if n < fewest || sum < together {
		clear(is)
	}
	return is
}

// recount makes use of knowing how many halves there are. The likeliest suspects make up the number where
// the next one is clearly less likely; halves too many are suspects where they are the
// least sure ones by as clear a step.
func recount(halves, doubted []face, expected int) (h, d []face) {
	if expected <= 0 || len(halves) == 0 || expected == len(halves) {
		return halves, doubted
	}
	all := slices.Concat(halves, doubted)
	for i := range doubted {
		all[len(halves)+i].counted = true
	}
	slices.SortStableFunc(all, func(a, b face) int { return cmpDown(a.sum(), b.sum()) })
	switch {
	case expected > len(all):
		return halves, doubted
	case expected < len(all) && all[expected-1].sum()-all[expected].sum() < clearStep:
		return halves, doubted
	case expected < len(halves) && all[expected].sum() > doubtful:
		return halves, doubted
	}
	return all[:expected:expected], all[expected:]
}
