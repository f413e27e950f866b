package workbench

import (
	"testing"
	"time"

	"traystage/calibrate"
	"traystage/scoring"
	"traystage/scoring/instrument"
	"traystage/vision/note"
)

func on(t *testing.T, text string) time.Time {
	t.Helper()
	if text == "" {
		return time.Time{}
	}
	day, err := time.Parse(time.DateOnly, text)
	if err != nil {
		t.Fatal(err)
	}
	return day
}

// taken is a sample with one tray photographed on a day.
func taken(t *testing.T, picked, photo string) scoring.Sample {
	return scoring.Sample{Picked: on(t, picked), Trays: []scoring.Report{{PhotoHash: picked, Taken: on(t, photo)}}}
}

func wantCodes(t *testing.T, name string, got []note.Note, want ...note.Code) {
	t.Helper()
	same := len(got) == len(want)
	for i := range got {
		same = same && got[i].Code == want[i]
	}
	if !same {
		t.Errorf("%s: %v, want %v", name, got, want)
	}
}

func TestDayObjections(t *testing.T) {
	others := []scoring.Sample{taken(t, "2026-09-07", "2026-09-07"), taken(t, "2026-09-21", "2026-09-21")}
	for name, c := range map[string]struct {
		picked, photo string
		want          []note.Code
	}{
		"of the day":                 {"2026-09-14", "2026-09-14", nil},
		"ten days before":            {"2026-09-10", "2026-09-20", nil},
		"eleven days before":         {"2026-09-09", "2026-09-20", []note.Code{PickedLongBefore}},
		"a day after":                {"2026-09-15", "2026-09-14", []note.Code{PickedAfterPhoto}},
		"the year before":            {"2025-09-14", "2026-09-14", []note.Code{PickedOtherYear}},
		"after today":                {"2026-10-14", "2026-09-14", []note.Code{PickedLater}},
		"a camera that runs ahead":   {"2026-09-26", "2026-09-27", nil},
		"before one, taken after it": {"2026-09-20", "2026-09-22", []note.Code{PickedBackwards}},
		"after one, taken before it": {"2026-09-21", "2026-09-21", nil},
		"no time, right year":        {"2026-09-14", "", nil},
		"no time, wrong year":        {"2027-09-14", "", []note.Code{PickedLater}},
		"no time, year before":       {"2025-09-14", "", []note.Code{PickedOtherYear}},
	} {
		got := dayObjections(on(t, c.picked), scoring.Report{PhotoHash: "new", Taken: on(t, c.photo)}, others, on(t, "2026-09-25"))
		wantCodes(t, name, got, c.want...)
	}
}

// staged is a sample whose fruit lie about a stage, a fifth of a stage apart.
func staged(t *testing.T, picked string, mean float64) scoring.Sample {
	r := scoring.Report{Reference: scoring.Reference{Name: "gala", Version: "1", Scale: calibrate.Scale{Stained: 1, Clear: 8, Step: 0.1}}}
	for n := 1; n <= 12; n++ {
		stage := mean + 0.2*float64(n%3-1)
		r.Fruit = append(r.Fruit, scoring.Fruit{Number: n, Call: calibrate.Call{Stage: stage, Low: stage - 0.3, High: stage + 0.3}})
	}
	return scoring.Sample{Picked: on(t, picked), Trays: []scoring.Report{r}}
}

func TestStageObjections(t *testing.T) {
	others := []scoring.Sample{staged(t, "2026-09-07", 3), staged(t, "2026-09-21", 5)}
	for name, c := range map[string]struct {
		picked string
		mean   float64
		want   []note.Code
	}{
		"on its way":                   {"2026-09-14", 4, nil},
		"a little less than before":    {"2026-09-14", 2.7, nil},
		"less than fruit can":          {"2026-09-14", 1.2, []note.Code{StageFalls}},
		"more than fruit can":          {"2026-09-08", 7.5, []note.Code{StageJumps}},
		"more than the one after":      {"2026-09-14", 6.8, []note.Code{StageFalls}},
		"the first one, far before":    {"2026-09-01", 1.4, nil},
		"the last one, clear by then":  {"2026-09-28", 7.6, nil},
		"the last one, stained again":  {"2026-09-28", 2, []note.Code{StageFalls}},
		"the same day, a second photo": {"2026-09-21", 5.1, nil},
	} {
		s := staged(t, c.picked, c.mean)
		wantCodes(t, name, stageObjections(s.Picked, s.Trays[0], others), c.want...)
	}
	other := staged(t, "2026-09-14", 1.2)
	other.Trays[0].Reference.Name = "ours"
	wantCodes(t, "another set", stageObjections(other.Picked, other.Trays[0], others))
}

