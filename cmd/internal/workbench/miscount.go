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

// miscounted draws what was found. Without a picture the error stands alone.
func miscounted(done Scored, want int) error {
	e := Miscounted{Photo: done.Report.Photo, Want: want, Found: len(done.tray.Halves)}
	if overlay, _, err := numbersOn(done.tray).over(done.Photo); err == nil {
		e.Picture = overlay
	}
	return e
}
