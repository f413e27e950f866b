// Package larkfield is the invented orchard of the demo: its blocks, the trays
// that its tester photographed in one autumn, and the readings written down
// beside them, with the slips that people make. Nothing in it is real.
//
// Photos are painted and kept beside the code, to be scored like any other;
// readings are the text of CSV files, to be read like any other. The specs that
// the photos were painted from, and so the truth, are given with them.
package larkfield

import (
	"embed"
	"fmt"
	"path"
	"time"

	"traystage/refimages/painter"
)

// Orchard is the name of the orchard.
const Orchard = "Larkfield"

// Today is the day on which the demo looks at the season.
var Today = day(2026, time.September, 21)

// Block is one block of the orchard.
type Block struct {
	Name, Variety, Market string
	Harvest               time.Time // expected, as written down in spring
	Set                   string    // reference set; empty for the built-in one

	course course
	tray   painter.Ground
	skin   painter.Variety
	family painter.Family
	sheet  sheet
	visits []visit
}

// Sample is what was brought in from one block on one day.
type Sample struct {
	Block  string
	Picked time.Time
	Tester string // initials
	Photo  string // file name of the tray's photo, without folder
	Tray   painter.Spec
	// Compensated says that the refractometer corrects for temperature itself.
	Compensated bool
	Checked     bool      // the instruments were checked that morning
	Readings    string    // text of a CSV file as the tester typed it; empty when nothing was read
	Stages      []float64 // true stages of the halves in the order of Tray.Halves
}

// Blocks lists the blocks of Larkfield.
func Blocks() []Block {
	return []Block{
		{
			Name: "Brook 5", Variety: "Gala", Market: "long CA", Harvest: day(2026, time.September, 10), Set: GalaSet,
			course: course{half: day(2026, time.September, 16), pace: 0.13, firmness: 19.3, softening: 0.11, solids: 10.4, sweetening: 0.10},
			tray:   painter.WhitePlastic, skin: painter.Striped, family: painter.Concentric,
			sheet: pounds,
			visits: []visit{
				{on: day(2026, time.August, 27), fruit: 12, by: "hm", oneSide: true},
				{on: day(2026, time.August, 31), fruit: 12, by: "hm"},
				{on: day(2026, time.September, 7), fruit: 12, by: "hm"},
				{on: day(2026, time.September, 14), fruit: 12, by: "jo"},
				{on: day(2026, time.September, 17), fruit: 12, by: "hm"},
				{on: day(2026, time.September, 21), fruit: 12, by: "hm"},
			},
		},
		{
			Name: "Mill Row", Variety: "Jonagold", Market: "long CA", Harvest: day(2026, time.September, 24), Set: JonagoldSet,
			course: course{half: day(2026, time.September, 24), pace: 0.12, firmness: 19.0, softening: 0.09, solids: 11.2, sweetening: 0.09},
			tray:   painter.BluePlastic, skin: painter.Bicolour, family: painter.Petals,
			sheet: kilograms,
			visits: []visit{
				{on: day(2026, time.August, 31), fruit: 12, by: "jo"},
				{on: day(2026, time.September, 7), fruit: 12, by: "jo"},
				{on: day(2026, time.September, 14), fruit: 12, by: "jo", bruised: true},
				{on: day(2026, time.September, 21), fruit: 12, by: "jo"},
			},
		},
		{
			Name: "Hill Top", Variety: "Golden Delicious", Market: "long CA", Harvest: day(2026, time.September, 28),
			course: course{half: day(2026, time.October, 1), pace: 0.11, firmness: 19.4, softening: 0.08, solids: 11.0, sweetening: 0.10},
			tray:   painter.GreyMetal, skin: painter.Yellow, family: painter.Concentric,
			sheet: newtons,
			visits: []visit{
				{on: day(2026, time.August, 31), fruit: 9, by: "hm"},
				{on: day(2026, time.September, 7), fruit: 12, by: "hm"},
				{on: day(2026, time.September, 14), fruit: 12, by: "jo"},
				{on: day(2026, time.September, 21), fruit: 12, by: "hm"},
			},
		},
		{
			Name: "Lane End", Variety: "Idared", Market: "long CA", Harvest: day(2026, time.October, 3),
			course: course{half: day(2026, time.October, 8), pace: 0.10, firmness: 18.6, softening: 0.07, solids: 10.1, sweetening: 0.08},
			tray:   painter.WhitePlastic, skin: painter.Red, family: painter.Concentric,
			sheet: pounds,
			visits: []visit{
				{on: day(2026, time.September, 7), fruit: 12, by: "hm"},
				{on: day(2026, time.September, 14), fruit: 12, by: "hm"},
				{on: day(2026, time.September, 21), fruit: 12, by: "hm"},
			},
		},
		{
			Name: "Far Orchard", Variety: "Braeburn", Market: "long CA", Harvest: day(2026, time.October, 8),
			course: course{half: day(2026, time.October, 16), pace: 0.09, firmness: 20.6, softening: 0.06, solids: 9.8, sweetening: 0.07},
			tray:   painter.BluePlastic, skin: painter.Bicolour, family: painter.Concentric,
			sheet: kilograms,
			visits: []visit{
				{on: day(2026, time.September, 14), fruit: 12, by: "jo"},
				{on: day(2026, time.September, 17), fruit: 12, by: "jo"},
				{on: day(2026, time.September, 21), fruit: 12, by: "jo"},
			},
		},
	}
}

// Corrections lists what was set right afterwards, as command lines of the
// program without its name and without the season: a figure mistyped, a call
// looked at, a call found wrong.
func Corrections() [][]string {
	return [][]string{
		{"readings", "add", "Mill Row", "--picked", "2026-09-21", "--fruit", "4", "--firmness", "8.1/7.9 kgf", "--by", "jo"},
		{"readings", "strike", "Mill Row", "1", "--picked", "2026-09-14", "--why", "pressed on a bruise", "--by", "jo"},
		{"confirm", "Brook 5", "3", "5", "--picked", "2026-09-21", "--by", "hm"},
		{"override", "Hill Top", "9", "--picked", "2026-09-21", "--stage", "5", "--why", "water core round the core, still blue in the sun", "--by", "hm"},
	}
}

//go:embed photos
var photos embed.FS

// Photo gives the bytes of a photo of the scenario by its file name.
func Photo(name string) ([]byte, error) {
	b, err := photos.ReadFile(path.Join("photos", name))
	if err != nil {
		return nil, fmt.Errorf("%s: Larkfield has no such photo", name)
	}
	return b, nil
}

// Paint paints every photo of the scenario anew: its JPEG by its file name.
func Paint(keep func(name string, jpeg []byte) error) error {
	for name, spec := range specs() {
		img, _ := painter.Tray(spec)
		if err := keep(name, painter.EncodeJPEG(img, spec.Meta())); err != nil {
			return err
		}
	}
	return nil
}

// specs gives what every photo was painted from, by its file name.
func specs() map[string]painter.Spec {
	all := map[string]painter.Spec{}
	for _, s := range Samples() {
		all[s.Photo] = s.Tray
	}
	for _, s := range Sets() {
		all[s.Photo] = s.Chart
		for _, g := range s.Graded {
			all[g.Photo] = g.Tray
		}
	}
	return all
}

func day(year int, month time.Month, d int) time.Time {
	return time.Date(year, month, d, 0, 0, 0, 0, time.UTC)
}
