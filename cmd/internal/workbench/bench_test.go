package workbench

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"traystage/scoring"
	"traystage/scoring/instrument"
	"traystage/vision"
)

// newBench makes a season with the block Brook 5 whose photos all show the demo's
// tray: what they hold is told by the bytes alone.
func newBench(t *testing.T) *Bench {
	t.Helper()
	photo, err := os.ReadFile("../../../testdata/trays/larkfield_demo.jpg")
	if err != nil {
		t.Fatal(err)
	}
	tray, err := vision.Measure(photo, vision.Options{})
	if err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(t.TempDir(), "season")
	if err := NewSeason(t.Context(), dir, "hm", "Larkfield"); err != nil {
		t.Fatal(err)
	}
	b, err := Open(t.Context(), Config{Season: dir, Sets: t.TempDir(), Program: "traystage test"})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { b.Close() })
	b.Measure = func(context.Context, []byte, vision.Options) (vision.Tray, error) { return tray, nil }
	b.Now = func() time.Time { return on(t, "2026-09-14").Add(10 * time.Hour) }
	if err := b.AddBlock(t.Context(), Act{By: "hm"}, scoring.Block{Name: "Brook 5", Variety: "Gala", Market: "long CA"}); err != nil {
		t.Fatal(err)
	}
	return b
}

// Several phones at once never give two fruit one number, and what one of them sends
// twice is one tray.
func TestSeveralAtOnce(t *testing.T) {
	b := newBench(t)
	const phones = 8
	var wait sync.WaitGroup
	errs := make([]error, 2*phones)
	for i := range errs {
		wait.Go(func() {
			n := i % phones
			_, errs[i] = b.Store(t.Context(), SampleTray{
				Act: Act{By: "hm", Anyway: "one tray stands for many", Sending: fmt.Sprint("phone ", n)}, Block: "brook 5",
			}, PhotoBytes(fmt.Sprintf("%d.jpg", n), []byte{byte(n), 1}))
		})
	}
	wait.Wait()
	if err := errors.Join(errs...); err != nil {
		t.Fatal(err)
	}
	s, err := b.Sample(t.Context(), "Brook 5", time.Time{})
	if err != nil || len(s.Trays) != phones {
		t.Fatalf("%d trays, %v; want %d", len(s.Trays), err, phones)
	}
	var numbers []int
	for _, f := range s.Fruit() {
		numbers = append(numbers, f.Number)
	}
	slices.Sort(numbers)
	for i, n := range numbers {
		if n != i+1 {
			t.Fatalf("numbers %v have a gap or one twice at %d", numbers, n)
		}
	}
}

