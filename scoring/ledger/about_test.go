package ledger

import (
	"testing"
	"time"
)

// Trays that count, taken about a time or at one that nobody knows.
func TestTakenAbout(t *testing.T) {
	s := newSeason(t)
	at := picked.Add(9 * time.Hour)
	for i, taken := range []time.Time{at, at.AddDate(0, 0, 5), {}} {
		tray := trayOf(i+1, 10*i+1, 3)
		tray.Report.Taken = taken
		if _, err := s.StoreTray(t.Context(), tray); err != nil {
			t.Fatal(err)
		}
	}
	found := func(at time.Time) (places []string) {
		all, err := s.TakenAbout(t.Context(), at, 72*time.Hour)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range all {
			if p.Block != "North 3" || !p.Picked.Equal(picked) || len(p.Fruit) != 3 {
				t.Errorf("%s, %s: %d halves", p.Block, p.Picked, len(p.Fruit))
			}
			places = append(places, p.PhotoHash)
		}
		return places
	}
	first := trayOf(1, 1, 3).Report.PhotoHash
	for name, c := range map[string]struct {
		at   time.Time
		want int
	}{"near the first": {at.Add(time.Hour), 2}, "near none": {at.AddDate(0, 0, 20), 1}, "nobody knows": {time.Time{}, 3}} {
		if got := found(c.at); len(got) != c.want {
			t.Errorf("%s: %d trays, want %d", name, len(got), c.want)
		}
	}
	if err := s.StrikeTray(t.Context(), "ab", first, "wrong photo"); err != nil {
		t.Fatal(err)
	}
	if got := found(at); len(got) != 1 {
		t.Errorf("%d trays about a struck one, want 1", len(got))
	}
}
