package main

import (
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"
)

// kind says how much is asked of a group.
type kind int

const (
	plain kind = iota // a tray as the photo guide asks for it
	hard              // glare, deep shadow, steep tilt, clutter
	none              // photos without halves

	// Plain and hard trays called on a set with graded halves; one of them with
	// some grades misread.
	calibratedPlain
	calibratedHard
	misread
)

// limit is the bar for one kind of group.
type limit struct {
	least, most float64 // infinite on a side where nothing is asked
}

func atMost(v float64) *limit            { return &limit{math.Inf(-1), v} }
func atLeast(v float64) *limit           { return &limit{v, math.Inf(1)} }
func between(least, most float64) *limit { return &limit{least, most} }

func (l *limit) holds(v float64) bool { return l.least <= v && v <= l.most }

// figure is one number of a group's score; ok is false when the group has no
// such number.
type figure struct {
	value float64
	text  string // as the table shows it
	ok    bool
}

// row is one line of the table: a figure of each group, and its bars.
type row struct {
	name        string
	format      string // of the bars, and of figures other than counts
	figure      func(score, string) figure
	plain, hard *limit // nil: shown, nothing asked
}

const (
	percent  = "%.0f%%"
	fraction = "%.4f"
	stages   = "%.3f"
)

// rows are the figures of the table in order, with the bars that the project
// holds itself to. Fractions and overlaps are in [0, 1], stages in those of the
// chart; errors are measured - true.
var rows = []row{
	{"photos", "%.0f", of(func(s score) (float64, bool) { return float64(s.photos), true }), nil, nil},
	{"photos not measured", "%.0f", of(func(s score) (float64, bool) { return float64(s.failed), true }), atMost(0), atMost(0)},
	{"photos without halves told", percent, ratio(func(s score) (int, int) { return s.emptyRight, s.empty }), atLeast(1), atLeast(1)},
	{"halves found", percent, ratio(func(s score) (int, int) { return s.found, s.halves }), atLeast(0.99), atLeast(0.99)},
	{"false halves", percent, ratio(func(s score) (int, int) { return s.falses, s.halves }), atMost(0.01), atMost(0.01)},
	{"clipped halves told", percent, ratio(func(s score) (int, int) { return s.clippedRight, s.clipped }), nil, nil},
	{"trays in reading order", percent, ratio(func(s score) (int, int) { return s.orderRight, s.ordered }), atLeast(1), atLeast(1)},
	{"outline overlap, mean", fraction, of(func(s score) (float64, bool) { return mean(s.iou) }), atLeast(0.97), atLeast(0.95)},
	{"outline overlap, least", fraction, of(func(s score) (float64, bool) { return least(s.iou) }), nil, nil},
	{"stained fraction, mean error", fraction, of(func(s score) (float64, bool) { return meanAbs(s.stained) }), atMost(0.012), atMost(0.03)},
	{"stained fraction, 95th percentile", fraction, of(func(s score) (float64, bool) { return abs95(s.stained) }), atMost(0.035), nil},
	{"stained fraction, bias", "%+.4f", of(func(s score) (float64, bool) { return mean(s.stained) }), nil, nil},
	{"stained fraction, hidden halves", fraction, of(func(s score) (float64, bool) { return meanAbs(s.hidden) }), nil, nil},
	{"zones, mean error", fraction, of(func(s score) (float64, bool) { return mean(s.zones) }), nil, nil},
	{stageError, stages, of(func(s score) (float64, bool) { return meanAbs(s.stage) }), atMost(0.12), atMost(0.25)},
	{"stage, 95th percentile", stages, of(func(s score) (float64, bool) { return abs95(s.stage) }), nil, nil},
	{"stage, bias", "%+.3f", of(func(s score) (float64, bool) { return mean(s.stage) }), nil, nil},
	{inInterval, percent, ratio(func(s score) (int, int) { return s.inside, len(s.stage) }), nil, nil},
	{intervalWidth, "%.2f", of(func(s score) (float64, bool) { return mean(s.width) }), nil, nil},
	{borderline, percent, share(func(s score) (int, int) { return s.marked, len(s.stage) }), nil, nil},
	{largeMarked, percent, share(func(s score) (int, int) { return s.largeMarked, s.large }), nil, nil},
	{"block mean, mean error", stages, of(func(s score) (float64, bool) { return meanAbs(s.block) }), atMost(0.06), atMost(0.15)},
	{"seconds per photo", "%.2f", of(func(s score) (float64, bool) { return mean(s.seconds) }), nil, nil},
}

// Names of rows of which more is asked where the set has graded halves.
const (
	stageError    = "stage, mean error"
	inInterval    = "stage in the 90 % interval"
	intervalWidth = "90 % interval, mean width"
	borderline    = "calls marked as borderline"
	largeMarked   = "errors over half a stage marked"
)

// calibratedBars are asked of calls on sets with graded halves, in the place of
// those of the rows. An interval that holds far more than it says is as wrong as one that
// holds less. Misread grades may add 0.05 to the error.
var calibratedBars = map[string]struct{ plain, hard, misread *limit }{
	stageError:    {atMost(0.08), atMost(0.18), atMost(0.13)},
	inInterval:    {between(0.85, 0.96), between(0.85, 0.96), nil},
	intervalWidth: {atMost(0.5), nil, nil},
	borderline:    {atMost(0.15), nil, nil},
	largeMarked:   {atLeast(0.9), atLeast(0.9), nil},
}

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
func (r row) bar(k kind) *limit {
	more, ok := calibratedBars[r.name]
	switch {
	case k == calibratedPlain && ok:
		return more.plain
	case k == calibratedHard && ok:
		return more.hard
	case k == misread && ok:
		return more.misread
	case k == hard || k == calibratedHard:
		return r.hard
	}
	return r.plain
}

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
	plainKind, hardKind := plain, hard
	if groups[0].kind >= calibratedPlain {
		plainKind, hardKind = calibratedPlain, calibratedHard
	}
	line(groups[0].source, append(heads, "asked", "asked of hard"))
	for _, r := range rows {
		var cells []string
		for i, g := range groups {
			cells = append(cells, cell(r, g.kind, scores[i]))
		}
		line(r.name, append(cells, asked(r, plainKind), asked(r, hardKind)))
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
