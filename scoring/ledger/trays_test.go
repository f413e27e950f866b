package ledger

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"testing"
	"time"

	"traystage/scoring"
	"traystage/vision/note"
)

func TestSamePhotoIsOneTray(t *testing.T) {
	s := newSeason(t)
	tray := trayOf(1, 1, 4)
	store(t, s, tray, Stored)
	again := tray
	again.Report.Photo = "upload.jpg" // a phone may call it otherwise
	again.Report.Summary.Mean = 99    // made from the calls, so it tells nothing new
	again.By = "xy"
	store(t, s, again, AlreadyHere)
	for table, want := range map[string]int{"tray": 1, "scoring": 1, "half": 4, "outline": 4} {
		if got := count(t, s, table); got != want {
			t.Errorf("%d rows of %s, want %d", got, table, want)
		}
	}
}

func TestScoredAgainKeepsEarlierCalls(t *testing.T) {
	s := newSeason(t)
	first := trayOf(1, 1, 4)
	store(t, s, first, Stored)
	if err := s.Review(t.Context(), load(t, s).Trays[0], 1, scoring.Review{By: "ef"}); err != nil {
		t.Fatal(err)
	}
	second := trayOf(1, 1, 4)
	second.Report.Reference.Version, second.SetDigest = "3", hashOf([]byte("gala 3"))
	second.Report.Fruit[0].Call.Stage += 0.5
	second.Report.Summary = scoring.Summarize(second.Report.Fruit, second.Report.Reference, 0)
	store(t, s, second, ScoredAgain)
	store(t, s, second, AlreadyHere)
	if got := load(t, s).Trays; len(got) != 1 || !reflect.DeepEqual(got[0], second.Report) {
		t.Errorf("what counts is %+v\nwant %+v", got, second.Report)
	}
	entries, err := s.History(t.Context(), "North 3", picked, 1)
	if err != nil || len(entries) != 3 {
		t.Fatalf("%+v, %v", entries, err)
	}
	if c := entries[0].Scoring; c == nil || c.Reference.Version != "2" || !reflect.DeepEqual(c.Fruit, first.Report.Fruit[0]) ||
		c.SetDigest != first.SetDigest || c.PhotoHash != first.Report.PhotoHash || c.Margin != first.Margins[1] || c.Program != "traystage 0.1.0" || entries[0].By != "ab" {
		t.Errorf("first call: %+v", entries[0])
	}
	if entries[1].Review == nil || entries[1].By != "ef" {
		t.Errorf("review: %+v", entries[1])
	}
	if c := entries[2].Scoring; c == nil || c.Reference.Version != "3" {
		t.Errorf("second call: %+v", entries[2])
	}
	// What differs in anything that is kept is another scoring.
	for name, change := range map[string]func(*Tray){
		"program": func(t *Tray) { t.Report.Program = "traystage 0.2.0" },
		"margin":  func(t *Tray) { t.Margins = map[int]Margin{1: {0.2, 0.4}} },
		"outline": func(t *Tray) { t.Report.Fruit[0].Place.Outline = t.Report.Fruit[0].Place.Outline[1:] },
	} {
		other := trayOf(1, 1, 4)
		change(&other)
		if got, err := s.StoreTray(t.Context(), other); got.Outcome != ScoredAgain || err != nil {
			t.Errorf("another %s: %q, %v", name, got.Outcome, err)
		}
	}
}

// A set that was replaced under its name and version is noticed when it is used.
func TestReplacedSet(t *testing.T) {
	s := newSeason(t)
	store(t, s, trayOf(1, 1, 4), Stored)
	replaced := trayOf(1, 1, 4)
	replaced.SetDigest = "other"
	_, err := s.StoreTray(t.Context(), replaced)
	wantError(t, err, ErrReplaced, "gala", "version 2", "last backup")
	if got, err := s.With(Beside{Anyway: "the file was mended"}).StoreTray(t.Context(), replaced); got.Outcome != ScoredAgain || err != nil {
		t.Errorf("insisted: %q, %v", got.Outcome, err)
	}
	next := trayOf(2, 5, 4)
	_, err = s.StoreTray(t.Context(), next)
	wantError(t, err, ErrReplaced, "IMG_0002.JPG") // the one insisted on is the one from now on
	next.SetDigest = "other"
	store(t, s, next, Stored)
}

