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
	name  string // for messages
	chart string // pattern family, that of the chart whose plates call its halves; "" without halves
	light painter.Light
	set   *recipe // what its halves are called on; nil for the chart alone
	load  func() (jpeg []byte, truth trayTruth, err error)
}

// group is a list of photos that share a column of the table.
type group struct {
	source string // traced, kept, painted or calibrated: the groups of one source share a table
	name   string // such as plain
	kind   kind
	photos []photo
	// plates says that the photos are charts: their halves are the plates, so
	// that calling them would compare each with itself.
	plates bool
}

func (g group) String() string { return g.source + " " + g.name }

// chartDifficulty and gradedDifficulty are what the truth of a chart and of a
// graded tray says beside the painter's difficulties.
const (
	chartDifficulty  painter.Difficulty = "chart"
	gradedDifficulty painter.Difficulty = "graded"
)

// grouped puts the photos of a folder into groups, in the order of their truths.
// charts are the charts among them by pattern family.
func grouped(source, dir string, truths []painter.Truth) (groups []group, charts map[string]photo, err error) {
	groups = []group{
		{source: source, name: "charts", plates: true},
		{source: source, name: "graded"},
		{source: source, name: "plain"},
		{source: source, name: "hard", kind: hard},
		{source: source, name: "none", kind: none},
	}
	order := []painter.Difficulty{chartDifficulty, gradedDifficulty, painter.Plain, painter.Hard, painter.None}
	charts = map[string]photo{}
	for _, t := range truths {
		place := slices.Index(order, t.Difficulty)
		if place < 0 {
			return nil, nil, fmt.Errorf("%s: %s: difficulty %q is none of %v", dir, t.File, t.Difficulty, order)
		}
		p := photo{name: t.File, chart: string(t.Family), light: t.Conditions.Light, load: func() ([]byte, trayTruth, error) {
			data, err := os.ReadFile(filepath.Join(dir, t.File))
			return data, truthOf(t), err
		}}
		if t.Difficulty == chartDifficulty {
			charts[p.chart] = p
		}
		groups[place].photos = append(groups[place].photos, p)
	}
	return slices.DeleteFunc(groups, func(g group) bool { return len(g.photos) == 0 }), charts, nil
}

// folder gives the groups of a folder of photos with their truth, and its
// charts by pattern family.
func folder(source, dir string) ([]group, map[string]photo, error) {
	truths, err := readTruths(dir)
	if err != nil {
		return nil, nil, err
	}
	return grouped(source, dir, truths)
}
