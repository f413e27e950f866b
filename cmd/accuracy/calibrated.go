package main

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math"
	"slices"

	"traystage/calibrate"
	"traystage/vision"
)

// recipe is a set to be made of a chart and graded trays of its pattern family.
type recipe struct {
	name    string
	chart   photo
	graded  []photo
	misread bool // some grades of each tray are wrong
}

// calledOn is the name of what the halves of the photo are called on.
func (p photo) calledOn() string {
	if p.set != nil {
		return p.set.name
	}
	return p.chart
}

// calibratedGroups are the groups of a source once more, called on sets with the
// graded trays of their world. There are none where it has no graded tray.
func calibratedGroups(source string, graded []photo, groups []group, charts map[string]photo) []group {
	if len(graded) == 0 {
		return nil
	}
	label := source + ", calibrated"
	var out []group
	for _, g := range groups {
		k, ok := map[kind]kind{plain: calibratedPlain, hard: calibratedHard, secondPlain: secondPlainCal, usual: usualCalibrated, rough: roughCalibrated}[g.kind]
		if !ok || g.plates || g.name == "graded" {
			continue
		}
		out = append(out, group{source: label, name: g.name, kind: k, photos: onAll(g.photos, graded, charts, false)})
		if k == calibratedPlain {
			out = append(out,
				group{source: label, name: "plain, other light", kind: k, photos: acrossLights(slices.Concat(g.photos, graded), graded, charts)},
				group{source: label, name: "plain, misread", kind: misread, photos: onAll(g.photos, graded, charts, true)})
		}
		if k == calibratedHard {
			out = append(out, group{source: label, name: "hard, other light", kind: k, photos: acrossLights(g.photos, graded, charts)})
		}
	}
	return filled(out)
}

// onAll calls each photo on the chart and all graded trays of its family.
func onAll(photos, graded []photo, charts map[string]photo, misread bool) []photo {
	sets := map[string]*recipe{}
	for family, c := range charts {
		r := &recipe{name: family + ", graded", chart: c, misread: misread}
		if misread {
			r.name = family + ", misread"
		}
		for _, g := range graded {
			if g.chart == family {
				r.graded = append(r.graded, g)
			}
		}
		if len(r.graded) > 0 {
			sets[family] = r
		}
	}
	var out []photo
	for _, p := range photos {
		if p.set = sets[p.chart]; p.set != nil {
			out = append(out, p)
		}
	}
	return out
}

// acrossLights calls each photo on the chart and one graded tray of its family,
// for every such tray where the photo's light is that of neither.
func acrossLights(photos, graded []photo, charts map[string]photo) []photo {
	var out []photo
	for _, g := range graded {
		chart, ok := charts[g.chart]
		if !ok {
			continue
		}
		r := &recipe{name: fmt.Sprintf("%s, graded in %s light", g.chart, g.light), chart: chart, graded: []photo{g}}
		for _, p := range photos {
			if p.chart == g.chart && p.light != g.light && p.light != chart.light {
				p.set = r
				out = append(out, p)
			}
		}
	}
	return out
}

// fitRecipes makes the sets that the groups' photos are called on. notes names those that
// could not be made.
func fitRecipes(groups []group, j judge) (made map[string]caller, notes []string) {
	made = map[string]caller{}
	tried := map[string]bool{}
	for _, g := range groups {
		for _, p := range g.photos {
			if p.set == nil || tried[p.set.name] {
				continue
			}
			tried[p.set.name] = true
			c, err := p.set.fit(j)
			if err != nil {
				notes = append(notes, fmt.Sprintf("no set %s, so no stages on it: %v", p.set.name, err))
				continue
			}
			made[p.set.name] = c
		}
	}
	return made, notes
}

func (r *recipe) fit(j judge) (caller, error) {
	outcomes, err := j.run(append([]photo{r.chart}, r.graded...), false)
	if err != nil {
		return nil, err
	}
	set, err := calibrate.New("chart", scale, vision.DefaultStainedDensity, plates(outcomes[0])...)
	if err != nil {
		return nil, err
	}
	for _, o := range outcomes[1:] {
		if set, err = set.Grade(calibrate.Refuse, gradedHalves(o, r.misread)...); err != nil {
			return nil, err
		}
	}
	path, err := calibrate.Fit(set)
	if err != nil {
		return nil, err
	}
	return func(tray []calibrate.Observation) []calibrate.Call { return path.CallTray(tray) }, nil
}

// Which grades of a misread tray are wrong, counted in reading order, and by
// how many stages, towards the middle of the scale.
const (
	misreadEvery = 5 // halves 3, 8 and 13 of sixteen
	misreadFirst = 2
	misreadBy    = 2
)

// gradedHalves are the matched halves of a tray, graded as a careful grader
// would: to the tenth.
func gradedHalves(o outcome, misread bool) []calibrate.Graded {
	hash := sha256.Sum256([]byte(o.photo.name))
	var out []calibrate.Graded
	for _, p := range o.pairs {
		if p.found < 0 || o.tray.Halves[p.found].Clipped {
			continue
		}
		h := o.tray.Halves[p.found]
		if _, ok := h.Stained(); !ok {
			continue
		}
		stage := math.Round(o.truth.halves[p.truth].stage*10) / 10
		if misread && p.truth%misreadEvery == misreadFirst {
			if stage > (scale.Stained+scale.Clear)/2 {
				stage -= misreadBy
			} else {
				stage += misreadBy
			}
		}
		out = append(out, calibrate.Graded{
			Photo: hex.EncodeToString(hash[:]), Half: h.Number, Source: fmt.Sprintf("%s half %d", o.photo.name, h.Number),
			Grades: []calibrate.Grade{{Stage: stage}}, Seen: observe(h),
		})
	}
	return out
}