func TestStoreTrayRefuses(t *testing.T) {
	s := newSeason(t)
	store(t, s, trayOf(1, 1, 4), Stored)
	addSample(t, s, "South 1", picked)
	for _, row := range []struct {
		name   string
		seed   int
		change func(*Tray)
		kind   error
		words  []string
	}{
		{"another sample", 1, func(t *Tray) { t.Block = "South 1" }, ErrTaken, []string{"IMG_0001.JPG", `block "North 3" picked on 2026-09-14`, `"South 1"`}},
		{"numbers of another tray", 2, nil, ErrTaken, []string{"fruit 1, 2, 3 and 4", "IMG_0001.JPG", "from 5"}},
		{"no such block", 3, func(t *Tray) { t.Block = "East" }, ErrNotFound, []string{`"East"`}},
		{"no such day", 3, func(t *Tray) { t.Picked = picked.AddDate(0, 0, 1) }, ErrNotFound, []string{"2026-09-15"}},
		{"no photo", 3, func(t *Tray) { t.Photo = nil }, nil, []string{"no bytes"}},
		{"report on another photo", 3, func(t *Tray) { t.Photo = photoOf(4, 10) }, nil, []string{"another photo"}},
		{"no halves", 3, func(t *Tray) { t.Report.Fruit = nil }, nil, []string{"no halves"}},
		{"nobody", 3, func(t *Tray) { t.By = " " }, nil, []string{"initials"}},
		{"no program", 3, func(t *Tray) { t.Report.Program = "" }, nil, []string{"program"}},
		{"number 0", 3, func(t *Tray) { t.Report.Fruit[0].Number = 0 }, nil, []string{"numbered from 1"}},
		{"a number twice", 3, func(t *Tray) { t.Report.Fruit[0].Number = 2 }, nil, []string{"two halves have the number 2"}},
		{"no number", 3, func(t *Tray) { t.Report.Fruit[1].Zones[2] = math.NaN() }, nil, []string{"half 2", "no number"}},
		{"endless outline", 3, func(t *Tray) { t.Report.Fruit[1].Place.Outline[0][1] = math.Inf(1) }, nil, []string{"half 2"}},
	} {
		tray := trayOf(row.seed, 1, 4)
		if row.change != nil {
			row.change(&tray)
		}
		t.Run(row.name, func(t *testing.T) {
			_, err := s.StoreTray(t.Context(), tray)
			wantError(t, err, row.kind, row.words...)
		})
	}
	if n := count(t, s, "tray"); n != 1 {
		t.Errorf("%d trays, want the first one only", n)
	}
	if found, err := s.Check(t.Context()); err != nil || len(found) > 0 {
		t.Errorf("what was refused left traces: %v, %v", found, err)
	}
}

func TestTraysComeInOrderOfFruit(t *testing.T) {
	s := newSeason(t)
	store(t, s, trayOf(1, 11, 3), Stored)
	store(t, s, trayOf(2, 1, 10), Stored)
	for i, f := range load(t, s).Fruit() {
		if f.Number != i+1 {
			t.Errorf("fruit %d in place %d", f.Number, i+1)
		}
	}
}

// The tester may number the halves otherwise than in reading order, which stays.
func TestReadingOrderStays(t *testing.T) {
	s := newSeason(t)
	tray := trayOf(1, 1, 3)
	for i, n := range []int{3, 1, 2} {
		tray.Report.Fruit[i].Number = n
	}
	store(t, s, tray, Stored)
	for i, f := range load(t, s).Trays[0].Fruit {
		if want := []int{3, 1, 2}[i]; f.Number != want {
			t.Errorf("place %d: fruit %d, want %d", i, f.Number, want)
		}
	}
}

func TestPhotoIsKept(t *testing.T) {
	s := newSeason(t)
	tray := trayOf(1, 1, 4)
	store(t, s, tray, Stored)
	hash := tray.Report.PhotoHash
	path := filepath.Join(s.Dir(), "photos", hash[:2], hash+".jpg")
	if kept, err := os.ReadFile(path); err != nil || !bytes.Equal(kept, tray.Photo) {
		t.Errorf("%s: %v", path, err)
	}
	if got, err := s.Photo(t.Context(), hash); err != nil || !bytes.Equal(got, tray.Photo) {
		t.Errorf("%v", err)
	}
	if err := os.WriteFile(path, []byte("other"), 0o644); err != nil {
		t.Fatal(err)
	}
	_, err := s.Photo(t.Context(), hash)
	wantError(t, err, ErrDamaged, path, "last backup")
	_, err = s.Photo(t.Context(), hashOf(nil))
	wantError(t, err, ErrNotFound)
	// The photo that is sent again heals it.
	store(t, s, tray, AlreadyHere)
	if _, err := s.Photo(t.Context(), hash); err != nil {
		t.Errorf("after it was sent again: %v", err)
	}
}

func TestPhotoFile(t *testing.T) {
	hash := hashOf(nil)
	for name, want := range map[string]string{
		"IMG.JPG": ".jpg", "a.heic": ".heic", "none": "", "x.../..": "", "a.tar/../b": "", "b.jpg\x00": "", "c.toolong": "", ".jpg": ".jpg",
	} {
		if got := photoFile(hash, name); got != "e3/"+hash+want {
			t.Errorf("%q: %s", name, got)
		}
	}
}

