// Accuracy measures photos with known truth and prints how far off the
// measurements are.
//
//	go run ./cmd/accuracy [-dir FOLDER] [-group NAME] [-photos N] [-v] [-overlay FOLDER]
//
// Photos come in groups, each a column of a table: ray-traced ones from -dir,
// those kept in testdata/trays, and trays painted in memory from the seeds that are kept
// for judging (painting takes some seconds a tray). It runs in the top folder. Figures that miss the project's
// own bar carry a star and are listed below the table; the bars are in
// table.go. Stages are called on a set made from the chart of the same pattern
// family as this program measures it, so that an error of measurement that is
// the same on chart and tray cancels as it does for a grower. The calibrated
// groups are the plain and hard ones again, called on sets with graded trays;
// other light is those whose light neither chart nor graded tray had, and misread has
// three of sixteen grades of each graded tray wrong by two stages.
package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"slices"
	"strings"

	"traystage/vision"
)

type options struct {
	dir     string
	group   string
	photos  int
	list    bool
	overlay string
}

func main() {
	var opt options
	flag.StringVar(&opt.dir, "dir", "../shared/trays", "`folder` of ray-traced photos with a truth.json")
	flag.StringVar(&opt.group, "group", "", "only the groups of this `name`, such as plain, painted or \"painted hard\"")
	flag.IntVar(&opt.photos, "photos", 0, "only the first `N` photos of each group")
	flag.BoolVar(&opt.list, "v", false, "list every half, worst first")
	flag.StringVar(&opt.overlay, "overlay", "", "draw true and found outlines into pictures in this `folder`")
	flag.Parse()
	all, charts, err := gather(os.Stdout, opt.dir)
	if err == nil {
		err = run(os.Stdout, opt, all, charts, judge{measure: vision.Measure, memory: &memory{seen: map[string]memo{}}})
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "accuracy:", err)
		os.Exit(1)
	}
}

// run judges the groups that the options ask for and prints their table.
func run(w io.Writer, opt options, all []group, charts map[string]photo, j judge) error {
	groups := pick(all, opt)
	if len(groups) == 0 {
		return fmt.Errorf("no photos in a group %q: choose one of %s", opt.group, strings.Join(names(all), ", "))
	}
	callers, notes, err := fitCharts(needed(groups, charts), j)
	if err != nil {
		return err
	}
	j.callers = callers
	more, err := fitRecipes(groups, j)
	if err != nil {
		return err
	}
	maps.Copy(j.callers, more)
	for _, n := range notes {
		fmt.Fprintln(w, "note:", n)
	}
	var scores []score
	var missed []string
	for _, g := range groups {
		outcomes, err := j.run(g.photos, !g.plates)
		if err != nil {
			return err
		}
		var s score
		for _, o := range outcomes {
			s.add(o)
		}
		scores = append(scores, s)
		missed = append(missed, misses(g, s)...)
		if opt.list {
			writeList(w, g, outcomes)
		}
		if opt.overlay != "" {
			if err := writeOverlays(opt.overlay, g, outcomes); err != nil {
				return err
			}
		}
	}
	for from, to := 0, 0; from < len(groups); from = to {
		for to < len(groups) && groups[to].source == groups[from].source {
			to++
		}
		if err := writeTable(w, groups[from:to], scores[from:to]); err != nil {
			return err
		}
		fmt.Fprintln(w)
	}
	for _, m := range missed {
		fmt.Fprintln(w, "*", m)
	}
	return nil
}

// gather lists all groups and charts. A folder that is not there is no error:
// the groups of the others remain.
func gather(w io.Writer, dir string) ([]group, map[string]photo, error) {
	groups, charts := paintedGroups()
	for _, from := range []struct{ source, dir string }{{"kept", keptDir}, {"traced", dir}} {
		more, moreCharts, err := folder(from.source, from.dir)
		if errors.Is(err, fs.ErrNotExist) {
			fmt.Fprintf(w, "note: %v: left out\n", err)
			continue
		}
		if err != nil {
			return nil, nil, err
		}
		groups = slices.Concat(more, calibratedGroups(from.source, more, moreCharts), groups)
		maps.Copy(charts, moreCharts)
	}
	return groups, charts, nil
}

// keptDir holds the photos that are kept with the code, seen from its top folder.
const keptDir = "testdata/trays"

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
