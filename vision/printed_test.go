package vision

import (
	"errors"
	"testing"

	"traystage/refimages/painter"
)

// Halves that are copies of each other are printed, unless a set is to be made of them, or somebody knows that so many halves are there.
func TestPrintedChartIsNoTray(t *testing.T) {
	photo := painter.EncodeJPEG(rgba(sixHalves(4, func(s *painter.Spec) {
		for i := range s.Halves {
			h := &s.Halves[i]
			h.Radius, h.Seed, h.Family = 36, 70, s.Halves[0].Family
		}
	})), painter.Meta{Quality: 93})
	for name, c := range map[string]struct {
		opt  Options
		want error
	}{
		"as a tray":     {Options{}, ErrPrinted},
		"as a chart":    {Options{Printed: true}, nil},
		"six counted":   {Options{Halves: 6}, nil},
		"seven counted": {Options{Halves: 7}, ErrPrinted},
	} {
		tray, err := Measure(photo, c.opt)
		if !errors.Is(err, c.want) {
			t.Errorf("%s: error %v, want %v", name, err, c.want)
			continue
		}
		halves, suspects := 6, 0
		if c.want != nil {
			halves, suspects = 0, 6
		}
		if len(tray.Halves) != halves || len(tray.Suspects) != suspects {
			t.Errorf("%s: %d halves and %d suspects", name, len(tray.Halves), len(tray.Suspects))
		}
		for _, s := range tray.Suspects {
			if s.Why.Code != SuspectPrinted {
				t.Errorf("%s: a suspect for %s", name, s.Why.Code)
			}
		}
	}
}
