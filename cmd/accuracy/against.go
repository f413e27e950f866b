package main

import (
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strings"
	"text/tabwriter"

	"gonum.org/v1/gonum/stat/combin"
)

// mayWorsen is by how much the mean error on a graded set may exceed that on its
// chart alone, in stages.
const mayWorsen = 0.005

// against is one set with graded trays laid beside its chart alone, on all photos of
// its family that the set does not hold.
type against struct {
	set          string
	trays        int
	chart, set90 score
}

// change is how much larger the mean error is on the set.
func (a against) change() float64 {
	chart, _ := meanAbs(a.chart.stage)
	set, _ := meanAbs(a.set90.stage)
	return set - chart
}

// setsAgainstCharts prints how every set of a chart and one or two graded trays
// of its family does against the chart alone.
func setsAgainstCharts(w io.Writer, groups []group, charts map[string]photo, j judge) (missed []string, err error) {
	photos := callable(groups)
	var found []against
	for _, key := range slices.Sorted(maps.Keys(charts)) {
		for _, r := range recipesOf(charts[key], gradedOf(groups)) {
			a, err := j.against(r, key, photos)
			if err != nil {
				fmt.Fprintln(w, "note:", err)
				continue
			}
			if len(a.chart.stage) == 0 {
				continue
			}
			found = append(found, a)
			if a.change() > mayWorsen {
				missed = append(missed, fmt.Sprintf("set %s: its mean error is %.3f more than on the chart alone, should be <= %.3f", a.set, a.change(), mayWorsen))
			}
		}
	}
	if found == nil {
		return nil, nil
	}
	return missed, writeAgainst(w, found)
}

// callable are the photos with halves to call, each once.
func callable(groups []group) []photo {
	var out []photo
	for _, g := range groups {
		for _, p := range g.photos {
			if p.chart != "" && p.set == nil && !g.plates && !slices.ContainsFunc(out, func(o photo) bool { return o.key() == p.key() }) {
				out = append(out, p)
			}
		}
	}
	return out
}

// recipesOf are the sets of a chart with each one and each two of its graded trays.
func recipesOf(chart photo, graded []photo) []*recipe {
	mine := slices.DeleteFunc(slices.Clone(graded), func(p photo) bool { return p.chart != chart.chart })
	var out []*recipe
	for n := 1; n <= min(2, len(mine)); n++ {
		for _, places := range combin.Combinations(len(mine), n) {
			r := &recipe{chart: chart}
			var names []string
			for _, i := range places {
				r.graded = append(r.graded, mine[i])
				names = append(names, mine[i].name)
			}
			r.name = chart.chart + " with " + strings.Join(names, " and ")
			out = append(out, r)
		}
	}
	return out
}

// against calls all photos of the family but the set's own on both.
func (j judge) against(r *recipe, family string, photos []photo) (against, error) {
	a := against{set: r.name, trays: len(r.graded)}
	set, err := r.fit(j)
	if err != nil {
		return a, fmt.Errorf("set %s: %w", r.name, err)
	}
	chart, err := (&recipe{chart: r.chart}).fit(j)
	if err != nil {
		return a, fmt.Errorf("chart %s: %w", family, err)
	}
	for _, p := range photos {
		if p.chart != family || slices.ContainsFunc(r.graded, func(g photo) bool { return g.key() == p.key() }) {
			continue
		}
		for _, on := range []struct {
			caller caller
			score  *score
		}{{chart, &a.chart}, {set, &a.set90}} {
			j.callers = map[string]caller{family: on.caller}
			o, err := j.one(p, true)
			if err != nil {
				return a, err
			}
			on.score.add(o)
		}
	}
	return a, nil
}

func writeAgainst(w io.Writer, found []against) error {
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(tw, "set against its chart\tcalls\terror on chart\ton set\tchange\tin 90 %\twidth\tlarge marked\t")
	for _, a := range found {
		writeAgainstLine(tw, a.set, a.chart, a.set90, a.change() > mayWorsen)
	}
	for n := 1; n <= 2; n++ {
		var chart, set score
		worse, sets := 0, 0
		for _, a := range found {
			if a.trays != n {
				continue
			}
			sets++
			if a.change() > mayWorsen {
				worse++
			}
			chart.join(a.chart)
			set.join(a.set90)
		}
		if sets > 0 {
			writeAgainstLine(tw, fmt.Sprintf("sets of %d trays, %d of %d worse", n, worse, sets), chart, set, worse > 0)
		}
	}
	if err := tw.Flush(); err != nil {
		return err
	}
	fmt.Fprintln(w)
	return nil
}

func writeAgainstLine(w io.Writer, name string, chart, set score, worse bool) {
	c, _ := meanAbs(chart.stage)
	s, _ := meanAbs(set.stage)
	width, _ := mean(set.width)
	star := ""
	if worse {
		star = "*"
	}
	fmt.Fprintf(w, "%s\t%d\t%.4f\t%.4f\t%s%+.4f\t%.3f\t%.2f\t%d/%d\t\n", name, len(set.stage), c, s, star, s-c,
		float64(set.inside)/math.Max(1, float64(len(set.stage))), width, set.largeMarked, set.large)
}

// join takes in the calls of another score.
func (s *score) join(o score) {
	s.stage, s.width = append(s.stage, o.stage...), append(s.width, o.width...)
	s.inside, s.marked = s.inside+o.inside, s.marked+o.marked
	s.large, s.largeMarked = s.large+o.large, s.largeMarked+o.largeMarked
}
