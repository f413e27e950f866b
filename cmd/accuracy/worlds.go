package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"traystage/refimages/painter"
)

// A world is what one painter or one camera made. Of worlds on which constants
// were tuned in part, the parts are judged apart.
const (
	keptWorld    = "kept"    // testdata/trays: tuned on
	tracedWorld  = "traced"  // the first ray tracer: tuned on
	secondWorld  = "second"  // another ray tracer: odd numbers tuned on, even ones judged
	paintedWorld = "painted" // painted in memory: tuning seeds apart from judging ones
	realWorld    = "real"    // photographs without a half: odd places tuned on, even ones judged
)

// keptDir holds the photos that are kept with the code, seen from its top folder.
const keptDir = "testdata/trays"

// gather lists all groups and charts of the worlds that are asked for. A folder
// that is not there is no error: a note says so, and the other worlds remain.
func gather(w io.Writer, opt options) ([]group, map[string]photo, error) {
	var groups []group
	charts := map[string]photo{}
	for _, from := range []struct {
		world, dir string
		gather     func(world, dir string) ([]group, map[string]photo, error)
	}{
		{keptWorld, keptDir, keptGroups},
		{tracedWorld, opt.traced, tracedGroups},
		{secondWorld, opt.second, secondGroups},
		{paintedWorld, opt.cache, paintedGroups},
		{realWorld, opt.real, realGroups},
	} {
		if opt.world != "" && opt.world != from.world {
			continue
		}
		more, moreCharts, err := from.gather(from.world, from.dir)
		if errors.Is(err, fs.ErrNotExist) {
			fmt.Fprintf(w, "note: %v: left out\n", err)
			continue
		}
		if err != nil {
			return nil, nil, err
		}
		groups = append(groups, more...)
		maps.Copy(charts, moreCharts)
	}
	return groups, charts, nil
}

// keptGroups are the photos kept with the code. Those that were painted are called on
// charts painted in memory.
func keptGroups(world, dir string) ([]group, map[string]photo, error) {
	groups, charts, err := folder(world, world, dir)
	if err != nil {
		return nil, nil, err
	}
	for _, f := range painter.Families() {
		if key := chartKey(world, f); charts[key].load == nil {
			charts[key] = paintedChart(world, f, painter.JudgingSeeds, cache{})
		}
	}
	return groups, charts, nil
}

func tracedGroups(world, dir string) ([]group, map[string]photo, error) {
	groups, charts, err := folder(world, world, dir)
	if err != nil {
		return nil, nil, err
	}
	return slices.Concat(groups, calibratedGroups(world, gradedOf(groups), groups, charts)), charts, nil
}

// secondGroups are the photos of the second painter in two parts, both called on
// the same sets.
func secondGroups(world, dir string) ([]group, map[string]photo, error) {
	truths, err := readTruths(dir)
	if err != nil {
		return nil, nil, err
	}
	whole, charts, err := grouped(world, world, dir, truths)
	if err != nil {
		return nil, nil, err
	}
	var out []group
	for _, part := range []struct {
		name   string
		judged bool
	}{{"tuned", false}, {"judged", true}} {
		source := world + ", " + part.name
		mine := slices.DeleteFunc(slices.Clone(truths), func(t painter.Truth) bool { return isJudged(t.File) != part.judged })
		groups, _, err := grouped(world, source, dir, mine)
		if err != nil {
			return nil, nil, err
		}
		out = slices.Concat(out, groups, calibratedGroups(source, gradedOf(whole), groups, charts))
	}
	return out, charts, nil
}

// isJudged says whether the number at the end of a file's name is even. A name without
// a number is tuned on.
func isJudged(file string) bool {
	name := strings.TrimSuffix(file, filepath.Ext(file))
	return name != "" && strings.Contains("02468", name[len(name)-1:])
}

// realGroups are photographs without a half. Every second one is judged.
func realGroups(world, dir string) ([]group, map[string]photo, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, nil, err
	}
	groups := []group{{name: "tuned", kind: real}, {name: "judged", kind: real}}
	place := 0
	for _, e := range entries {
		if !strings.EqualFold(filepath.Ext(e.Name()), ".jpg") {
			continue
		}
		g := &groups[place%2]
		g.source = world
		g.photos = append(g.photos, photo{world: world, name: e.Name(), load: func() ([]byte, trayTruth, error) {
			data, err := os.ReadFile(filepath.Join(dir, e.Name()))
			return data, trayTruth{}, err
		}})
		place++
	}
	return filled(groups), nil, nil
}

// gradedOf are the graded trays among the groups.
func gradedOf(groups []group) []photo {
	var out []photo
	for _, g := range groups {
		if g.name == "graded" {
			out = append(out, g.photos...)
		}
	}
	return out
}
