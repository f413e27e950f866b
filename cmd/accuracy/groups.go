package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"traystage/refimages/painter"
)

// photo is one picture to be judged. It is loaded when its turn comes, so that
// only the photos in work are in memory.
type photo struct {
	world string // such as second; photos of different worlds may have the same name
	name  string // for messages
	chart string // key of the chart whose plates call its halves, see chartKey; "" without halves
	light painter.Light
	plate bool    // it is a chart itself, whose halves may be copies of one
	set   *recipe // what its halves are called on; nil for the chart alone
	load  func() (jpeg []byte, truth trayTruth, err error)
	large func() (jpeg []byte, truth trayTruth, err error) // the same at the size of a phone's photo; nil where there is none
}

// key tells the photo from all others of all worlds.
func (p photo) key() string { return p.world + " " + p.name }

// chartKey names the chart of one pattern family of one world.
func chartKey(world string, family painter.Family) string { return world + " " + string(family) }

// group is a list of photos that share a column of the table.
type group struct {
	source string // such as "second, judged" or "traced, calibrated": the groups of one source share a table
	name   string // such as plain
	kind   kind
	photos []photo
	// plates says that the photos are charts: their halves are the plates, so
	// that calling them would compare each with itself.
	plates bool
}

func (g group) String() string { return g.source + " " + g.name }

// What the truth of a chart, of a graded tray and of the second painter's trays says
// beside the painter's difficulties.
const (
	chartDifficulty  painter.Difficulty = "chart"
	gradedDifficulty painter.Difficulty = "graded"
	usualDifficulty  painter.Difficulty = "usual"
	roughDifficulty  painter.Difficulty = "rough"
)

// kindsOf are the groups of a world by difficulty, in the order of the table, and
// what is asked of each.
func kindsOf(world string) []struct {
	of   painter.Difficulty
	name string
	kind kind
} {
	easy, none := plain, none
	if world == secondWorld {
		easy, none = secondPlain, secondNone
	}
	return []struct {
		of   painter.Difficulty
		name string
		kind kind
	}{
		{chartDifficulty, "charts", easy}, {gradedDifficulty, "graded", easy}, {painter.Plain, "plain", easy},
		{usualDifficulty, "usual", usual}, {roughDifficulty, "rough", rough}, {painter.Hard, "hard", hard}, {painter.None, "none", none},
	}
}

// grouped puts the photos of a folder into the groups of a source, in the order of
// their truths. charts are the charts among them by key.
func grouped(world, source, dir string, truths []painter.Truth) (groups []group, charts map[string]photo, err error) {
	kinds := kindsOf(world)
	for _, k := range kinds {
		groups = append(groups, group{source: source, name: k.name, kind: k.kind, plates: k.of == chartDifficulty})
	}
	charts = map[string]photo{}
	for _, t := range truths {
		place := -1
		for i, k := range kinds {
			if k.of == t.Difficulty {
				place = i
			}
		}
		if place < 0 {
			return nil, nil, fmt.Errorf("%s: %s: difficulty %q is none of those of a tray", dir, t.File, t.Difficulty)
		}
		p := photo{world: world, name: t.File, chart: chartKey(world, t.Family), light: t.Conditions.Light, plate: t.Difficulty == chartDifficulty, load: func() ([]byte, trayTruth, error) {
			data, err := os.ReadFile(filepath.Join(dir, t.File))
			return data, truthOf(t), err
		}}
		if len(t.Halves) == 0 {
			p.chart = ""
		}
		if t.Difficulty == chartDifficulty {
			charts[p.chart] = p
		}
		groups[place].photos = append(groups[place].photos, p)
	}
	return filled(groups), charts, nil
}

// filled are the groups that have photos.
func filled(groups []group) []group {
	return slices.DeleteFunc(groups, func(g group) bool { return len(g.photos) == 0 })
}

// folder gives the groups of a folder of photos with their truth as one source,
// and its charts.
func folder(world, source, dir string) ([]group, map[string]photo, error) {
	truths, err := readTruths(dir)
	if err != nil {
		return nil, nil, err
	}
	return grouped(world, source, dir, truths)
}
