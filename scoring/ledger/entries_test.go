package ledger

import (
	"reflect"
	"testing"
	"time"

	"traystage/scoring"
	"traystage/scoring/instrument"
)

func TestBlocks(t *testing.T) {
	s := newSeason(t)
	for _, row := range []struct {
		by, name string
		kind     error
		words    string
	}{
		{"ab", "north 3", ErrTaken, "choose another name"},
		{"ab", "  ", nil, "needs a name"},
		{"", "East", nil, "initials"},
	} {
		wantError(t, s.AddBlock(t.Context(), row.by, scoring.Block{Name: row.name}), row.kind, row.words)
	}
	if n := count(t, s, "block"); n != 1 {
		t.Errorf("a block that was refused left a row: %d", n)
	}
	if err := s.AddBlock(t.Context(), "ab", scoring.Block{Name: "East"}); err != nil {
		t.Fatal(err)
	}
	wantError(t, s.ChangeBlock(t.Context(), "ab", "East", scoring.Block{Name: "North 3"}), ErrTaken, "North 3")
	wantError(t, s.ChangeBlock(t.Context(), "ab", "West", scoring.Block{Name: "West"}), ErrNotFound, "West")
}

func TestBlockKeepsItsHistory(t *testing.T) {
	s := newSeason(t)
	changed := scoring.Block{Name: "North 3a", Variety: "Fuji", Market: "fresh", Harvest: picked, Set: "fuji", Note: "planted 2015"}
	if err := s.ChangeBlock(t.Context(), "ef", "NORTH 3", changed); err != nil {
		t.Fatal(err)
	}
	entries, err := s.BlockHistory(t.Context(), "North 3a")
	if err != nil || len(entries) != 2 {
		t.Fatalf("%+v, %v", entries, err)
	}
	if e := entries[0]; e.Block.Name != "North 3" || e.By != "ab" || e.At.IsZero() {
		t.Errorf("first: %+v", e)
	}
	if e := entries[1]; e.Block != changed || e.By != "ef" || !e.At.After(entries[0].At) {
		t.Errorf("second: %+v", e)
	}
	// Its samples come along, and the name it had is free.
	samples, err := s.Load(t.Context(), "North 3a")
	if err != nil || len(samples) != 1 || samples[0].Block != "North 3a" {
		t.Errorf("%+v, %v", samples, err)
	}
	if err := s.AddBlock(t.Context(), "ab", scoring.Block{Name: "North 3"}); err != nil {
		t.Error(err)
	}
}

func TestSamples(t *testing.T) {
	s := newSeason(t)
	for _, row := range []struct {
		change func(*scoring.Sample)
		kind   error
		words  string
	}{
		{func(*scoring.Sample) {}, ErrTaken, "2026-09-14"},
		{func(s *scoring.Sample) { s.Picked = time.Time{} }, nil, "no day"},
		{func(s *scoring.Sample) { s.Tested = picked.AddDate(0, 0, -1) }, nil, "2026-09-13"},
		{func(s *scoring.Sample) { s.Wait = -time.Minute }, nil, "after the photo"},
		{func(s *scoring.Sample) { s.Block = "East" }, ErrNotFound, "East"},
		{func(s *scoring.Sample) { s.Readings = make([]instrument.Reading, 1) }, nil, "one by one"},
	} {
		head := scoring.Sample{Block: "North 3", Picked: picked, Tester: "ab"}
		row.change(&head)
		wantError(t, s.AddSample(t.Context(), "ab", head), row.kind, row.words)
	}
	addSample(t, s, "South 1", picked)
	head := scoring.Sample{Block: "North 3", Picked: picked.AddDate(0, 0, 1), Tested: picked.AddDate(0, 0, 2), Tester: "gh", Wait: 2 * time.Minute, Note: "rain"}
	if err := s.ChangeSample(t.Context(), "ef", "North 3", picked, head, ""); err != nil {
		t.Fatal(err)
	}
	if got := load(t, s); !reflect.DeepEqual(got, head) {
		t.Errorf("got %+v, want %+v", got, head)
	}
	if n := count(t, s, "sample_entry"); n != 3 {
		t.Errorf("%d entries, want both of this sample and one of the other", n)
	}
	wantError(t, s.ChangeSample(t.Context(), "ef", "North 3", picked, head, ""), ErrNotFound, "2026-09-14")
	head.Block = "South 1"
	wantError(t, s.ChangeSample(t.Context(), "ef", "North 3", head.Picked, scoring.Sample{Block: "South 1", Picked: picked}, ""), ErrTaken, "merge")
	if err := s.ChangeSample(t.Context(), "ef", "North 3", head.Picked, head, ""); err != nil {
		t.Fatal(err)
	}
	if samples, err := s.Load(t.Context(), "South 1"); err != nil || len(samples) != 2 || !reflect.DeepEqual(samples[1], head) {
		t.Errorf("after it went to the other block: %+v, %v", samples, err)
	}
}