// sheetOf makes readings of twelve fruit that differ a little.
func sheetOf(unit instrument.Unit, force, brix float64) []instrument.Reading {
	var out []instrument.Reading
	for n := 1; n <= 12; n++ {
		off := 0.3 * float64(n%5-2)
		out = append(out, instrument.Reading{Fruit: n,
			Firmness: &instrument.Firmness{Tip: instrument.AppleTip, Sides: []instrument.Force{{Value: force + off, Unit: unit}, {Value: force - off/2, Unit: unit}}},
			Solids:   &instrument.Solids{Brix: brix - off/2},
		})
	}
	return out
}

func TestSheetObjections(t *testing.T) {
	const lbf, kgf = instrument.PoundForce, instrument.KilogramForce
	before := scoring.Sample{Block: "Brook 5", Picked: on(t, "2026-09-07"), Readings: sheetOf(lbf, 17, 11.5)}
	mill := scoring.Sample{Block: "Mill Row", Picked: on(t, "2026-09-14"), Readings: sheetOf(lbf, 16.4, 12)}
	halves := staged(t, "2026-09-14", 4)
	halves.Block = "Brook 5"
	read := halves
	read.Readings = sheetOf(lbf, 16.5, 11.8)
	for name, c := range map[string]struct {
		sample   scoring.Sample
		readings []instrument.Reading
		whole    bool
		uncut    []int
		want     []note.Code
	}{
		"as expected":             {halves, sheetOf(lbf, 16.2, 11.9), true, nil, nil},
		"in another unit":         {halves, sheetOf(kgf, 7.4, 11.9), true, nil, nil},
		"the unit mistaken":       {halves, sheetOf(kgf, 16.2, 11.9), true, nil, []note.Code{SheetFar}},
		"columns exchanged":       {halves, sheetOf(lbf, 11.9, 16.2), true, nil, []note.Code{SheetSwapped}},
		"much too soft":           {halves, sheetOf(lbf, 9, 11.9), true, nil, []note.Code{SheetFar}},
		"much too sweet":          {halves, sheetOf(lbf, 16.2, 17.5), true, nil, []note.Code{SheetFar}},
		"that of another block":   {halves, sheetOf(lbf, 16.4, 12), true, nil, []note.Code{SheetOfOther}},
		"one row short":           {halves, sheetOf(lbf, 16.2, 11.9)[:11], true, nil, []note.Code{SheetMissing}},
		"a single fruit":          {halves, sheetOf(lbf, 16.2, 11.9)[3:4], false, nil, nil},
		"a number that none has":  {halves, []instrument.Reading{{Fruit: 13, Solids: &instrument.Solids{Brix: 12}}}, false, nil, []note.Code{SheetStray}},
		"a fruit not cut":         {halves, []instrument.Reading{{Fruit: 13, Solids: &instrument.Solids{Brix: 12}}}, false, []int{13}, nil},
		"the same sheet again":    {read, sheetOf(lbf, 16.5, 11.8), true, nil, nil},
		"another sheet":           {read, sheetOf(lbf, 16.1, 12.1), true, nil, []note.Code{SheetAgain}},
		"one fruit put right":     {read, sheetOf(lbf, 16.1, 12.1)[4:5], false, nil, nil},
		"before there is a photo": {scoring.Sample{}, sheetOf(lbf, 16.2, 11.9), true, nil, nil},
	} {
		l := sheetLook{
			Readings: Readings{Block: "Brook 5", Whole: c.whole, Uncut: c.uncut},
			sheet:    sheetEntry{picked: on(t, "2026-09-14"), readings: c.readings},
			season:   []scoring.Sample{before, mill, c.sample}, sample: c.sample, before: before,
		}
		wantCodes(t, name, l.objections(), c.want...)
	}
}
