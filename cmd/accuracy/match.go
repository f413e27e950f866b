package main

import (
	"cmp"
	"slices"

	"traystage/vision"
)

// matchAbove is the overlap from which a found half is taken to be a true one.
// Above one half, a found outline can match only one true outline as long as
// true outlines do not overlap.
const matchAbove = 0.5

// pair is a true half with the found half that matches it.
type pair struct {
	truth, found int     // places in their lists; found is -1 for a half that was missed
	iou          float64 // of the two outlines inside the frame, in [0, 1]
}

// match gives each true half the found half that overlaps it most, each found
// half at most once, best overlaps first. pairs has one entry for each true
// half, in their order; unmatched lists the found halves left over.
func match(truth trayTruth, found []vision.Half) (pairs []pair, unmatched []int) {
	var candidates []pair
	for t, h := range truth.halves {
		for f := range found {
			if v := iou(h.outline, found[f].Outline, float64(truth.width), float64(truth.height)); v > matchAbove {
				candidates = append(candidates, pair{t, f, v})
			}
		}
	}
	slices.SortStableFunc(candidates, func(a, b pair) int { return cmp.Compare(b.iou, a.iou) })

	pairs = make([]pair, len(truth.halves))
	for t := range pairs {
		pairs[t] = pair{truth: t, found: -1}
	}
	taken := make([]bool, len(found))
	for _, c := range candidates {
		if pairs[c.truth].found < 0 && !taken[c.found] {
			pairs[c.truth], taken[c.found] = c, true
		}
	}
	for f := range found {
		if !taken[f] {
			unmatched = append(unmatched, f)
		}
	}
	return pairs, unmatched
}

// inOrder says whether the numbers of the matched halves increase in the true
// reading order.
func inOrder(pairs []pair, found []vision.Half) bool {
	last := 0
	for _, p := range pairs {
		if p.found < 0 {
			continue
		}
		if found[p.found].Number <= last {
			return false
		}
		last = found[p.found].Number
	}
	return true
}
