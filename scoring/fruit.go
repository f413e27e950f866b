package scoring

import "traystage/calibrate"

// Fruit is one apple of a sample: its stained half on the photo, what was
// measured there and the stage it was given.
type Fruit struct {
	Number int // place on the tray in reading order, from 1
	Place  Place
	Call   calibrate.Call // without meaning unless Scored

	Stained float64   // stained flesh / flesh, [0, 1]
	Zones   []float64 // stained fraction of each zone from the core outward, [0, 1]
	Weights []float64 // share of the flesh in each zone; they add up to 1
	Masked  float64   // share of the face that is not flesh, [0, 1]

	Remarks  []Remark // what the photo leaves doubtful about this half
	Clipped  bool     // cut off by the edge of the photo: not measured
	Unscored string   // why a half inside the photo has no stage, in words; empty when it has one
}

// Scored says whether the half was given a stage and counts in the mean.
func (f Fruit) Scored() bool { return !f.Clipped && f.Unscored == "" }

// WhyUnscored says in words why the half has no stage; empty when it has one.
func (f Fruit) WhyUnscored() string {
	if f.Clipped {
		return "the photo cuts the half off"
	}
	return f.Unscored
}

// Point is a place on the upright full-size photo: x to the right and y down
// from its top left corner, pixels.
type Point [2]float64

// Place says where on the photo a half lies.
type Place struct {
	Centre  Point   // centre of the core
	Radius  float64 // of the circle with the outline's area, pixels
	Outline []Point // edge of the cut face, closed, clockwise as seen
}

// Remark is one doubt about a half or a photo, in words without capital or
// full stop.
type Remark struct {
	Text   string // what is the matter
	Advice string // what the photographer can do about it; may be empty
}
