package scoring

import (
	"time"

	"traystage/calibrate"
	"traystage/vision/note"
)

// Reference says which reference set, and which version of it, gave the stages.
type Reference struct {
	Name           string
	Version        string
	Scale          calibrate.Scale
	Calibrated     bool    // checked against graded halves of this variety
	StainedDensity float64 // optical density from which flesh counts as stained
	Common         Common  // error that every stage of the sample shares
}

// Report is the report on one tray photo, ready to be rendered.
type Report struct {
	Orchard, Block, Variety string // as the grower calls them; each may be empty

	Photo         string    // file name without folder
	PhotoHash     string    // SHA-256 of the photo's bytes, hexadecimal; may be empty
	Width, Height int       // of the upright full-size photo, pixels
	Taken         time.Time // as the camera's clock had it, zone without meaning; zero when unknown

	Reference Reference
	Fruit     []Fruit   // in reading order
	Suspects  []Suspect // places that may hold a half but have no number; known when a photo has just been measured
	Summary   Summary
	Remarks   []note.Note // about the photo as a whole
	Program   string      // name and version of the program that measured
}

// Looks gives the fruit that wait for the grower's eye, in reading order.
func (r Report) Looks() []Fruit {
	var out []Fruit
	for _, f := range r.Fruit {
		if f.Open() {
			out = append(out, f)
		}
	}
	return out
}
