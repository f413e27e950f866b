package ledger

import (
	"errors"
	"reflect"
	"slices"
	"testing"

	"traystage/scoring"
)

// What a person said of a fruit holds when its tray is scored again, as far as it
// can: what cannot is told.
func TestReviewsGoOverToTheSameFruit(t *testing.T) {
	override := scoring.Review{By: "ef", Override: true, Stage: 5.5, Why: "bruised"}
	for _, row := range []struct {
		name   string
		review scoring.Review
		change func(*Tray)
		fruit  int // that has the review then; 0 for none
		why    Loss
	}{
		{"confirmed, called alike", scoring.Review{By: "ef"}, func(t *Tray) { t.Report.Fruit[1].Call.Stage += 0.05 }, 2, ""},
		{"confirmed, called otherwise", scoring.Review{By: "ef"}, func(t *Tray) {
			c := &t.Report.Fruit[1].Call
			c.Stage, c.Low, c.High = c.Stage+1, c.Low+1, c.High+1
		}, 0, CallMoved},
		{"confirmed, and no call any more", scoring.Review{By: "ef"}, func(t *Tray) { t.Report.Fruit[1].Clipped = true }, 0, CallMoved},
		{"overridden, called otherwise", override, func(t *Tray) { t.Report.Fruit[1].Call.Stage += 1 }, 2, ""},
		{"another set", override, func(t *Tray) { t.Report.Reference.Name = "fuji" }, 0, OtherSet},
		{"another scale", override, func(t *Tray) { t.Report.Reference.Scale.Clear = 10 }, 0, OtherSet},
		{"numbered otherwise", override, func(t *Tray) { *t = t.numbered([]int{11, 12, 13, 14}) }, 12, ""},
		{"a half more before it", override, func(t *Tray) {
			t.Report.Fruit = append(trayOf(77, 5, 1).Report.Fruit, t.Report.Fruit...)
			*t = t.numbered([]int{1, 2, 3, 4, 5})
		}, 3, ""},
		{"found a little beside", override, func(t *Tray) { t.Report.Fruit[1].Place.Centre[0] += 20 }, 2, ""},
		{"its half gone", override, func(t *Tray) { t.Report.Fruit = slices.Delete(t.Report.Fruit, 1, 2) }, 0, HalfGone},
		{"its half elsewhere", override, func(t *Tray) { t.Report.Fruit[1].Place.Centre[0] += 2000 }, 0, HalfGone},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := newSeason(t)
			store(t, s, trayOf(1, 1, 4), Stored)
			must(t, s.Review(t.Context(), load(t, s).Trays[0], 2, row.review))
			given := *load(t, s).Trays[0].Fruit[1].Review
			again := trayOf(1, 1, 4)
			again.Report.Reference.Version = "3"
			row.change(&again)
			kept, err := s.StoreTray(t.Context(), again)
			if err != nil {
				t.Fatal(err)
			}
			want := []Carry{{Was: 2, Fruit: row.fruit, Review: given, Why: row.why}}
			got := kept.Carried
			if row.why != "" {
				got = kept.Lost
				want[0].Fruit = got[0].Fruit
			}
			if !reflect.DeepEqual(got, want) || len(kept.Carried)+len(kept.Lost) != 1 {
				t.Errorf("carried %+v, lost %+v; want %+v", kept.Carried, kept.Lost, want)
			}
			for _, f := range load(t, s).Trays[0].Fruit {
				if has := f.Review != nil; has != (f.Number == row.fruit) {
					t.Errorf("fruit %d has a review: %t", f.Number, has)
				} else if has && *f.Review != given {
					t.Errorf("%+v became %+v", given, *f.Review)
				}
			}
		})
	}
}

// Reviews are a pile: each undoing takes one away.
func TestUndoReview(t *testing.T) {
	s := newSeason(t)
	tray := trayOf(1, 1, 2)
	store(t, s, tray, Stored)
	stage := func() any {
		if r := load(t, s).Trays[0].Fruit[0].Review; r != nil {
			return r.Stage
		}
		return nil
	}
	give := func(x float64) {
		t.Helper()
		must(t, s.Review(t.Context(), load(t, s).Trays[0], 1, scoring.Review{By: "ef", Override: true, Stage: x, Why: "seen"}))
	}
	undo := func(want any) {
		t.Helper()
		must(t, s.UndoReview(t.Context(), "gh", tray.Report.PhotoHash, 1, "slip"))
		if got := stage(); got != want {
			t.Errorf("%v counts, want %v", got, want)
		}
	}
	give(2)
	give(3)
	give(4)
	undo(3.0)
	undo(2.0)
	give(5)
	undo(2.0)
	// What counts goes over to another scoring, and can be taken back there too.
	again := tray
	again.Report.Reference.Version = "3"
	store(t, s, again, ScoredAgain)
	if got := stage(); got != 2.0 {
		t.Errorf("%v counts", got)
	}
	undo(nil)
	wantError(t, s.UndoReview(t.Context(), "gh", tray.Report.PhotoHash, 1, "x"), ErrNotFound, "nothing to take back")
	give(6)
	if got := stage(); got != 6.0 {
		t.Errorf("%v counts", got)
	}
	entries, err := s.History(t.Context(), "North 3", picked, 1)
	undone := 0
	for _, e := range entries {
		if e.Undone {
			undone++
		}
	}
	if err != nil || len(entries) != 11 || undone != 4 {
		t.Errorf("%d entries, %d of them undoings, %v", len(entries), undone, err)
	}
}

// Nobody's review is written over by who has not seen it.
func TestStaleReview(t *testing.T) {
	s := newSeason(t)
	store(t, s, trayOf(1, 1, 2), Stored)
	seen := load(t, s).Trays[0]
	first := scoring.Review{By: "ef", Override: true, Stage: 3, Why: "seen"}
	must(t, s.Review(t.Context(), seen, 1, first))
	err := s.Review(t.Context(), seen, 1, scoring.Review{By: "gh"})
	wantError(t, err, ErrStale, "fruit 1", "stage 3.0", "by ef")
	var stale *StaleError
	if !errors.As(err, &stale) || stale.Seen == nil || stale.Seen.Review != nil || stale.Now.Review == nil || stale.Now.Review.Stage != 3 {
		t.Errorf("%+v", stale)
	}
	must(t, s.Review(t.Context(), seen, 2, scoring.Review{By: "gh"})) // of another fruit
	now := load(t, s).Trays[0]
	version := Version(now, now.Fruit[0])
	must(t, s.ReviewVersion(t.Context(), now.PhotoHash, 1, version, scoring.Review{By: "gh"}))
	err = s.ReviewVersion(t.Context(), now.PhotoHash, 1, version, scoring.Review{By: "ij"})
	wantError(t, err, ErrStale, "confirmed by gh")
	if !errors.As(err, &stale) || stale.Seen != nil || stale.Now.Review.By != "gh" {
		t.Errorf("%+v", stale)
	}
}
