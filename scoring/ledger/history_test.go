package ledger

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"traystage/scoring"
	"traystage/scoring/instrument"
)

// told says an entry of a history in a few words.
func (e Entry) told() string {
	switch {
	case e.Scoring != nil:
		return fmt.Sprintf("%s set %s %.4f", e.By, e.Scoring.Reference.Version, e.Scoring.Fruit.Call.Stage)
	case e.Review != nil && e.Review.Override:
		return fmt.Sprintf("%s override %g %s", e.By, e.Review.Stage, e.Review.Why)
	case e.Review != nil:
		return e.By + " confirm"
	case e.Struck:
		return fmt.Sprintf("%s strike %s", e.By, e.Reading.Note)
	}
	return fmt.Sprintf("%s red %g", e.By, *e.Reading.Red)
}

// Everything that was ever written about a fruit, and nothing about others, in
// the order in which it was written, whatever the clock said.
func TestHistory(t *testing.T) {
	for name, step := range map[string]time.Duration{"a clock": time.Second, "a clock that is set back": -time.Hour} {
		t.Run(name, func(t *testing.T) { testHistory(t, step) })
	}
}

func testHistory(t *testing.T, step time.Duration) {
	s := newSeason(t)
	now := time.Date(2026, 9, 14, 12, 0, 0, 0, time.UTC)
	s.Now = func() time.Time { now = now.Add(step); return now }
	first := trayOf(1, 1, 4)
	second := trayOf(1, 1, 4)
	second.By, second.Report.Reference.Version = "cd", "3"
	second.Report.Fruit[1].Call.Stage += 0.4
	read := func(by string, fruit int, red float64) {
		t.Helper()
		if _, err := s.AddReadings(t.Context(), by, "North 3", picked, instrument.Reading{Fruit: fruit, Red: &red}); err != nil {
			t.Fatal(err)
		}
	}
	review := func(fruit int, r scoring.Review) {
		t.Helper()
		if err := s.Review(t.Context(), load(t, s).Trays[0], fruit, r); err != nil {
			t.Fatal(err)
		}
	}
	read("ab", 2, 40)
	store(t, s, first, Stored)
	review(2, scoring.Review{By: "ef"})
	review(3, scoring.Review{By: "ef"})
	read("ab", 2, 45)
	review(2, scoring.Review{By: "gh", Override: true, Stage: 3.3, Why: "bruised"})
	store(t, s, second, ScoredAgain)
	read("ab", 1, 90)
	if err := s.StrikeReadings(t.Context(), "ij", "North 3", picked, 2, "mixed up"); err != nil {
		t.Fatal(err)
	}
	review(2, scoring.Review{By: "gh"})

	entries, err := s.History(t.Context(), "North 3", picked, 2)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range entries {
		got = append(got, e.told())
	}
	stage := first.Report.Fruit[1].Call.Stage
	want := []string{
		"ab red 40", fmt.Sprintf("ab set 2 %.4f", stage), "ef confirm", "ab red 45", "gh override 3.3 bruised",
		fmt.Sprintf("cd set 3 %.4f", stage+0.4), "ij strike mixed up", "gh confirm",
	}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	if step > 0 && !slices.IsSortedFunc(entries, func(a, b Entry) int { return a.At.Compare(b.At) }) {
		t.Error("entries are not in order of time")
	}
	sc := entries[1].Scoring
	if sc.Margin != first.Margins[2] || sc.Photo != "IMG_0001.JPG" || sc.PhotoHash != first.Report.PhotoHash ||
		sc.SetDigest != first.SetDigest || sc.Program != "traystage 0.1.0" || sc.Fruit.Review != nil || len(sc.Fruit.Place.Outline) != 120 {
		t.Errorf("the first call: %+v", sc)
	}
}
