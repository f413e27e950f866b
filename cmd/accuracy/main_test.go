package main

import (
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"traystage/refimages/painter"
	"traystage/vision"
)

// writeTraced writes a folder of photos whose bytes are their own names.
func writeTraced(t *testing.T, images ...painter.Truth) string {
	t.Helper()
	dir := t.TempDir()
	data, err := json.Marshal(map[string]any{"images": images})
	if err != nil {
		t.Fatal(err)
	}
	for _, im := range images {
		if err := os.WriteFile(filepath.Join(dir, im.File), []byte(im.File), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(filepath.Join(dir, "truth.json"), data, 0o666); err != nil {
		t.Fatal(err)
	}
	return dir
}

// tracedTray is a photo of square halves in a row at the given stages; the
// stained fraction falls by a tenth with each stage.
func tracedTray(t *testing.T, file string, difficulty painter.Difficulty, stages ...float64) painter.Truth {
	t.Helper()
	im := painter.Truth{File: file, Width: 2000, Height: 300, Family: "C", Difficulty: difficulty}
	for i, stage := range stages {
		h := painter.HalfTruth{Stage: stage, Stained: 0.9 - stage/10, Weights: even(0.2), Zones: even(0.9 - stage/10), Visible: 1}
		for _, p := range square(float64(20+200*i), 100, 100) {
			h.Outline = append(h.Outline, [2]float64{p.X, p.Y})
		}
		im.Halves = append(im.Halves, h)
	}
	return im
}

// seeing measures the photos of writeTraced: the halves of charts as they are,
// all others with the given number of hundredths added to their stained fraction.
func seeing(images []painter.Truth, extra int) func([]byte, vision.Options) (vision.Tray, error) {
	return func(photo []byte, _ vision.Options) (vision.Tray, error) {
		extra := extra
		for _, im := range images {
			if im.File != string(photo) {
				continue
			}
			if len(im.Halves) == 0 {
				return vision.Tray{}, vision.ErrNoHalves
			}
			if im.Difficulty == "chart" {
				extra = 0
			}
			var tray vision.Tray
			for i, h := range truthOf(im).halves {
				tray.Halves = append(tray.Halves, measured(i+1, h.outline, int(h.stained*100+0.5)+extra))
			}
			return tray, nil
		}
		return vision.Tray{}, errors.New("no such photo")
	}
}

func TestRun(t *testing.T) {
	images := []painter.Truth{
		tracedTray(t, "chart.jpg", "chart", 1, 2, 3, 4, 5, 6, 7, 8),
		tracedTray(t, "tray1.jpg", "plain", 2, 5),
		tracedTray(t, "tray2.jpg", "plain", 3, 7),
		tracedTray(t, "none.jpg", "none"),
	}
	dir := writeTraced(t, images...)
	for _, c := range []struct {
		name        string
		opt         options
		extra       int
		want, never []string
	}{
		{"all right", options{part: tablesPart}, 0, []string{"charts", "plain", "none", "8/8", "4/4", "1/1"}, []string{"*", "note"}},
		{"two hundredths too much", options{part: tablesPart}, 2,
			[]string{"*0.0200", "* traced plain: stained fraction, mean error: 0.0200, should be <= 0.0120", "* traced plain: stage, mean error: 0.200, should be <= 0.120", "* traced plain: block mean, mean error: 0.200"}, []string{"* traced charts"}},
		{"one group", options{part: tablesPart, group: "none"}, 0, []string{"none"}, []string{"charts"}},
		{"one photo of each", options{part: tablesPart, photos: 1, halves: true}, 0, []string{"tray1.jpg  half 1  number 1  overlap 1.000  stained 0.700/0.700 +0.000"}, []string{"tray2"}},
	} {
		var out strings.Builder
		groups, charts, err := folder("traced", "traced", dir)
		if err != nil {
			t.Fatal(err)
		}
		if err := run(&out, c.opt, groups, charts, judge{measure: seeing(images, c.extra)}); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
		for _, w := range c.want {
			if !strings.Contains(out.String(), w) {
				t.Errorf("%s: %q is not in\n%s", c.name, w, out.String())
			}
		}
		for _, n := range c.never {
			if strings.Contains(out.String(), n) {
				t.Errorf("%s: %q is in\n%s", c.name, n, out.String())
			}
		}
	}
}

func TestRunRefusesUnknownGroup(t *testing.T) {
	err := run(&strings.Builder{}, options{group: "easy"}, []group{{source: "kept", name: "plain"}}, nil, judge{})
	if err == nil || !strings.Contains(err.Error(), `"easy"`) || !strings.Contains(err.Error(), "kept plain") {
		t.Errorf("%v: should name the group asked for and those there are", err)
	}
}

func TestReadTruthsRefusesHalfTruth(t *testing.T) {
	im := tracedTray(t, "tray.jpg", "plain", 2)
	im.Halves[0].Weights = im.Halves[0].Weights[:4]
	if _, err := readTruths(writeTraced(t, im)); err == nil || !strings.Contains(err.Error(), "half 1") {
		t.Errorf("five rings with four weights: %v", err)
	}
}

func TestReadTruthsBesidePhotos(t *testing.T) {
	dir := writeTraced(t, tracedTray(t, "tray.jpg", "plain", 2))
	if err := os.Mkdir(filepath.Join(dir, "more"), 0o777); err != nil {
		t.Fatal(err)
	}
	data, err := json.Marshal(tracedTray(t, "", "hard", 3, 4))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "more", "beside.json"), data, 0o666); err != nil {
		t.Fatal(err)
	}
	truths, err := readTruths(dir)
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]int{}
	for _, tr := range truths {
		got[filepath.ToSlash(tr.File)] = len(tr.Halves)
	}
	if len(got) != 2 || got["tray.jpg"] != 1 || got["more/beside.jpg"] != 2 {
		t.Errorf("halves by photo: %v, want 1 of tray.jpg and 2 of more/beside.jpg", got)
	}
	if _, err := readTruths(t.TempDir()); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("an empty folder: %v, want fs.ErrNotExist", err)
	}
}

func TestChartThatGivesNoSetIsNoted(t *testing.T) {
	images := []painter.Truth{tracedTray(t, "chart.jpg", "chart", 4), tracedTray(t, "tray.jpg", "plain", 2)}
	groups, charts, err := folder("traced", "traced", writeTraced(t, images...))
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	if err := run(&out, options{part: tablesPart}, groups, charts, judge{measure: seeing(images, 0)}); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(out.String(), "note: chart.jpg: no set from chart traced C") {
		t.Errorf("a chart of one half is not noted in\n%s", out.String())
	}
}
