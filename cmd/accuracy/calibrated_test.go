package main

import (
	"math"
	"strings"
	"testing"

	"traystage/refimages/painter"
)

// gradedFolder is a chart, two graded trays in two lights and a tray in a third,
// of one family.
func gradedFolder(t *testing.T) []painter.Truth {
	light := func(im painter.Truth, l painter.Light) painter.Truth {
		im.Conditions.Light = l
		return im
	}
	stages := []float64{1.2, 1.7, 2.3, 2.8, 3.4, 3.9, 4.6, 5.1, 6.2, 7.3}
	return []painter.Truth{
		light(tracedTray(t, "chart.jpg", "chart", 1, 2, 3, 4, 5, 6, 7, 8), painter.Overcast),
		light(tracedTray(t, "graded1.jpg", "graded", stages...), painter.Tubes),
		light(tracedTray(t, "graded2.jpg", "graded", stages...), painter.Sun),
		light(tracedTray(t, "tray1.jpg", "plain", 2, 5), painter.Sun),
		light(tracedTray(t, "tray2.jpg", "hard", 3, 7), painter.Lamp),
	}
}

func TestCalibratedGroups(t *testing.T) {
	groups, charts, err := folder("traced", "traced", writeTraced(t, gradedFolder(t)...))
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]string{}
	for _, g := range calibratedGroups("traced", gradedOf(groups), groups, charts) {
		var photos []string
		for _, p := range g.photos {
			photos = append(photos, p.name+" on "+p.calledOn())
		}
		got[g.name] = strings.Join(photos, "; ")
	}
	want := map[string]string{
		"plain": "tray1.jpg on traced C, graded",
		"hard":  "tray2.jpg on traced C, graded",
		// The sunny tray only on the set of tubes, and each graded tray on that of the other.
		"plain, other light": "tray1.jpg on traced C, graded in fluor light; graded2.jpg on traced C, graded in fluor light; graded1.jpg on traced C, graded in sun light",
		"hard, other light":  "tray2.jpg on traced C, graded in fluor light; tray2.jpg on traced C, graded in sun light",
		"plain, misread":     "tray1.jpg on traced C, misread",
	}
	for name := range want {
		if got[name] != strings.ReplaceAll(want[name], "fluor", string(painter.Tubes)) {
			t.Errorf("%s: %q, want %q", name, got[name], want[name])
		}
	}
	if len(got) != len(want) {
		t.Errorf("groups %v", got)
	}
	if more := calibratedGroups("kept", nil, groups[:1], charts); more != nil {
		t.Errorf("without graded trays there are %d groups", len(more))
	}
}

// All is measured as it is, so that calls are right and intervals narrow; each
// photo is measured once.
func TestRunCalibrated(t *testing.T) {
	images := gradedFolder(t)
	groups, charts, err := folder("traced", "traced", writeTraced(t, images...))
	if err != nil {
		t.Fatal(err)
	}
	groups = calibratedGroups("traced", gradedOf(groups), groups, charts)
	see, looks := seeing(images, 0), 0
	j := judge{measure: see, memory: &memory{seen: map[string]memo{}}}
	var out strings.Builder
	if err := run(&out, options{part: tablesPart}, groups, charts, j); err != nil {
		t.Fatal(err)
	}
	for _, im := range images {
		if _, ok := j.memory.seen["traced "+im.File]; ok {
			looks++
		}
	}
	if looks != len(images) {
		t.Errorf("%d of %d photos are remembered", looks, len(images))
	}
	for _, want := range []string{"traced, calibrated", "plain, other light", "85% to 96%", "90 % interval, mean width"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("%q is not in\n%s", want, out.String())
		}
	}
	for _, never := range []string{"* traced, calibrated plain: stage, mean", "* traced, calibrated plain: 90 % interval, mean width"} {
		if strings.Contains(out.String(), never) {
			t.Errorf("%q is in\n%s", never, out.String())
		}
	}
}

func TestMisreadGrades(t *testing.T) {
	images := gradedFolder(t)
	groups, _, err := folder("traced", "traced", writeTraced(t, images...))
	if err != nil {
		t.Fatal(err)
	}
	outcomes, err := judge{measure: seeing(images, 0)}.run(groups[1].photos[:1], false)
	if err != nil {
		t.Fatal(err)
	}
	right, wrong := gradedHalves(outcomes[0], false), gradedHalves(outcomes[0], true)
	var off []float64
	for i := range right {
		if d := wrong[i].Stage() - right[i].Stage(); math.Abs(d) > 1e-9 {
			off = append(off, d)
		}
	}
	// Halves 3 and 8 of ten: 2.3 is read as 4.3, 5.1 as 3.1.
	if len(right) != 10 || len(off) != 2 || math.Abs(off[0]-2) > 1e-9 || math.Abs(off[1]+2) > 1e-9 {
		t.Errorf("%d halves, off by %v; want 10, off by 2 and -2", len(right), off)
	}
}

func TestLimits(t *testing.T) {
	for _, c := range []struct {
		limit *limit
		value float64
		holds bool
	}{
		{atMost(0.5), 0.5, true}, {atMost(0.5), 0.51, false}, {atLeast(0.5), 0.5, true}, {atLeast(0.5), 0.49, false},
		{between(0.85, 0.96), 0.9, true}, {between(0.85, 0.96), 0.84, false}, {between(0.85, 0.96), 1, false},
	} {
		if got := c.limit.holds(c.value); got != c.holds {
			t.Errorf("%+v holds of %g: %v", *c.limit, c.value, got)
		}
	}
}
