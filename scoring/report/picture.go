package report

import "traystage/calibrate"

// Pictures are what a page shows beside the figures, each the bytes of a JPEG
// or PNG. Any may be missing: the page then does without.
type Pictures struct {
	Overlay []byte            // the whole tray with outlines, numbers and stages drawn in
	Crops   map[int][]byte    // each half, by its number
	Plates  []calibrate.Plate // of the reference set: Picture is shown beside the calls it brackets
}
