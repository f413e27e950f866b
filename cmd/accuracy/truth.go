package main

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"traystage/refimages/painter"
	"traystage/vision"
)

// trayTruth is what is known of one photo.
type trayTruth struct {
	width, height int // of the upright photo, pixels
	halves        []halfTruth
}

// halfTruth is what is known of one half.
type halfTruth struct {
	outline []vision.Point // edge of the cut face on the upright photo, also where it leaves the frame
	stage   float64        // in the scale of the chart
	stained float64        // stained fraction of the whole half, hidden parts included, in [0, 1]
	zones   []float64      // stained fraction of each zone from the core outward, in [0, 1]
	weights []float64      // share of the flesh in each zone; they add up to 1
	clipped bool           // cut off by the frame
	visible float64        // share of the face that is neither covered nor out of the frame, about 1 for all of it
}

// hiddenBelow is the visible share under which a half's fraction is judged
// apart: what lies under a finger cannot be measured.
const hiddenBelow = 0.9

func (h halfTruth) hidden() bool { return h.visible < hiddenBelow }

// readTruths reads the truths of the photos in a folder and the folders in it:
// those that a truth.json lists, and those that a NAME.json beside NAME.jpg describes.
// The fields are the painter's in both; a ring without flesh may be null. Files
// are given relative to the folder. A folder without any is an error that is
// fs.ErrNotExist.
func readTruths(dir string) ([]painter.Truth, error) {
	var out []painter.Truth
	err := filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() || filepath.Ext(path) != ".json" {
			return err
		}
		truths, err := readTruth(path)
		if err != nil {
			return fmt.Errorf("%s: not the truth of photos: %w", path, err)
		}
		within, err := filepath.Rel(dir, filepath.Dir(path))
		if err != nil {
			return err
		}
		for _, t := range truths {
			t.File = filepath.Join(within, filepath.FromSlash(t.File))
			out = append(out, t)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("%s: no truth of photos: %w", dir, fs.ErrNotExist)
	}
	return out, nil
}

func readTruth(path string) ([]painter.Truth, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	var file struct {
		painter.Truth
		Images []painter.Truth `json:"images"`
	}
	if err := json.Unmarshal(data, &file); err != nil {
		return nil, err
	}
	truths := file.Images
	if filepath.Base(path) != "truth.json" {
		file.File = strings.TrimSuffix(filepath.Base(path), ".json") + ".jpg"
		truths = []painter.Truth{file.Truth}
	}
	for _, t := range truths {
		for i, h := range t.Halves {
			if len(h.Outline) < 3 || len(h.Zones) != len(h.Weights) {
				return nil, fmt.Errorf("%s: half %d: %d outline points, %d ring fractions and %d ring weights: need at least 3 points and as many weights as fractions",
					t.File, i+1, len(h.Outline), len(h.Zones), len(h.Weights))
			}
		}
	}
	return truths, nil
}

// truthOf takes what is judged out of the painter's truth.
func truthOf(t painter.Truth) trayTruth {
	out := trayTruth{width: t.Width, height: t.Height}
	for _, h := range t.Halves {
		half := halfTruth{
			stage: h.Stage, stained: h.Stained, zones: h.Zones, weights: h.Weights,
			clipped: h.Clipped, visible: h.Visible,
		}
		for _, p := range h.Outline {
			half.outline = append(half.outline, vision.Point{X: p[0], Y: p[1]})
		}
		out.halves = append(out.halves, half)
	}
	return out
}
