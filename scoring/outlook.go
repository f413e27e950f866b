package scoring

import (
	"time"

	"traystage/calibrate"
	"traystage/scoring/trend"
	"traystage/vision/note"
)

// Outlook is the whole orchard on one day: its blocks in the order in which
// they want picking.
type Outlook struct {
	Orchard string
	Day     time.Time // midnight UTC
	Blocks  []Prospect
}

// Prospect is one block in an outlook.
type Prospect struct {
	Block Block
	Order note.Note // what to do about it, see BlockReport.Order
	State State     // on the day of the outlook
	Sure  bool

	// Window is that of its own market, with the intervals of its days; nil without
	// a standard or a trend.
	Window   *trend.Window
	Sampled  time.Time // day of the last sample, midnight UTC; zero for none
	Days     int       // since Sampled; without meaning when it is zero
	Scale    calibrate.Scale
	Stage    Summary     // of that sample; N is 0 when no stage is known
	Next     time.Time   // day on which the next sample is due, midnight UTC; zero when none is needed
	Changes  []note.Note // since the sample before; empty for the first sample
	Serves   []Service   // the markets of the variety: as sampled, on the day, and picked after the close
	Warnings []note.Note // those of its report
}
