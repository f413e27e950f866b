package ledger

import (
	"context"
	"errors"
	"reflect"
	"slices"
	"sync"
	"testing"
	"time"

	"traystage/scoring"
	"traystage/scoring/instrument"
)

// sampleOn gives the sample of a day, nil where none counts.
func sampleOn(t testing.TB, s *Season, block string, day int) *scoring.Sample {
	t.Helper()
	samples, err := s.Load(t.Context(), block)
	if err != nil {
		t.Fatal(err)
	}
	for i := range samples {
		if samples[i].Picked.Equal(nextDay(day)) {
			return &samples[i]
		}
	}
	return nil
}

// must fails the test where something went wrong.
func must(t testing.TB, errs ...error) {
	t.Helper()
	if err := errors.Join(errs...); err != nil {
		t.Fatal(err)
	}
}

// wantNumbers fails unless the fruit of a sample have these numbers, in order.
func wantNumbers(t testing.TB, sample *scoring.Sample, want ...int) {
	t.Helper()
	if sample == nil {
		t.Fatalf("there is no sample, want fruit %v", want)
	}
	var got []int
	for _, f := range sample.Fruit() {
		got = append(got, f.Number)
	}
	if !slices.Equal(got, want) {
		t.Errorf("fruit %v, want %v", got, want)
	}
}

// A photo that was sent to the wrong block goes where it belongs, with its reviews.
func TestTrayOfTheWrongBlock(t *testing.T) {
	s := newSeason(t)
	must(t, s.AddBlock(t.Context(), "ab", scoring.Block{Name: "South 1", Variety: "Fuji"}))
	store(t, s, trayOf(1, 1, 4), Stored)
	store(t, s, trayOf(2, 5, 4), Stored)
	hash := trayOf(2, 5, 4).Report.PhotoHash
	must(t, s.Review(t.Context(), load(t, s).Trays[1], 6, scoring.Review{By: "ef", Override: true, Stage: 3.5, Why: "bruised"}))
	numbers, err := s.MoveTray(t.Context(), "ab", hash, Destination{Block: "South 1", Picked: picked, Head: &scoring.Sample{Tester: "jo"}, Number: &Numbering{}}, "of South 1")
	if err != nil || !slices.Equal(numbers, []int{1, 2, 3, 4}) {
		t.Fatal(numbers, err)
	}
	wantNumbers(t, sampleOn(t, s, "North 3", 0), 1, 2, 3, 4)
	there := sampleOn(t, s, "South 1", 0)
	wantNumbers(t, there, 1, 2, 3, 4)
	if tray := there.Trays[0]; tray.Block != "South 1" || tray.Variety != "Fuji" || there.Tester != "jo" {
		t.Errorf("%s, %s, by %s", tray.Block, tray.Variety, there.Tester)
	}
	if r := there.Trays[0].Fruit[1].Review; r == nil || r.Stage != 3.5 || r.By != "ef" {
		t.Errorf("the review was lost: %+v", r)
	}
	again := trayOf(2, 5, 4)
	_, err = s.StoreTray(t.Context(), again)
	var taken *TakenError
	if !errors.As(err, &taken) || taken.Block != "South 1" || taken.Hash != hash || !taken.Picked.Equal(picked) {
		t.Errorf("%+v, %v", taken, err)
	}
	entries, err := s.History(t.Context(), "South 1", picked, 2)
	if err != nil || len(entries) != 3 || entries[0].Scoring.Fruit.Number != 6 || entries[1].Review == nil || entries[2].Scoring.Change != Numbered {
		t.Errorf("%+v, %v", entries, err)
	}
}

// Whatever loses its last tray counts no longer, or waits with its readings.
func TestSampleWithoutTrays(t *testing.T) {
	s := newSeason(t)
	hash := func(seed int) string { return trayOf(seed, 1, 1).Report.PhotoHash }
	store(t, s, trayOf(1, 1, 4), Stored)
	must(t, s.StrikeTray(t.Context(), "ab", hash(1), "of another year"))
	if got := sampleOn(t, s, "North 3", 0); got != nil {
		t.Errorf("a sample of nothing counts: %+v", got)
	}
	must(t, s.RestoreTray(t.Context(), "ab", hash(1), "of this year"))
	wantNumbers(t, sampleOn(t, s, "North 3", 0), 1, 2, 3, 4)
	red := 50.0
	_, err := s.AddReadings(t.Context(), "ab", "North 3", picked, instrument.Reading{Fruit: 1, Red: &red})
	must(t, err, s.StrikeTray(t.Context(), "ab", hash(1), "blurred"))
	if got := sampleOn(t, s, "North 3", 0); got != nil {
		t.Errorf("readings without a tray count: %+v", got)
	}
	store(t, s, trayOf(2, 1, 4), Stored)
	if got := sampleOn(t, s, "North 3", 0); got == nil || len(got.Readings) != 1 || len(got.Trays) != 1 {
		t.Errorf("with its new tray: %+v", got)
	}
	wantError(t, s.RestoreTray(t.Context(), "ab", hash(1), "both"), ErrTaken, "fruit 1, 2, 3 and 4")
	wantError(t, s.StrikeTray(t.Context(), "ab", hash(1), "twice"), nil, "is struck")
	wantError(t, s.StrikeTray(t.Context(), "ab", hash(2), " "), nil, "reason")
}

