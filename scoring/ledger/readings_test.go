package ledger

import (
	"math"
	"reflect"
	"testing"

	"traystage/scoring/instrument"
)

// What an entry says decides whether it is written, not that it is there: sheets
// have empty rows, and are taken in again when a line was added.
func TestReadingsThatChangeNothing(t *testing.T) {
	red := func(percent float64) *float64 { return &percent }
	whole := instrument.Reading{Fruit: 2, Solids: &instrument.Solids{Brix: 11.4}, Red: red(60), Note: "russet"}
	for name, c := range map[string]struct {
		then  instrument.Reading
		added int
	}{
		"same again":         {whole, 0},
		"part of it again":   {instrument.Reading{Fruit: 2, Red: red(60)}, 0},
		"empty row":          {instrument.Reading{Fruit: 2}, 0},
		"empty, no fruit":    {instrument.Reading{Fruit: 7}, 0},
		"nought is a figure": {instrument.Reading{Fruit: 2, Red: red(0)}, 1},
		"a note alone":       {instrument.Reading{Fruit: 7, Note: "lost"}, 1},
	} {
		s := newSeason(t)
		if n, err := s.AddReadings(t.Context(), "ab", "North 3", picked, whole); err != nil || n != 1 {
			t.Fatal(n, err)
		}
		n, err := s.AddReadings(t.Context(), "ab", "North 3", picked, c.then)
		if err != nil || n != c.added || count(t, s, "reading") != 1+c.added {
			t.Errorf("%s: %d added, %d rows, %v; want %d added", name, n, count(t, s, "reading"), err, c.added)
		}
		if got := load(t, s).Readings; c.added == 0 && !reflect.DeepEqual(got, []instrument.Reading{whole}) {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

func TestReadingsThatAreNoNumbers(t *testing.T) {
	s := newSeason(t)
	nan := math.NaN()
	for name, bad := range map[string]instrument.Reading{
		"side":        {Fruit: 3, Firmness: &instrument.Firmness{Sides: []instrument.Force{{Value: 7, Unit: "kgf"}, {Value: nan, Unit: "kgf"}}}},
		"tip":         {Fruit: 3, Firmness: &instrument.Firmness{Sides: []instrument.Force{{Value: 7, Unit: "kgf"}}, Tip: nan}},
		"sugar":       {Fruit: 3, Solids: &instrument.Solids{Brix: math.Inf(1)}},
		"temperature": {Fruit: 3, Solids: &instrument.Solids{Brix: 12, Celsius: &nan}},
		"red":         {Fruit: 3, Red: &nan},
		"ground":      {Fruit: 3, Ground: &instrument.Ground{Score: math.Inf(-1)}},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := s.AddReadings(t.Context(), "ab", "North 3", picked, bad)
			wantError(t, err, nil, "fruit 3", "no number")
		})
	}
	if n := count(t, s, "reading"); n != 0 {
		t.Errorf("%d readings were kept", n)
	}
}
