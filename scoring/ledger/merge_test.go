package ledger

import (
	"reflect"
	"slices"
	"testing"
	"time"

	"traystage/scoring"
	"traystage/scoring/instrument"
)

func brix(fruit int, x float64) instrument.Reading {
	return instrument.Reading{Fruit: fruit, Solids: &instrument.Solids{Brix: x}}
}

// brixOf gives what counts as read of each fruit of a sample.
func brixOf(sample *scoring.Sample) map[int]float64 {
	out := map[int]float64{}
	if sample == nil {
		return nil
	}
	for _, r := range sample.Readings {
		out[r.Fruit] = r.Solids.Brix
	}
	return out
}

// read enters a sheet and gives its batch.
func read(t testing.TB, s *Season, day int, all ...instrument.Reading) int64 {
	t.Helper()
	e, err := s.EnterReadings(t.Context(), "ab", Readings{Block: "North 3", Picked: nextDay(day), Source: "sheet.csv", Head: &scoring.Sample{}, All: all})
	if err != nil || e.Batch == 0 {
		t.Fatalf("%+v, %v", e, err)
	}
	return e.Batch
}

func TestMergeSamples(t *testing.T) {
	s := newSeason(t)
	addSample(t, s, "North 3", nextDay(1))
	other := trayOf(2, 1, 3)
	other.Picked = nextDay(1)
	store(t, s, trayOf(1, 1, 4), Stored)
	store(t, s, other, Stored)
	read(t, s, 0, brix(1, 11), brix(2, 12))
	read(t, s, 1, brix(1, 13), brix(3, 14))
	must(t, s.Review(t.Context(), sampleOn(t, s, "North 3", 1).Trays[0], 2, scoring.Review{By: "ef"}))
	wantError(t, s.ChangeSample(t.Context(), "ab", "North 3", nextDay(1), scoring.Sample{Block: "North 3", Picked: picked}, ""), ErrTaken, "merge the two")
	_, err := s.MergeSamples(t.Context(), "ab", "North 3", picked, picked, "x")
	wantError(t, err, nil, "with itself")
	shift, err := s.MergeSamples(t.Context(), "ab", "North 3", nextDay(1), picked, "photographed after midnight")
	if err != nil || shift != 4 {
		t.Fatal(shift, err)
	}
	one := load(t, s)
	wantNumbers(t, &one, 1, 2, 3, 4, 5, 6, 7)
	if got := brixOf(&one); !reflect.DeepEqual(got, map[int]float64{1: 11, 2: 12, 5: 13, 7: 14}) {
		t.Errorf("readings %v", got)
	}
	if f := one.Fruit()[5]; f.Number != 6 || f.Review == nil || f.Review.By != "ef" {
		t.Errorf("%+v", f)
	}
	if found, err := s.Check(t.Context()); err != nil || len(found) > 0 {
		t.Errorf("%v, %v", found, err)
	}
	// The day it was is free again.
	addSample(t, s, "North 3", nextDay(1))
	wantError(t, s.RestoreTray(t.Context(), "ab", other.Report.PhotoHash, "x"), nil, "is not struck")
}

// A sheet on one day and its photo on another have no number in common that
// would be of two fruit.
func TestMergeSheetAndTray(t *testing.T) {
	s := newSeason(t)
	store(t, s, trayOf(1, 1, 3), Stored)
	read(t, s, 2, brix(1, 11), brix(2, 12))
	shift, err := s.MergeSamples(t.Context(), "ab", "North 3", nextDay(2), picked, "wrong day on the sheet")
	one := load(t, s)
	if got := brixOf(&one); err != nil || shift != 0 || !reflect.DeepEqual(got, map[int]float64{1: 11, 2: 12}) {
		t.Errorf("%d, %v, %v", shift, got, err)
	}
}

