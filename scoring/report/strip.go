package report

import (
	"fmt"
	"strings"

	"traystage/scoring"
)

// strip is the profile of one half as a row of cups, core on the left and skin
// on the right: the share of a cup that is filled is the stained fraction of
// its zone. Sizes are in the units of its view box.
type strip struct {
	Width  float64
	Cups   []cup
	Spoken string // the same in words, for screen readers
}

type cup struct {
	X, Middle         float64
	FillTop, FillTall float64
	Percent           string
}

const (
	cupWide, cupTall = 44.0, 46.0
	cupStep          = 50.0
)

// newStrip draws the zones; nil when there are none.
func newStrip(zones []float64) *strip {
	if len(zones) == 0 {
		return nil
	}
	s := &strip{Width: cupStep * float64(len(zones))}
	var spoken []string
	for i, z := range zones {
		tall := cupTall * min(max(z, 0), 1)
		x := cupStep*float64(i) + (cupStep-cupWide)/2
		s.Cups = append(s.Cups, cup{
			X: x, Middle: x + cupWide/2,
			FillTop: 1 + cupTall - tall, FillTall: tall,
			Percent: scoring.Percent(z),
		})
		spoken = append(spoken, scoring.Percent(z)+" %")
	}
	s.Spoken = fmt.Sprintf("Stained in %d zones from core to skin: %s", len(zones), strings.Join(spoken, ", "))
	return s
}