func TestReadingsAreCorrected(t *testing.T) {
	s := newSeason(t)
	firm := func(a, b float64) *instrument.Firmness {
		return &instrument.Firmness{Sides: []instrument.Force{{Value: a, Unit: "kgf"}, {Value: b, Unit: "kgf"}}, Tip: 11}
	}
	add := func(want int, readings ...instrument.Reading) {
		t.Helper()
		got, err := s.AddReadings(t.Context(), "ab", "North 3", picked, readings...)
		if err != nil || got != want {
			t.Fatalf("%d entries, %v; want %d", got, err, want)
		}
	}
	sweet := &instrument.Solids{Brix: 11.4}
	add(2, instrument.Reading{Fruit: 2, Firmness: firm(7, 7.2)}, instrument.Reading{Fruit: 1, Firmness: firm(8, 8.2), Note: "small"})
	add(1, instrument.Reading{Fruit: 1, Solids: sweet})                                                                     // joins the firmness
	add(0, instrument.Reading{Fruit: 1, Solids: sweet})                                                                     // again
	add(1, instrument.Reading{Fruit: 1, Firmness: firm(8.4, 8.2)})                                                          // corrects it
	add(2, instrument.Reading{Fruit: 3, Solids: sweet}, instrument.Reading{Fruit: 3, Solids: &instrument.Solids{Brix: 12}}) // twice in one file
	want := []instrument.Reading{
		{Fruit: 1, Firmness: firm(8.4, 8.2), Solids: sweet, Note: "small"},
		{Fruit: 2, Firmness: firm(7, 7.2)},
		{Fruit: 3, Solids: &instrument.Solids{Brix: 12}},
	}
	if got := load(t, s).Readings; !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v\nwant %+v", got, want)
	}

	if err := s.StrikeReadings(t.Context(), "ef", "North 3", picked, 1, "mixed up with fruit 4"); err != nil {
		t.Fatal(err)
	}
	if got := load(t, s).Readings; !reflect.DeepEqual(got, want[1:]) {
		t.Errorf("after striking: %+v", got)
	}
	add(1, instrument.Reading{Fruit: 1, Solids: sweet})
	if got := load(t, s).Readings[0]; !reflect.DeepEqual(got, instrument.Reading{Fruit: 1, Solids: sweet}) {
		t.Errorf("what was struck came back: %+v", got)
	}
	entries, err := s.History(t.Context(), "North 3", picked, 1)
	if err != nil || len(entries) != 5 || !entries[3].Struck || entries[3].Reading.Note != "mixed up with fruit 4" || entries[3].By != "ef" {
		t.Errorf("%+v, %v", entries, err)
	}
}

func TestReadingsAreRefusedWhole(t *testing.T) {
	s := newSeason(t)
	good := instrument.Reading{Fruit: 1, Solids: &instrument.Solids{Brix: 11}}
	for words, bad := range map[string]instrument.Reading{
		"numbered from 1": {Fruit: 0},
		"no figure":       {Fruit: 2, Firmness: &instrument.Firmness{}},
	} {
		_, err := s.AddReadings(t.Context(), "ab", "North 3", picked, good, bad)
		wantError(t, err, nil, words)
	}
	if n := count(t, s, "reading"); n != 0 {
		t.Errorf("%d readings of a file that was refused", n)
	}
	wantError(t, s.StrikeReadings(t.Context(), "ab", "North 3", picked, 1, "x"), ErrNotFound, "fruit 1")
	wantError(t, s.StrikeReadings(t.Context(), "ab", "North 3", picked, 1, ""), nil, "reason")
	_, err := s.History(t.Context(), "North 3", picked, 1)
	wantError(t, err, ErrNotFound, "fruit 1")
}

func TestSheets(t *testing.T) {
	s := newSeason(t)
	if got, err := s.Sheets(t.Context(), StandardsSheet); err != nil || got != nil {
		t.Errorf("a new season has %+v, %v", got, err)
	}
	for _, text := range []string{"first", "first", "second", "first"} {
		if err := s.PutSheet(t.Context(), "ab", StandardsSheet, text); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.PutSheet(t.Context(), "ab", RatesSheet, "other"); err != nil {
		t.Fatal(err)
	}
	got, err := s.Sheets(t.Context(), StandardsSheet)
	var texts []string
	for _, sheet := range got {
		texts = append(texts, sheet.Text)
	}
	if want := []string{"first", "second", "first"}; err != nil || !reflect.DeepEqual(texts, want) {
		t.Errorf("%v, %v; want %v", texts, err, want)
	}
}