// A refusal writes nothing; insisted on, the reason and the objections are kept.
func TestRefusal(t *testing.T) {
	b := newBench(t)
	tray := SampleTray{Act: Act{By: "hm"}, Block: "Brook 5", Picked: on(t, "2026-09-01")}
	photo := PhotoBytes("tray.jpg", []byte("photo"))
	_, err := b.Store(t.Context(), tray, photo)
	var refusal Refusal
	if !errors.As(err, &refusal) || len(refusal.Notes) != 1 || refusal.Notes[0].Code != PickedLongBefore || refusal.About != "tray.jpg" {
		t.Fatalf("%v", err)
	}
	if _, err := b.Sample(t.Context(), "Brook 5", time.Time{}); !errors.Is(err, ErrNoSample) {
		t.Errorf("after a refusal: %v", err)
	}
	tray.Anyway = "the box says so"
	if _, err := b.Store(t.Context(), tray, photo); err != nil {
		t.Fatal(err)
	}
	events, err := b.Events(t.Context(), "Brook 5", time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(events, func(e Told) bool { return e.Anyway == "the box says so" })
	if i < 0 || len(events[i].Objections) != 1 || !events[i].Objections[0].Equal(refusal.Notes[0]) {
		t.Errorf("what was insisted on is not told: %+v", events)
	}
}

// Who looks for halves is told how many were counted; another number is refused all the same, with a
// picture. A fruit that was not cut keeps its number.
func TestCounted(t *testing.T) {
	b := newBench(t)
	photo, err := os.ReadFile("../../../testdata/trays/larkfield_demo.jpg")
	if err != nil {
		t.Fatal(err)
	}
	measure, told := b.Measure, 0
	b.Measure = func(ctx context.Context, photo []byte, opt vision.Options) (vision.Tray, error) {
		told = opt.Halves
		return measure(ctx, photo, opt)
	}
	tray := SampleTray{Act: Act{By: "hm"}, Block: "Brook 5", Halves: 11}
	var wrong Miscounted
	if _, err := b.Store(t.Context(), tray, PhotoBytes("tray.jpg", photo)); !errors.As(err, &wrong) || wrong.Want != 11 || wrong.Found != 12 || len(wrong.Picture) == 0 {
		t.Fatalf("%v", err)
	}
	if told != tray.Halves {
		t.Errorf("%d halves are looked for, want %d", told, tray.Halves)
	}
	tray.Halves, tray.Without = 12, []int{7, 12}
	kept, err := b.Store(t.Context(), tray, PhotoBytes("tray.jpg", photo))
	if want := []int{1, 2, 3, 4, 5, 6, 8, 9, 10, 11, 13, 14}; err != nil || !slices.Equal(kept.Numbers, want) {
		t.Errorf("%v, %v, want %v", kept.Numbers, err, want)
	}
}

// A sheet that comes first waits for its tray, which must not have more halves than
// the sheet has rows.
func TestSheetWaits(t *testing.T) {
	b := newBench(t)
	act := Act{By: "hm"}
	readings := sheetOf(instrument.PoundForce, 16.5, 12)[:11]
	entered, _, err := b.EnterReadings(t.Context(), Readings{
		Act: act, Block: "Brook 5", Picked: on(t, "2026-09-14"), Source: "sheet.csv", Whole: true, Sheets: []instrument.Sheet{{Readings: readings}},
	})
	if err != nil || len(entered) != 1 || !entered[0].Waiting {
		t.Fatalf("%+v, %v", entered, err)
	}
	tray := SampleTray{Act: act, Block: "Brook 5", Picked: on(t, "2026-09-13")}
	kept, err := b.Store(t.Context(), tray, PhotoBytes("other.jpg", []byte("other")))
	if err != nil || len(kept.Waiting) != 1 || !kept.Waiting[0].Equal(on(t, "2026-09-14")) {
		t.Fatalf("a tray of another day: %v, %v; want it to tell of the sheet", kept.Waiting, err)
	}
	if _, err := b.StrikeTray(t.Context(), act, "Brook 5", "other.jpg", "slip"); err != nil {
		t.Fatal(err)
	}
	tray.Picked = on(t, "2026-09-14")
	var refusal Refusal
	if _, err := b.Store(t.Context(), tray, PhotoBytes("tray.jpg", []byte("tray"))); !errors.As(err, &refusal) || refusal.Notes[0].Code != MoreThanSheet {
		t.Fatalf("%v", err)
	}
	tray.Anyway = "the twelfth was not read"
	if kept, err = b.Store(t.Context(), tray, PhotoBytes("tray.jpg", []byte("tray"))); err != nil || len(kept.Waiting) != 0 {
		t.Fatalf("%v, %v", kept.Waiting, err)
	}
	s, err := b.Sample(t.Context(), "Brook 5", time.Time{})
	if err != nil || len(s.Readings) != 11 || len(s.Fruit()) != 12 {
		t.Errorf("%d readings, %d halves, %v", len(s.Readings), len(s.Fruit()), err)
	}
}

func TestSettings(t *testing.T) {
	b := newBench(t)
	act := Act{By: "hm"}
	for name, value := range map[string]string{"unit": "kg", "wait": "1,5", "tip": "7/16", "compensated": "yes", "initials": "jo", "language": "es"} {
		if err := b.Set(t.Context(), act, name, value); err != nil {
			t.Errorf("%s %s: %v", name, value, err)
		}
	}
	s, err := b.Settings(t.Context())
	if err != nil || s.Unit != "kgf" || s.Wait != 90*time.Second || s.Tip < 11 || s.Tip > 11.2 || !s.Compensated || s.Initials != "jo" || s.Language != "es" {
		t.Errorf("%+v, %v", s, err)
	}
	for name, value := range map[string]string{"unit": "stone", "wait": "soon", "tip": "-1", "compensated": "perhaps", "language": "xx", "colour": "red"} {
		if err := b.Set(t.Context(), act, name, value); err == nil {
			t.Errorf("%s %s: is taken", name, value)
		}
	}
	if err := b.Set(t.Context(), Act{}, "unit", ""); err != nil { // signed by the initials that are set
		t.Error(err)
	}
}
