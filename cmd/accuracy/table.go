package main

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"text/tabwriter"
)

// figure is one number of a group's score; ok is false when the group has no
// such number.
type figure struct {
	value float64
	text  string // as the table shows it
	ok    bool
}

// row is one line of the table: a figure of each group.
type row struct {
	name   string
	format string // of the bars, and of figures other than counts
	figure func(score, string) figure
	seen   bool // told by the photo alone, whatever the halves are called on
}

const (
	percent  = "%.0f%%"
	fraction = "%.4f"
	stages   = "%.3f"
)

// rows are the figures of the table in order; what is asked of them is in bars.go.
// Fractions and overlaps are in [0, 1], stages in those of the
// chart; errors are measured - true.
var rows = []row{
	{"photos", "%.0f", of(func(s score) (float64, bool) { return float64(s.photos), true }), false},
	{notMeasured, "%.0f", of(func(s score) (float64, bool) { return float64(s.failed), true }), true},
	{halvesTold, percent, share(func(s score) (int, int) { return s.empty - s.emptyRight, s.empty }), true},
	{halvesFound, percent, ratio(func(s score) (int, int) { return s.found, s.halves }), true},
	{falseHalves, percent, ratio(func(s score) (int, int) { return s.falses, s.halves }), true},
	{"suspects", "%.0f", of(func(s score) (float64, bool) { return float64(s.suspects), s.suspects > 0 }), true},
	{"clipped halves told", percent, ratio(func(s score) (int, int) { return s.clippedRight, s.clipped }), true},
	{inOrderRow, percent, ratio(func(s score) (int, int) { return s.orderRight, s.ordered }), true},
	{overlap, fraction, of(func(s score) (float64, bool) { return mean(s.iou) }), true},
	{"outline overlap, least", fraction, of(func(s score) (float64, bool) { return least(s.iou) }), true},
	{stainedError, fraction, of(func(s score) (float64, bool) { return meanAbs(s.stained) }), true},
	{stained95, fraction, of(func(s score) (float64, bool) { return abs95(s.stained) }), true},
	{"stained fraction, bias", "%+.4f", of(func(s score) (float64, bool) { return mean(s.stained) }), true},
	{"stained fraction in its bounds", percent, share(func(s score) (int, int) { return s.bounded, len(s.stained) }), true},
	{"bounds, mean width", fraction, of(func(s score) (float64, bool) { return mean(s.bounds) }), true},
	{"stained fraction, hidden halves", fraction, of(func(s score) (float64, bool) { return meanAbs(s.hidden) }), true},
	{"zones, mean error", fraction, of(func(s score) (float64, bool) { return mean(s.zones) }), true},
	{stageError, stages, of(func(s score) (float64, bool) { return meanAbs(s.stage) }), false},
	{"stage, 95th percentile", stages, of(func(s score) (float64, bool) { return abs95(s.stage) }), false},
	{"stage, bias", "%+.3f", of(func(s score) (float64, bool) { return mean(s.stage) }), false},
	{inInterval, percent, share(func(s score) (int, int) { return s.inside, len(s.stage) }), false},
	{intervalWidth, "%.2f", of(func(s score) (float64, bool) { return mean(s.width) }), false},
	{borderline, percent, share(func(s score) (int, int) { return s.marked, len(s.stage) }), false},
	{largeMarked, percent, share(func(s score) (int, int) { return s.largeMarked, s.large }), false},
	{blockMean, stages, of(func(s score) (float64, bool) { return meanAbs(s.block) }), false},
	{"seconds per photo", "%.2f", of(func(s score) (float64, bool) { return mean(s.seconds) }), true},
}

// Names of rows of which something is asked.
const (
	notMeasured   = "photos not measured"
	halvesTold    = "photos without a half that give any"
	halvesFound   = "halves found"
	falseHalves   = "false halves"
	inOrderRow    = "trays in reading order"
	overlap       = "outline overlap, mean"
	stainedError  = "stained fraction, mean error"
	stained95     = "stained fraction, 95th percentile"
	stageError    = "stage, mean error"
	inInterval    = "stage in the 90 % interval"
	intervalWidth = "90 % interval, mean width"
	borderline    = "calls marked as borderline"
	largeMarked   = "errors over half a stage marked"
	blockMean     = "block mean, mean error"
)

