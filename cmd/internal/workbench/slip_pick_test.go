package workbench

import (
	"errors"
	"path/filepath"
	"testing"
	"time"

	"traystage/scoring"
	"traystage/vision/note"
)

// Days on which a block cannot have been picked or have bloomed are objected to, and done when
// insisted on.
func TestDaysOfBlocks(t *testing.T) {
	ctx := t.Context()
	dir := filepath.Join(t.TempDir(), "larkfield")
	if err := NewSeason(ctx, dir, "hm", "Larkfield"); err != nil {
		t.Fatal(err)
	}
	b, err := Open(ctx, Config{Season: dir, Program: "test"})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	day := func(text string) time.Time {
		d, err := time.Parse(time.DateOnly, text)
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	b.Now = func() time.Time { return day("2026-09-25") }
	act := Act{By: "hm"}
	if err := b.AddBlock(ctx, act, scoring.Block{Name: "Brook 5", Variety: "Gala"}); err != nil {
		t.Fatal(err)
	}
	for _, d := range []string{"2026-09-07", "2026-09-14"} {
		if err := b.Season.AddSample(ctx, "hm", scoring.Sample{Block: "Brook 5", Picked: day(d), Tester: "hm"}); err != nil {
			t.Fatal(err)
		}
	}
	objects := func(what string, err error, want note.Code) {
		t.Helper()
		var slip Refusal
		switch {
		case want == "" && err != nil:
			t.Errorf("%s: %v", what, err)
		case want != "" && (!errors.As(err, &slip) || slip.Notes[0].Code != want):
			t.Errorf("%s: %v, want %s", what, err, want)
		}
	}
	pick := func(text string, part bool, want note.Code) {
		t.Helper()
		_, err := b.PickBlock(ctx, act, "brook 5", Picking{Day: day(text), Part: part})
		objects("picked "+text, err, want)
	}
	pick("2026-09-26", false, PickedLater)
	pick("2025-09-20", false, PickedOtherYear)
	pick("2026-09-10", false, PickBeforeSample)
	pick("2026-09-10", true, "")
	pick("2026-09-22", false, "")
	pick("2026-09-23", false, PickAgain)
	for text, want := range map[string]note.Code{"2026-04-24": "", "2026-09-28": BloomLater, "2025-04-24": BloomOtherYear, "2026-09-10": BloomAfterSample} {
		objects("bloom "+text, b.SetBloom(ctx, act, "Brook 5", day(text)), want)
	}
	for text, want := range map[string]note.Code{"2026-09-28": "", "2027-09-28": HarvestOtherYear} {
		objects("harvest "+text, b.ChangeBlock(ctx, act, "Brook 5", func(s *scoring.Block) error { s.Harvest = day(text); return nil }), want)
		objects("harvest of another "+text, b.AddBlock(ctx, act, scoring.Block{Name: "Block of " + text, Harvest: day(text)}), want)
	}
	objects("insisted on", b.SetBloom(ctx, Act{By: "hm", Anyway: "so it was"}, "Brook 5", day("2026-09-10")), "")
	b.Now = func() time.Time { return day("2026-08-01") } // a clock that is behind tells nothing
	pick("2026-09-26", false, PickAgain)
}
