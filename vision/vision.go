// Package vision measures the halves on a photographed tray: photo bytes in, a
// Tray of plain numbers out. It knows pixels and flesh; it knows nothing of
// stages, blocks or files.
//
// The steps, each in a package of its own under vision/internal:
//
//  1. photo decodes the bytes upright and no larger than the work needs, and
//     refuses what is not a whole photo.
//  2. locate finds the cut faces and draws the outline of each.
//  3. stain tells clear flesh, stained flesh and what is neither.
//  4. zones (vision/zones) counts pixels into rings.
//
// Coordinates given out are those of the upright full-size photo: origin at the
// top left corner of the top left pixel, x to the right, y down.
package vision

import (
	"time"

	"traystage/vision/internal/stain"
	"traystage/vision/note"
	"traystage/vision/zones"
)

// Point is a place on the upright full-size photo, in pixels.
type Point struct{ X, Y float64 }

// Tray is what one photo shows.
type Tray struct {
	Width, Height int         // of the upright full-size photo, pixels
	Taken         time.Time   // capture time as the camera's clock had it, in UTC for want of a zone; zero when the photo does not say
	Halves        []Half      // in reading order: rows top to bottom, each left to right
	Suspects      []Suspect   // places that may hold a half but are not sure enough to be numbered, the likeliest first
	Remarks       []note.Note // about the photo as a whole
}

// Half is one cut face.
type Half struct {
	Number  int     // place in reading order, from 1
	Centre  Point   // centre of the core
	Radius  float64 // of the circle with the outline's area, pixels
	Outline []Point // edge of the cut face, skin included; closed, clockwise as seen
	Clipped bool    // cut off by the frame: not measured, Profile is empty
	// Evidence is that of a Suspect; low where the half is hardly sure to be one.
	Evidence float64
	Profile  zones.Profile
	// FractionLow and FractionHigh are how little and how much of the flesh may be
	// stained, each with a probability of about 5 %: by how much thicker and thinner than it is stain
	// may look, by the light, by glare, and by
	// an edge that is rough, in quadrature; in [0, 1].
	FractionLow, FractionHigh float64
	Glare                     float64     // share of the face hidden by glare, in [0, 1]
	Focus                     float64     // sharpness of the face: 1 sharp, towards 0 blurred
	Remarks                   []note.Note // what makes this half doubtful
}

// Suspect is a place that may hold a half.
type Suspect struct {
	Centre  Point   // of the outline's area
	Radius  float64 // of the circle with that area, pixels
	Outline []Point // closed, clockwise as seen
	// Evidence is the natural logarithm of how much likelier what is seen there is on a half than
	// on something else.
	Evidence float64
	Why      note.Note // what speaks most against a half
}

// Stained is the stained fraction of the half, in [0, 1]; false when it was
// not measured.
func (h Half) Stained() (float64, bool) { return h.Profile.Stained() }

// Disc is a place on the upright full-size photo: a centre and a radius, pixels.
type Disc struct {
	Centre Point
	Radius float64
}

// Options are the properties that the reference set and the machine give.
type Options struct {
	// Zones is the number of rings; 0 means zones.DefaultCount.
	Zones int
	// StainedDensity is the red-band optical density relative to clear flesh
	// from which a pixel counts as stained; 0 means DefaultStainedDensity.
	StainedDensity float64
	// Pointed are places of halves that somebody pointed out, besides those that
	// are found; what was found in their place gives way.
	Pointed []Disc
	// Halves is how many halves the photo should show, those cut off by its edge included; 0 where that
	// is not known. It only decides about places that are doubtful: another number may still be found. Halves
	// that it decides for carry RemarkCounted.
	Halves int
	// Printed is whether halves on a printed chart are measured too, as reference sets may be made from one. Else faces as
	// alike as those are suspects, unless they are as many as Halves says or some are pointed out.
	Printed bool
	// MaxPixels is the largest photo that is decoded, in pixels; 0 means
	// DefaultMaxPixels.
	MaxPixels int

	model *stain.Model // nil means the usual one
}

// DefaultStainedDensity is a red band below 63 % of that of clear flesh under
// the same light, in linear light: -log10(0.63) = 0.20.
const DefaultStainedDensity = 0.20

// GCPercent is what a program that measures photos does well to set with
// debug.SetGCPercent. A photo takes 50 MB of memory for a tenth of a second; at
// the usual 100 the collector runs in the middle of it, at 400 seldom, for 20 MB more
// at the peak.
const GCPercent = 400

// MemoryLimit is what such a program does well to set with debug.SetMemoryLimit, bytes: with large
// photos one after another the collector would else leave several of them lying about. What OpenCV
// and the program itself need comes on top.
const MemoryLimit = 350_000_000

// DefaultMaxPixels is 120 megapixels, above any phone of today and well below
// what would exhaust a small machine.
const DefaultMaxPixels = 120_000_000

func (o Options) withDefaults() Options {
	if o.Zones == 0 {
		o.Zones = zones.DefaultCount
	}
	if o.StainedDensity == 0 {
		o.StainedDensity = DefaultStainedDensity
	}
	if o.MaxPixels == 0 {
		o.MaxPixels = DefaultMaxPixels
	}
	if o.model == nil {
		m := stain.Default()
		o.model = &m
	}
	return o
}