func of(f func(score) (float64, bool)) func(score, string) figure {
	return func(s score, format string) figure {
		v, ok := f(s)
		return figure{v, show(format, v), ok}
	}
}

// ratio shows part/whole. A part of nothing, such as a false half where there
// is none, is more than any bar allows.
func ratio(f func(score) (part, whole int)) func(score, string) figure {
	return func(s score, _ string) figure {
		part, whole := f(s)
		return figure{float64(part) / float64(whole), fmt.Sprintf("%d/%d", part, whole), part > 0 || whole > 0}
	}
}

// share is part/whole, and no figure where there is no whole.
func share(f func(score) (part, whole int)) func(score, string) figure {
	return func(s score, _ string) figure {
		part, whole := f(s)
		return figure{float64(part) / float64(whole), fmt.Sprintf("%d/%d", part, whole), whole > 0}
	}
}

func (r row) value(s score) figure { return r.figure(s, r.format) }

// bar is what is asked of a kind of group; nil for nothing.
func (r row) bar(k kind) *limit { return bars[k][r.name] }

// missed says whether a figure falls short of its bar.
func (r row) missed(f figure, k kind) bool {
	l := r.bar(k)
	return f.ok && l != nil && !l.holds(f.value)
}

func show(format string, v float64) string {
	if format == percent {
		v *= 100
	}
	return fmt.Sprintf(format, v)
}

// misses lists the bars that a group falls short of, in words.
func misses(g group, s score) []string {
	var out []string
	for _, r := range rows {
		if f := r.value(s); r.missed(f, g.kind) {
			out = append(out, fmt.Sprintf("%v: %s: %s, should be %s", g, r.name, f.text, asked(r, g.kind)))
		}
	}
	return out
}

// writeTable prints one column for each group, all of one source, and marks with
// * what misses its bar. An empty place is a figure that the group does not have.
func writeTable(w io.Writer, groups []group, scores []score) error {
	widest := 0
	for _, r := range rows {
		widest = max(widest, len(r.name))
	}
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	line := func(name string, cells []string) {
		fmt.Fprintf(tw, "%-*s\t%s\t\n", widest, name, strings.Join(cells, "\t"))
	}
	var heads []string
	for _, g := range groups {
		heads = append(heads, g.name)
	}
	asking := kindsIn(groups)
	for _, k := range asking {
		heads = append(heads, "asked of "+string(k))
	}
	line(groups[0].source, heads)
	for _, r := range rows {
		if r.seen && groups[0].kind.onGraded() {
			continue // as in the table above it
		}
		var cells []string
		some := false
		for i, g := range groups {
			cells = append(cells, cell(r, g.kind, scores[i]))
			some = some || cells[i] != ""
		}
		for _, k := range asking {
			cells = append(cells, asked(r, k))
		}
		if some {
			line(r.name, cells)
		}
	}
	return tw.Flush()
}

func cell(r row, k kind, s score) string {
	f := r.value(s)
	switch {
	case !f.ok:
		return ""
	case r.missed(f, k):
		return "*" + f.text
	}
	return f.text
}

func asked(r row, k kind) string {
	l := r.bar(k)
	switch {
	case l == nil:
		return ""
	case math.IsInf(l.least, 0):
		return "<= " + show(r.format, l.most)
	case math.IsInf(l.most, 0):
		return ">= " + show(r.format, l.least)
	}
	return show(r.format, l.least) + " to " + show(r.format, l.most)
}

// kindsIn are the kinds of the groups, each once, in their order.
func kindsIn(groups []group) []kind {
	var out []kind
	for _, g := range groups {
		if !slices.Contains(out, g.kind) {
			out = append(out, g.kind)
		}
	}
	return out
}