// A sheet that comes before its photo waits, and touches no other sample.
func TestSheetWaitsForItsTray(t *testing.T) {
	s := newSeason(t)
	store(t, s, trayOf(1, 1, 3), Stored)
	e, err := s.EnterReadings(t.Context(), "ab", Readings{Block: "North 3", Picked: nextDay(7), Head: &scoring.Sample{Tester: "xy"}, All: []instrument.Reading{brix(1, 11)}})
	if err != nil || !e.Waiting || e.Added != 1 {
		t.Fatalf("%+v, %v", e, err)
	}
	if all, err := s.LoadAll(t.Context()); err != nil || len(all) != 1 || len(all[0].Readings) != 0 {
		t.Errorf("%+v, %v", all, err)
	}
	if b, err := s.Batches(t.Context(), "North 3"); err != nil || len(b) != 1 || !b[0].Picked.Equal(nextDay(7)) || !slices.Equal(b[0].Fruit, []int{1}) {
		t.Errorf("%+v, %v", b, err)
	}
	tray := trayOf(2, 1, 3)
	tray.Picked, tray.Head = nextDay(7), &scoring.Sample{Tester: "jo", Wait: 2 * time.Minute}
	store(t, s, tray, Stored)
	got := sampleOn(t, s, "North 3", 7)
	if got == nil || len(got.Readings) != 1 || got.Tester != "jo" || got.Wait != 2*time.Minute {
		t.Errorf("%+v", got)
	}
	// A sheet that waited and was struck can be put back, to wait again.
	id := read(t, s, 9, brix(1, 13))
	must(t, s.StrikeBatch(t.Context(), "ab", id, "wrong"), s.RestoreBatch(t.Context(), "ab", id, "right"))
	tray = trayOf(3, 1, 3)
	tray.Picked, tray.Head = nextDay(9), &scoring.Sample{Tester: "jo"}
	store(t, s, tray, Stored)
	if got := brixOf(sampleOn(t, s, "North 3", 9)); got[1] != 13 {
		t.Errorf("%v", got)
	}
	_, err = s.EnterReadings(t.Context(), "ab", Readings{Block: "North 3", Picked: nextDay(8), All: []instrument.Reading{brix(1, 11)}})
	wantError(t, err, ErrNotFound, "2026-09-22")
}

func TestStrikeBatch(t *testing.T) {
	s := newSeason(t)
	store(t, s, trayOf(1, 1, 4), Stored)
	read(t, s, 0, brix(1, 11), brix(2, 12))
	second := read(t, s, 0, brix(2, 15), brix(3, 16))
	want := func(want map[int]float64) {
		t.Helper()
		one := load(t, s)
		if got := brixOf(&one); !reflect.DeepEqual(got, want) {
			t.Errorf("%v, want %v", got, want)
		}
	}
	want(map[int]float64{1: 11, 2: 15, 3: 16})
	must(t, s.StrikeBatch(t.Context(), "gh", second, "of South 1"))
	want(map[int]float64{1: 11, 2: 12}) // what the sheet corrected counts again
	wantError(t, s.StrikeBatch(t.Context(), "gh", second, "again"), nil, "struck already")
	wantError(t, s.StrikeBatch(t.Context(), "gh", 99, "x"), ErrNotFound, "99")
	must(t, s.RestoreBatch(t.Context(), "gh", second, "right after all"))
	want(map[int]float64{1: 11, 2: 15, 3: 16})
	must(t, s.MoveBatch(t.Context(), "gh", second, "North 3", picked, 2, "numbered from 3"))
	want(map[int]float64{1: 11, 2: 12, 4: 15, 5: 16})
	wantError(t, s.MoveBatch(t.Context(), "gh", second, "North 3", picked, -4, "x"), nil, "fruit 4 would be numbered 0")
	addSample(t, s, "South 1", picked)
	must(t, s.MoveBatch(t.Context(), "gh", second, "South 1", picked, -2, "of South 1"))
	want(map[int]float64{1: 11, 2: 12})
	if got := brixOf(sampleOn(t, s, "South 1", 0)); !reflect.DeepEqual(got, map[int]float64{2: 15, 3: 16}) {
		t.Errorf("%v", got)
	}
	must(t, s.StrikeReadings(t.Context(), "gh", "North 3", picked, 1, "mixed up"))
	want(map[int]float64{2: 12})
	batches, err := s.Batches(t.Context(), "North 3")
	if err != nil || len(batches) != 2 {
		t.Fatalf("%+v, %v", batches, err)
	}
	must(t, s.StrikeBatch(t.Context(), "gh", batches[1].ID, "was right"))
	want(map[int]float64{1: 11, 2: 12})
}
