// Package trays describes the painted tray photos of testdata/trays. It is run by
// go generate in refimages and by the test that holds the stored photos against it.
package trays

import (
	"encoding/json"
	"fmt"
	"math"

	"traystage/refimages/painter"
)

// Photo is one tray photo of testdata.
type Photo struct {
	Name  string // of the files, without .jpg and .json
	Shows string // what it is there to show
	Spec  painter.Spec
}

// Paint gives the photo as JPEG and its truth as JSON.
func (p Photo) Paint() (photo, truth []byte, err error) {
	img, t := painter.Tray(p.Spec)
	t.File = p.Name + ".jpg"
	truth, err = json.Marshal(t)
	if err != nil {
		return nil, nil, fmt.Errorf("truth of %s: %w", p.Name, err)
	}
	return painter.EncodeJPEG(img, p.Spec.Meta()), append(truth, '\n'), nil
}

// All lists the photos.
func All() []Photo {
	return []Photo{
		{"larkfield_demo", "the demo: a plain tray of 12 halves over a spread of stages, some touching", demo()},
		{"black_all_stained", "nearly black faces on a black tray", blackStained()},
		{"white_all_clear", "clear faces on a white tray", whiteClear()},
		{"hard_glare", "flash glare on wet faces", glare()},
		{"hard_lamp", "one low lamp: long shadows and light that falls off across the tray", lamp()},
		{"none_yellow", "whole yellow fruit, no cut half", wholeYellow()},
		{"rotated", "stored turned, with EXIF orientation 6", rotated()},
	}
}

// seeded is the random tray of a seed at a size for testdata.
func seeded(seed int64, d painter.Difficulty, width int) painter.Spec {
	s := painter.RandomSpec(seed, d)
	k := float64(width) / float64(max(s.Width, s.Height))
	s.Width = int(math.Round(float64(s.Width) * k))
	s.Height = int(math.Round(float64(s.Height) * k))
	return s
}

// stages deals stages out to the halves in turn.
func stages(s *painter.Spec, list ...float64) {
	for i := range s.Halves {
		s.Halves[i].Stage = list[i%len(list)]
	}
}

// families makes one family of all halves.
func families(s *painter.Spec, f painter.Family) {
	for i := range s.Halves {
		s.Halves[i].Family = f
	}
}
