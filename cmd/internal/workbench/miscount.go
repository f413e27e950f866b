package workbench

import (
	"fmt"
)

// Miscounted says that another number of halves was found than was counted. Nothing
// was stored: one missed half shifts every number after it.
type Miscounted struct {
	Photo       string
	Want, Found int
	Picture     []byte // the halves found with their numbers; JPEG
}

func (e Miscounted) Error() string {
	return fmt.Sprintf("%s: %d halves were counted and %d are found; nothing was stored", e.Photo, e.Want, e.Found)
}

// Counted is a Miscounted where another number of halves was found than want; 0 or less asks nothing. It draws
// what was found; without a picture the error stands alone.
func (done Scored) Counted(want int) error {
	if want <= 0 || want == len(done.tray.Halves) {
		return nil
	}
	e := Miscounted{Photo: done.Report.Photo, Want: want, Found: len(done.tray.Halves)}
	if overlay, _, err := numbersOn(done.tray).over(done.Photo); err == nil {
		e.Picture = overlay
	}
	return e
}