func TestReview(t *testing.T) {
	s := newSeason(t)
	tray := trayOf(1, 1, 4)
	tray.Report.Fruit[2].Unscored = note.New(scoring.NoFlesh)
	store(t, s, tray, Stored)
	seen := load(t, s).Trays[0]
	for _, row := range []struct {
		fruit int
		r     scoring.Review
		words []string
	}{
		{1, scoring.Review{}, []string{"initials"}},
		{1, scoring.Review{Override: true, Stage: 3, By: "ef"}, []string{"reason"}},
		{1, scoring.Review{Override: true, Stage: 8.1, By: "ef", Why: "x"}, []string{"stage 8.1", "1 to 8"}},
		{1, scoring.Review{Override: true, Stage: math.NaN(), By: "ef", Why: "x"}, []string{"NaN"}},
		{3, scoring.Review{By: "ef"}, []string{"fruit 3", "no call to confirm"}},
		{9, scoring.Review{By: "ef"}, []string{"fruit 9"}},
	} {
		wantError(t, s.Review(t.Context(), seen, row.fruit, row.r), nil, row.words...)
	}
	for _, r := range []scoring.Review{
		{By: "ef"}, {Override: true, Stage: 2.5, By: "ef", Why: "the rim is bruised"}, {Override: true, Stage: 2.7, By: "gh", Why: "seen in daylight"},
	} {
		if err := s.Review(t.Context(), load(t, s).Trays[0], 1, r); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.Review(t.Context(), seen, 3, scoring.Review{Override: true, Stage: 4, By: "ef", Why: "by eye"}); err != nil {
		t.Error(err)
	}
	now := load(t, s).Trays[0]
	if f := now.Fruit[0]; f.Stage() != 2.7 || f.Review.By != "gh" || f.Call.Stage != tray.Report.Fruit[0].Call.Stage {
		t.Errorf("%+v, %+v", f.Review, f.Call)
	}
	if now.Summary.Mean == seen.Summary.Mean || now.Summary.N != 4 {
		t.Errorf("mean %v of %d, before %v of %d", now.Summary.Mean, now.Summary.N, seen.Summary.Mean, seen.Summary.N)
	}
	entries, err := s.History(t.Context(), "North 3", picked, 1)
	if err != nil || len(entries) != 4 || entries[2].Review.Stage != 2.5 || entries[3].Review.Stage != 2.7 {
		t.Errorf("%+v, %v", entries, err)
	}
}

// Nobody signs a call that came after they looked.
func TestReviewOfOldReportIsRefused(t *testing.T) {
	s := newSeason(t)
	tray := trayOf(1, 1, 4)
	store(t, s, tray, Stored)
	seen := load(t, s).Trays[0]
	tray.Report.Reference.Version = "3"
	store(t, s, tray, ScoredAgain)
	wantError(t, s.Review(t.Context(), seen, 1, scoring.Review{By: "ef"}), nil, "scored again since", "version 3", "fruit 1")
	if n := count(t, s, "review"); n != 0 {
		t.Errorf("%d reviews", n)
	}
}

// LoadAll gives what Load gives, but for what it says it leaves out.
func TestLoadAllAgreesWithLoad(t *testing.T) {
	s := fullSeason(t)
	addSample(t, s, "South 1", picked.AddDate(0, 0, 3))
	addSample(t, s, "North 3", picked.AddDate(0, 0, -3))
	var want []scoring.Sample
	for _, block := range []string{"Block 0", "North 3", "South 1"} {
		samples, err := s.Load(t.Context(), block)
		if err != nil {
			t.Fatal(err)
		}
		want = append(want, samples...)
	}
	for i := range want {
		for j := range want[i].Trays {
			tray := &want[i].Trays[j]
			tray.Summary = scoring.Summary{Wanted: tray.Summary.Wanted}
			for k := range tray.Fruit {
				f := &tray.Fruit[k]
				f.Place, f.Zones, f.Weights, f.Remarks = scoring.Place{}, nil, nil, nil
				f.Call.Between, f.Call.Reasons = [2]float64{}, nil
			}
		}
	}
	got, err := s.LoadAll(t.Context())
	if err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v, %v\nwant %+v", got, err, want)
	}
	if len(want) != 4 || !want[1].Picked.Before(want[2].Picked) {
		t.Errorf("%d samples, the first of %s", len(want), want[0].Picked.Format(time.DateOnly))
	}
}

// Whoever scores again finds one half fewer or more; numbers that this frees or
// takes are looked at in what counts now.
func TestScoredAgainWithOtherHalves(t *testing.T) {
	s := newSeason(t)
	four, three := trayOf(1, 1, 4), trayOf(1, 1, 3)
	store(t, s, four, Stored)
	store(t, s, three, ScoredAgain)
	store(t, s, trayOf(2, 4, 3), Stored)
	_, err := s.StoreTray(t.Context(), four)
	wantError(t, err, ErrTaken, "fruit 4", "IMG_0002.JPG", "from 7")
	if got := load(t, s).Trays; len(got) != 2 || len(got[0].Fruit) != 3 {
		t.Errorf("after the refusal: %+v", got)
	}
}

// What only the database refuses, after the photo is in its place, leaves no photo.
func TestRefusedByTheDatabase(t *testing.T) {
	s := newSeason(t)
	tray := trayOf(1, 1, 2)
	tray.Report.Reference.StainedDensity = math.NaN()
	if _, err := s.StoreTray(t.Context(), tray); err == nil {
		t.Fatal("a density that is no number was kept")
	}
	if _, err := os.Stat(s.photoPath(photoFile(tray.Report.PhotoHash, tray.Report.Photo))); !os.IsNotExist(err) {
		t.Errorf("the photo was left: %v", err)
	}
}
