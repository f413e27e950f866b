// Accuracy measures photos with known truth and prints how far off the
// measurements are, by world and with what was tuned on apart from what is judged.
//
//	go run ./cmd/accuracy [-world NAME] [-group NAME] [-part NAME] [-quick] [-v]
//
// Worlds are the photos kept in testdata/trays, those of two ray tracers and the photographs
// without any half, each from a folder that may be missing, and trays painted
// in memory. It runs in the top folder. Its parts:
//
//   - tables: a column for each group. Figures that miss the project's own bar (bars.go)
//     carry a star and are listed at the end. Stages are called on a set made from
//     the chart of the same pattern family as this program measures it, so that an error
//     of measurement that is the same on chart and tray cancels as it does for
//     a grower. The calibrated groups are called on sets with graded trays; other light
//     is those whose light neither chart nor graded tray had, and misread has three of
//     sixteen grades of each graded tray wrong by two stages.
//   - sets: each set with one graded tray or more against its chart alone.
//   - sizes: the same trays made smaller.
//   - sensitivity: each constant of the models 30 % larger and smaller.
//
// -v adds a line for each photo, of words NAME=VALUE, for programs; -halves lists every half.
package main

import (
	"flag"
	"fmt"
	"io"
	"maps"
	"os"
	"strings"

	"traystage/vision"
)

type options struct {
	traced, second, real, cache string
	world, group, part          string
	photos                      int
	quick, lines, halves        bool
	overlay                     string
}

// quickPhotos of each group are judged by -quick, which prints the tables alone.
const quickPhotos = 3

func main() {
	var opt options
	flag.StringVar(&opt.traced, "traced", "../shared/trays", "`folder` of ray-traced photos with a truth.json")
	flag.StringVar(&opt.second, "second", "../shared/trays2", "`folder` of the second painter's photos with a truth.json")
	flag.StringVar(&opt.real, "real", "../shared/real", "`folder` of photographs without a half")
	flag.StringVar(&opt.cache, "cache", ".cache/painted", "`folder` in which painted photos are remembered; empty for none")
	flag.StringVar(&opt.world, "world", "", "only this `world`: kept, traced, second, painted or real")
	flag.StringVar(&opt.group, "group", "", "only the groups of this `name`, such as plain, \"second, judged\" or \"second, judged usual\"")
	flag.StringVar(&opt.part, "part", "", "only this `part`: tables, sets, sizes or sensitivity")
	flag.IntVar(&opt.photos, "photos", 0, "only the first `N` photos of each group")
	flag.BoolVar(&opt.quick, "quick", false, fmt.Sprintf("only the tables, of %d photos of each group", quickPhotos))
	flag.BoolVar(&opt.lines, "v", false, "a line for each photo")
	flag.BoolVar(&opt.halves, "halves", false, "list every half, worst first")
	flag.StringVar(&opt.overlay, "overlay", "", "draw true and found outlines into pictures in this `folder`")
	flag.Parse()
	if opt.quick {
		opt.photos, opt.part = quickPhotos, tablesPart
	}
	all, charts, err := gather(os.Stdout, opt)
	if err == nil {
		err = run(os.Stdout, opt, all, charts, judge{measure: vision.Measure, memory: &memory{seen: map[string]memo{}}})
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "accuracy:", err)
		os.Exit(1)
	}
}

const (
	tablesPart      = "tables"
	setsPart        = "sets"
	sizesPart       = "sizes"
	sensitivityPart = "sensitivity"
)

// run judges the groups that the options ask for and prints the parts asked for.
func run(w io.Writer, opt options, all []group, charts map[string]photo, j judge) error {
	groups := pick(all, opt)
	if len(groups) == 0 {
		return fmt.Errorf("no photos in a group %q: choose one of %s", opt.group, strings.Join(names(all), ", "))
	}
	var missed []string
	for _, part := range []struct {
		name string
		run  func() ([]string, error)
	}{
		{tablesPart, func() ([]string, error) { return tables(w, opt, groups, charts, j) }},
		{setsPart, func() ([]string, error) { return setsAgainstCharts(w, groups, charts, j) }},
		{sizesPart, func() ([]string, error) { return sizes(w, groups, j) }},
		{sensitivityPart, func() ([]string, error) { return nil, sensitivity(w, groups, movable()) }},
	} {
		if opt.part != "" && opt.part != part.name {
			continue
		}
		more, err := part.run()
		if err != nil {
			return err
		}
		missed = append(missed, more...)
	}
	for _, m := range missed {
		fmt.Fprintln(w, "*", m)
	}
	return nil
}

// tables prints the tables of the groups and tells the bars that were missed.
func tables(w io.Writer, opt options, groups []group, charts map[string]photo, j judge) (missed []string, err error) {
	if j.callers, err = fitAll(w, groups, charts, j); err != nil {
		return nil, err
	}
	var scores []score
	for _, g := range groups {
		outcomes, err := j.run(g.photos, !g.plates)
		if err != nil {
			return nil, err
		}
		var s score
		for _, o := range outcomes {
			s.add(o)
			if opt.lines {
				fmt.Fprintln(w, photoLine(g, o))
			}
		}
		scores = append(scores, s)
		missed = append(missed, misses(g, s)...)
		if opt.halves {
			writeList(w, g, outcomes)
		}
		if opt.overlay != "" {
			if err := writeOverlays(opt.overlay, g, outcomes); err != nil {
				return nil, err
			}
		}
	}
	for from, to := 0, 0; from < len(groups); from = to {
		for to < len(groups) && groups[to].source == groups[from].source {
			to++
		}
		if err := writeTable(w, groups[from:to], scores[from:to]); err != nil {
			return nil, err
		}
		fmt.Fprintln(w)
	}
	return missed, nil
}

// fitAll makes the sets that the groups' halves are called on.
func fitAll(w io.Writer, groups []group, charts map[string]photo, j judge) (map[string]caller, error) {
	callers, notes, err := fitCharts(needed(groups, charts), j)
	if err != nil {
		return nil, err
	}
	more, moreNotes := fitRecipes(groups, j)
	for _, n := range append(notes, moreNotes...) {
		fmt.Fprintln(w, "note:", n)
	}
	maps.Copy(callers, more)
	return callers, nil
}

// pick keeps the groups and photos that the options ask for.
func pick(groups []group, opt options) []group {
	var out []group
	for _, g := range groups {
		if opt.group != "" && g.name != opt.group && g.source != opt.group && g.String() != opt.group {
			continue
		}
		if opt.photos > 0 && len(g.photos) > opt.photos {
			g.photos = g.photos[:opt.photos]
		}
		out = append(out, g)
	}
	return out
}

// needed are the charts that the groups' halves are called on.
func needed(groups []group, charts map[string]photo) map[string]photo {
	out := map[string]photo{}
	for _, g := range groups {
		for _, p := range g.photos {
			if c, ok := charts[p.chart]; ok && !g.plates && p.set == nil {
				out[p.chart] = c
			}
		}
	}
	return out
}

func names(groups []group) []string {
	var out []string
	for _, g := range groups {
		out = append(out, g.String())
	}
	return out
}
