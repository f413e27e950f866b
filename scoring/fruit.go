package scoring

import (
	"traystage/calibrate"
	"traystage/vision/note"
)

// Codes of why a half has no stage.
const (
	// NoFlesh: nothing of its flesh can be seen.
	NoFlesh note.Code = "half.no_flesh"
	// cutOff is what a photo's remark on the half says too.
	cutOff note.Code = "photo.clipped"
)

// Fruit is one apple of a sample: its stained half on the photo, what was
// measured there, the stage it was given and what a person made of that.
type Fruit struct {
	Number int // place on the tray in reading order, from 1
	Place  Place
	Call   calibrate.Call // what the reference set said; without meaning for a half that was not measured
	Review *Review        // what a person did with the call; nil when nobody looked

	Stained float64   // stained flesh / flesh, [0, 1]
	Zones   []float64 // stained fraction of each zone from the core outward, [0, 1]
	Weights []float64 // share of the flesh in each zone; they add up to 1
	Masked  float64   // share of the face that is not flesh, [0, 1]

	Remarks  []note.Note // what the photo leaves doubtful about this half
	Clipped  bool        // cut off by the edge of the photo: not measured
	Unscored note.Note   // why a half inside the photo has no stage; says nothing when it has one
	ByHand   bool        // a person pointed it out on the photo, as it was not found
}

// Scored says whether the half has a stage and counts in the mean: one that was
// measured, or one that a person gave a stage to all the same.
func (f Fruit) Scored() bool {
	return f.Overridden() || !f.Clipped && f.Unscored.IsZero()
}

// Stage is the stage that counts: the person's where the call was overridden,
// else the call's. It is without meaning unless Scored.
func (f Fruit) Stage() float64 {
	if f.Overridden() {
		return f.Review.Stage
	}
	return f.Call.Stage
}

// Overridden says whether a person put a stage in the place of the call's.
func (f Fruit) Overridden() bool { return f.Review != nil && f.Review.Override }

// Open says whether the call still waits for the grower's eye: it is borderline
// and nobody has confirmed or overridden it.
func (f Fruit) Open() bool { return f.Scored() && f.Review == nil && f.Call.Borderline }

// WhyUnscored says why the half has no stage; nothing when it has one.
func (f Fruit) WhyUnscored() note.Note {
	switch {
	case f.Scored():
		return note.Note{}
	case f.Clipped:
		return note.New(cutOff)
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

// Suspect is a place on a photo that may hold a half but is not sure enough to be numbered.
type Suspect struct {
	Place Place
	Why   note.Note // what speaks most against a half
}