// A struck photo may be stored where it belongs; its first place keeps nothing.
func TestStruckPhotoIsStoredElsewhere(t *testing.T) {
	s := newSeason(t)
	addSample(t, s, "South 1", picked)
	first := trayOf(1, 1, 4)
	store(t, s, first, Stored)
	must(t, s.StrikeTray(t.Context(), "ab", first.Report.PhotoHash, "of South 1"))
	there := first
	there.Block = "South 1"
	store(t, s, there, PutBack)
	wantNumbers(t, sampleOn(t, s, "South 1", 0), 1, 2, 3, 4)
	if got := sampleOn(t, s, "North 3", 0); got != nil {
		t.Errorf("it is in two blocks: %+v", got)
	}
	rows, err := s.Trays(t.Context(), "South 1")
	if err != nil || len(rows) != 1 || !rows[0].Counts || rows[0].Photo != "IMG_0001.JPG" || !slices.Equal(rows[0].Numbers, []int{1, 2, 3, 4}) {
		t.Errorf("%+v, %v", rows, err)
	}
	// The same with a whole sample.
	must(t, s.StrikeSample(t.Context(), "ab", "South 1", picked, "all of it was North 3"))
	if rows, err := s.Trays(t.Context(), "South 1"); err != nil || len(rows) != 1 || rows[0].Counts {
		t.Errorf("%+v, %v", rows, err)
	}
	wantError(t, s.RestoreTray(t.Context(), "ab", first.Report.PhotoHash, "x"), nil, "put the sample back")
	first.Head = &scoring.Sample{}
	store(t, s, first, PutBack)
	wantNumbers(t, sampleOn(t, s, "North 3", 0), 1, 2, 3, 4)
	must(t, s.RestoreSample(t.Context(), "ab", "South 1", picked, "to see"))
	if got := sampleOn(t, s, "South 1", 0); got != nil {
		t.Errorf("the photo came back with its old sample: %+v", got)
	}
}

func TestNumbersAreSettledByTheLedger(t *testing.T) {
	s := newSeason(t)
	put := func(seed, n int, number Numbering, want ...int) {
		t.Helper()
		tray := trayOf(seed, 1, n)
		tray.Number = &number
		kept, err := s.StoreTray(t.Context(), tray)
		if err != nil || !slices.Equal(kept.Numbers, want) {
			t.Fatalf("%v, %v; want %v", kept.Numbers, err, want)
		}
	}
	put(1, 4, Numbering{}, 1, 2, 3, 4)
	put(2, 3, Numbering{Without: []int{6}}, 5, 7, 8)
	put(3, 2, Numbering{First: 21}, 21, 22)
	put(4, 2, Numbering{}, 23, 24)
	put(1, 4, Numbering{}, 1, 2, 3, 4) // again: it keeps them
	put(2, 3, Numbering{First: 11}, 11, 12, 13)
	for _, n := range []Numbering{{First: -1}, {First: highestNumber + 1}} {
		tray := trayOf(9, 1, 2)
		tray.Number = &n
		_, err := s.StoreTray(t.Context(), tray)
		wantError(t, err, nil, "numbered from 1")
	}
	tray := trayOf(9, 1, 2)
	tray.Number = &Numbering{First: 4}
	_, err := s.StoreTray(t.Context(), tray)
	wantError(t, err, ErrTaken, "fruit 4", "from 25")
	// The margins go with the fruit.
	entries, err := s.History(t.Context(), "North 3", picked, 12)
	if err != nil || entries[len(entries)-1].Scoring.Margin != trayOf(2, 1, 3).Margins[2] {
		t.Errorf("%+v, %v", entries, err)
	}
}

