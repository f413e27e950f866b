//go:build matprofile

package vision

import (
	"testing"

	"gocv.io/x/gocv"
)

// Whichever way Measure ends, every Mat it opened is closed again.
func TestMeasureLeavesNoMatOpen(t *testing.T) {
	demo := bytesOf(t, "larkfield_demo.jpg")
	for name, photo := range map[string][]byte{
		"a tray":       demo,
		"stored askew": bytesOf(t, "rotated.jpg"),
		"no half":      bytesOf(t, "none_yellow.jpg"),
		"cut short":    demo[:len(demo)/2],
		"no photo":     []byte("half,stage\n"),
	} {
		before := gocv.MatProfile.Count()
		tray, err := Measure(photo, Options{})
		if open := gocv.MatProfile.Count() - before; open != 0 {
			t.Errorf("%s (%d halves, %v): %d Mats left open", name, len(tray.Halves), err, open)
		}
	}
}
