package main

import (
	"bytes"
	"image"
	"slices"
	"strings"
	"testing"

	"github.com/disintegration/imaging"

	"traystage/vision"
)

// Every tray is measured as it is, so that graded trays change nothing but by what
// the chart's curve leaves open; each set is laid beside its chart once.
func TestSetsAgainstCharts(t *testing.T) {
	images := gradedFolder(t)
	groups, charts, err := folder("traced", "traced", writeTraced(t, images...))
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	missed, err := setsAgainstCharts(&out, groups, charts, judge{measure: seeing(images, 0)})
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"traced C with graded2.jpg ", "traced C with graded1.jpg and graded2.jpg ", "sets of 1 trays, 0 of 2 worse", "sets of 2 trays, 0 of 1 worse"} {
		if strings.Count(out.String(), want) != 1 {
			t.Errorf("%q is not there once in\n%s", want, out.String())
		}
	}
	// The set of tray 1 is tried on two halves of either tray and the ten of tray 2.
	if !strings.Contains(out.String(), "traced C with graded1.jpg                  14 ") {
		t.Errorf("not 14 calls in\n%s", out.String())
	}
	if missed != nil {
		t.Errorf("missed: %v", missed)
	}
}

// Graded trays are measured a tenth off, all others as they are: sets are worse than
// their charts.
func TestWorseSetsAreTold(t *testing.T) {
	images := gradedFolder(t)
	groups, charts, err := folder("traced", "traced", writeTraced(t, images...))
	if err != nil {
		t.Fatal(err)
	}
	measure := func(photo []byte, opt vision.Options) (vision.Tray, error) {
		if strings.HasPrefix(string(photo), "graded") {
			return seeing(images, 10)(photo, opt)
		}
		return seeing(images, 0)(photo, opt)
	}
	for i := range groups {
		groups[i].photos = slices.DeleteFunc(groups[i].photos, func(p photo) bool { return p.name == "graded2.jpg" })
	}
	missed, err := setsAgainstCharts(&strings.Builder{}, groups, charts, judge{measure: measure})
	if err != nil || len(missed) != 1 || !strings.Contains(missed[0], "traced C with graded1.jpg: its mean error is") {
		t.Errorf("missed %q, %v", missed, err)
	}
}

// The fraction rises by a hundredth where the photo is smaller than 1000 px.
func TestSizes(t *testing.T) {
	var photoBytes bytes.Buffer
	if err := imaging.Encode(&photoBytes, image.NewGray(image.Rect(0, 0, 2000, 300)), imaging.JPEG); err != nil {
		t.Fatal(err)
	}
	im := tracedTray(t, "tray.jpg", "plain", 2, 5)
	g := group{source: "traced", name: "plain", photos: []photo{{chart: "traced C", load: func() ([]byte, trayTruth, error) {
		return photoBytes.Bytes(), truthOf(im), nil
	}}}}
	measure := func(data []byte, _ vision.Options) (vision.Tray, error) {
		head, _, err := image.DecodeConfig(bytes.NewReader(data))
		if err != nil {
			return vision.Tray{}, err
		}
		var tray vision.Tray
		for i, h := range truthOf(im).scaled(float64(head.Width) / 2000).halves {
			stained := 50
			if head.Width < 1000 {
				stained = 51
			}
			tray.Halves = append(tray.Halves, measured(i+1, h.outline, stained))
		}
		return tray, nil
	}
	var out strings.Builder
	missed, err := sizes(&out, []group{g}, judge{measure: measure})
	if err != nil {
		t.Fatal(err)
	}
	if len(missed) != 1 || !strings.Contains(missed[0], "at 800 px stained fractions move by +0.0100") {
		t.Errorf("missed %q in\n%s", missed, out.String())
	}
	if strings.Count(out.String(), "+0.0000") != len(longSides)-1 {
		t.Errorf("other sizes move in\n%s", out.String())
	}
}

func TestSensitivity(t *testing.T) {
	images := gradedFolder(t)
	groups, _, err := folder("traced", "traced", writeTraced(t, images...))
	if err != nil {
		t.Fatal(err)
	}
	model := tunable{constants: []string{"told", "idle"}, measure: func(photo []byte, constant string, factor float64) (vision.Tray, error) {
		extra := 0
		if constant == "told" && factor > 1 {
			extra = 3
		}
		return seeing(images, extra)(photo, vision.Options{})
	}}
	var out strings.Builder
	if err := sensitivity(&out, groups, model); err != nil {
		t.Fatal(err)
	}
	lines := map[string]string{}
	for _, l := range strings.Split(out.String(), "\n") {
		if words := strings.Fields(l); len(words) == 4 {
			lines[strings.Join(words[:3], " ")] = words[3]
		}
	}
	for name, want := range map[string]string{"as it is": "0.0000", "told x 0.7": "0", "told x 1.3": "+0.0300", "idle x 0.7": "0", "idle x 1.3": "0"} {
		if lines[name] != want {
			t.Errorf("%s: %q, want %q", name, lines[name], want)
		}
	}
	out.Reset()
	if err := sensitivity(&out, groups, tunable{}); err != nil || !strings.Contains(out.String(), "note:") {
		t.Errorf("without constants: %q, %v", out.String(), err)
	}
}

func TestIsJudged(t *testing.T) {
	for name, want := range map[string]bool{"photos/plain_01.jpg": false, "photos/rough_04.jpg": true, "charts/graded_C_2.jpg": true, "charts/chart_C.jpg": false, "": false} {
		if got := isJudged(name); got != want {
			t.Errorf("%q is judged: %v", name, got)
		}
	}
}

func TestPaintedPhotosAreRemembered(t *testing.T) {
	t.Chdir("../..")
	spec := chartSpec("concentric", 1)
	spec.Width, spec.Height, spec.Halves = 160, 120, spec.Halves[:1]
	keep := cache{dir: t.TempDir()}
	data, truth, err := keep.paint(spec)
	if err != nil {
		t.Fatal(err)
	}
	again, truthAgain, err := keep.paint(spec)
	if err != nil || !bytes.Equal(data, again) || truth.Halves[0].Stained != truthAgain.Halves[0].Stained {
		t.Errorf("remembered otherwise: %v", err)
	}
	spec.Seed++
	if other, _, err := keep.paint(spec); err != nil || bytes.Equal(data, other) {
		t.Errorf("another spec gives the same photo: %v", err)
	}
}
