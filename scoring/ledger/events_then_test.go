package ledger

import (
	"testing"
	"time"

	"traystage/scoring"
)

// What was written before a sample got another day, or a tray another sample, is told with the
// day of then.
func TestEventsTellThen(t *testing.T) {
	s := newSeason(t)
	store(t, s, trayOf(1, 1, 4), Stored)
	later := nextDay(4)
	must(t, s.ChangeSample(t.Context(), "ef", "North 3", picked, scoring.Sample{Block: "North 3", Picked: later}, "the box was another"))
	events, err := s.Events(t.Context(), About{Block: "North 3", Picked: later})
	must(t, err)
	then := map[Act][]time.Time{}
	why := ""
	for _, e := range events {
		then[e.Act] = append(then[e.Act], e.Then)
		if !e.Picked.Equal(later) {
			t.Errorf("%s is of the sample of %s", e.Act, e.Picked)
		}
		if e.Act == SampleWritten {
			why = e.Why
		}
	}
	if d := then[TrayPlaced]; len(d) != 1 || !d[0].Equal(picked) {
		t.Errorf("the tray was placed on %v", d)
	}
	if d := then[SampleWritten]; len(d) != 2 || !d[0].Equal(picked) || !d[1].Equal(later) {
		t.Errorf("the sample was written with %v", d)
	}
	if why != "the box was another" {
		t.Errorf("why: %q", why)
	}
}