// Hands that store at once never get one number twice.
func TestNumbersOfManyHands(t *testing.T) {
	s := newSeason(t)
	now := s.Now()
	s.Now = func() time.Time { return now }
	var hands sync.WaitGroup
	for i := range 8 {
		hands.Go(func() {
			tray := trayOf(i, 1, 3)
			tray.Number = &Numbering{}
			if _, err := s.StoreTray(context.Background(), tray); err != nil {
				t.Error(err)
			}
		})
	}
	hands.Wait()
	want := make([]int, 24)
	for i := range want {
		want[i] = i + 1
	}
	sample := load(t, s)
	wantNumbers(t, &sample, want...)
}

func TestRenumberTray(t *testing.T) {
	s := newSeason(t)
	tray := trayOf(1, 1, 4)
	store(t, s, tray, Stored)
	store(t, s, trayOf(2, 5, 2), Stored)
	must(t, s.Review(t.Context(), load(t, s).Trays[0], 4, scoring.Review{By: "ef", Override: true, Stage: 5, Why: "seen"}))
	_, err := s.RenumberTray(t.Context(), "ab", tray.Report.PhotoHash, Numbering{First: 2, Without: []int{3}}, "")
	wantError(t, err, ErrTaken, "fruit 5")
	numbers, err := s.RenumberTray(t.Context(), "ab", tray.Report.PhotoHash, Numbering{First: 11, Without: []int{12}}, "fruit 12 was rotten")
	if err != nil || !slices.Equal(numbers, []int{11, 13, 14, 15}) {
		t.Fatal(numbers, err)
	}
	sample := load(t, s)
	wantNumbers(t, &sample, 5, 6, 11, 13, 14, 15)
	if f := sample.Trays[1].Fruit[3]; f.Review == nil || f.Review.Stage != 5 {
		t.Errorf("the review did not stay with its half: %+v", f)
	}
	want := tray.numbered(numbers).Report.Fruit
	got := slices.Clone(sample.Trays[1].Fruit)
	for i := range got {
		got[i].Review = nil
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v\nwant %+v", got, want)
	}
}

// A false half is taken out, a missed one put in, and the numbers close up.
func TestReviseTray(t *testing.T) {
	s := newSeason(t)
	tray := trayOf(1, 1, 4)
	missed := trayOf(7, 9, 1).Report.Fruit[0]
	tray.Report.Suspects = []scoring.Suspect{{Place: missed.Place}, {Place: trayOf(8, 1, 1).Report.Fruit[0].Place}}
	store(t, s, tray, Stored)
	must(t, s.Review(t.Context(), load(t, s).Trays[0], 4, scoring.Review{By: "ef"}))
	numbers, err := s.ReviseTray(t.Context(), "gh", tray.Report.PhotoHash,
		Revision{Strike: []int{2}, Add: []Addition{{Fruit: missed, Margin: Margin{0.1, 0.2}, Before: 3}}, Number: &Numbering{First: 1}}, "a knife lay there")
	if err != nil || !slices.Equal(numbers, []int{1, 2, 3, 4}) {
		t.Fatal(numbers, err)
	}
	got := load(t, s).Trays[0]
	if f := got.Fruit[1]; !f.ByHand || f.Place.Radius != missed.Place.Radius || f.Number != 2 {
		t.Errorf("added: %+v", f)
	}
	if f := got.Fruit[2]; f.ByHand || f.Stained != tray.Report.Fruit[2].Stained {
		t.Errorf("after it: %+v", f)
	}
	if f := got.Fruit[3]; f.Review == nil || f.Review.By != "ef" {
		t.Errorf("the review was lost: %+v", f)
	}
	if len(got.Suspects) != 1 || got.Suspects[0].Place.Radius == missed.Place.Radius {
		t.Errorf("%d suspects are left", len(got.Suspects))
	}
	for _, row := range []struct {
		rev   Revision
		words string
	}{
		{Revision{Strike: []int{9}}, "fruit 1, 2, 3 and 4"},
		{Revision{Strike: []int{1, 2, 3, 4}}, "strike the tray"},
		{Revision{Add: []Addition{{Fruit: missed, Before: 12}}}, "come before"},
		{Revision{Add: []Addition{{Fruit: got.Fruit[0]}}}, "two halves have the number 1"},
	} {
		_, err := s.ReviseTray(t.Context(), "gh", tray.Report.PhotoHash, row.rev, "x")
		wantError(t, err, nil, row.words)
	}
	events, err := s.Events(t.Context(), About{Block: "North 3"})
	if err != nil || !slices.ContainsFunc(events, func(e Event) bool {
		return e.Scored != nil && e.Scored.Change == Revised && slices.Equal(e.Scored.ByHand, []int{2}) && e.Why == "a knife lay there" && e.By == "gh"
	}) {
		t.Errorf("nothing tells of it: %v", err)
	}
}
