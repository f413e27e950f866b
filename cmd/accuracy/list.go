package main

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"traystage/vision"
)

// Errors of the stained fraction are at most 1, so that these come before them.
const (
	clippedBadness = iota + 2
	falseBadness
	missedBadness
)

// line is one half in the list of -halves; the worst comes first.
type line struct {
	badness float64
	text    string
}

// writeList prints one line for each half of a group, found or not, the worst
// stained fraction first; halves that were missed or are false come before all.
func writeList(w io.Writer, g group, outcomes []outcome) {
	var lines []line
	for _, o := range outcomes {
		if o.failed() {
			lines = append(lines, line{math.Inf(1), fmt.Sprintf("%s: %v", o.photo.name, o.err)})
			continue
		}
		for _, p := range o.pairs {
			lines = append(lines, halfLine(o, p))
		}
		for _, f := range o.unmatched {
			h := o.tray.Halves[f]
			lines = append(lines, line{falseBadness, fmt.Sprintf("%s  number %d at (%.0f, %.0f) radius %.0f clipped %v: false%s",
				o.photo.name, h.Number, h.Centre.X, h.Centre.Y, h.Radius, h.Clipped, remarks(h))})
		}
	}
	slices.SortStableFunc(lines, func(a, b line) int { return cmp.Compare(b.badness, a.badness) })
	fmt.Fprintf(w, "%v:\n", g)
	for _, l := range lines {
		fmt.Fprintf(w, "  %s\n", l.text)
	}
}

func halfLine(o outcome, p pair) line {
	truth := o.truth.halves[p.truth]
	name := fmt.Sprintf("%s  half %d", o.photo.name, p.truth+1)
	if p.found < 0 {
		if truth.clipped {
			return line{0, name + ": cut by the frame, not reported"}
		}
		low, high := box(truth.outline)
		return line{missedBadness, fmt.Sprintf("%s at (%.0f, %.0f): missed, stained %.3f", name, (low.X+high.X)/2, (low.Y+high.Y)/2, truth.stained)}
	}
	h := o.tray.Halves[p.found]
	name += fmt.Sprintf("  number %d  overlap %.3f", h.Number, p.iou)
	if truth.clipped != h.Clipped {
		return line{clippedBadness, fmt.Sprintf("%s: clipped %v, reported %v", name, truth.clipped, h.Clipped)}
	}
	if h.Clipped {
		return line{0, name + ": clipped, as reported"}
	}
	e, ok := compare(truth, h)
	if !ok {
		return line{clippedBadness, name + ": not measured" + remarks(h)}
	}
	stained, _ := h.Stained()
	text := fmt.Sprintf("%s  stained %.3f/%.3f %+.3f  zones%s", name, truth.stained, stained, e.stained, zoneList(truth, h))
	if c := o.calls[p.found]; c != nil {
		text += fmt.Sprintf("  stage %.2f/%.2f %+.2f (%.1f to %.1f)", truth.stage, c.Stage, c.Stage-truth.stage, c.Low, c.High)
	}
	if truth.hidden() {
		text += fmt.Sprintf("  visible %.2f", truth.visible)
	}
	return line{math.Abs(e.stained), text + remarks(h)}
}

// zoneList is true/measured for each zone.
func zoneList(truth halfTruth, h vision.Half) string {
	text := ""
	for i, f := range h.Profile.Fractions() {
		if i < len(truth.zones) {
			text += fmt.Sprintf(" %.2f/%.2f", truth.zones[i], f)
		}
	}
	return text
}

func remarks(h vision.Half) string {
	var texts []string
	for _, r := range h.Remarks {
		texts = append(texts, string(r.Code))
	}
	if len(texts) == 0 {
		return ""
	}
	return "  [" + strings.Join(texts, "; ") + "]"
}

// photoLine tells of one photo in words NAME=VALUE: what was found, the mean size
// of the errors of its stained fractions, their mean and the largest, the same of
// its stages, and how many true stages lie in their intervals.
func photoLine(g group, o outcome) string {
	var s score
	s.add(o)
	worst := 0.0
	for _, e := range append(slices.Clone(s.stained), s.hidden...) {
		if math.Abs(e) > math.Abs(worst) {
			worst = e
		}
	}
	words := []string{
		fmt.Sprintf("photo=%q group=%q found=%d/%d false=%d ordered=%v", o.photo.name, g, s.found, s.halves, s.falses, s.ordered == s.orderRight),
		fmt.Sprintf("seconds=%.2f", o.took.Seconds()),
	}
	for _, f := range []struct {
		name, format string
		get          func() (float64, bool)
	}{
		{"iou", "%.4f", func() (float64, bool) { return mean(s.iou) }},
		{"stained", "%.4f", func() (float64, bool) { return meanAbs(s.stained) }},
		{"bias", "%+.4f", func() (float64, bool) { return mean(s.stained) }},
		{"worst", "%+.4f", func() (float64, bool) { return worst, len(s.stained)+len(s.hidden) > 0 }},
		{"zones", "%.4f", func() (float64, bool) { return mean(s.zones) }},
		{"stage", "%.3f", func() (float64, bool) { return meanAbs(s.stage) }},
		{"stage_bias", "%+.3f", func() (float64, bool) { return mean(s.stage) }},
		{"inside", "%.2f", func() (float64, bool) { return float64(s.inside) / float64(len(s.stage)), len(s.stage) > 0 }},
		{"width", "%.2f", func() (float64, bool) { return mean(s.width) }},
	} {
		if v, ok := f.get(); ok {
			words = append(words, fmt.Sprintf("%s="+f.format, f.name, v))
		}
	}
	return strings.Join(words, " ")
}
