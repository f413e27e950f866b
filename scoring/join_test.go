package scoring

import (
	"slices"
	"strings"
	"testing"

	"traystage/calibrate"
	"traystage/scoring/instrument"
	"traystage/vision/note"
)

// numbered makes a sample with halves and readings of these numbers.
func numbered(t *testing.T, halves, readings []int) Sample {
	s := Sample{Block: "North", Picked: day(t, "2026-09-14")}
	tray := Report{Reference: eightStages}
	for _, n := range halves {
		tray.Fruit = append(tray.Fruit, Fruit{Number: n, Call: calibrate.Call{Stage: float64(n)}})
	}
	if halves != nil {
		s.Trays = []Report{tray}
	}
	for _, n := range readings {
		s.Readings = append(s.Readings, instrument.Reading{Fruit: n, Solids: &instrument.Solids{Brix: 10 + float64(n), Compensated: true}})
	}
	return s
}

func TestJoinByNumber(t *testing.T) {
	for _, row := range []struct {
		name             string
		halves, readings []int
	}{
		{"in order", []int{1, 2, 3}, []int{1, 2, 3}},
		{"readings in another order", []int{1, 2, 3}, []int{3, 1, 2}},
		{"numbers of the tester's own", []int{11, 12, 14}, []int{14, 12, 11}},
		{"halves alone", []int{2, 1}, nil},
		{"readings alone", nil, []int{2, 1}},
		{"nothing", nil, nil},
	} {
		rows, err := join(numbered(t, row.halves, row.readings))
		if err != nil || len(rows) != max(len(row.halves), len(row.readings)) {
			t.Errorf("%s: %d rows, %v", row.name, len(rows), err)
		}
		for i, r := range rows {
			if i > 0 && r.Fruit <= rows[i-1].Fruit {
				t.Errorf("%s: fruit %d after fruit %d", row.name, r.Fruit, rows[i-1].Fruit)
			}
			if r.Half != nil && r.Half.Call.Stage != float64(r.Fruit) || r.Reading != nil && r.Reading.Solids.Brix != 10+float64(r.Fruit) {
				t.Errorf("%s: fruit %d has half %+v and reading %+v", row.name, r.Fruit, r.Half, r.Reading)
			}
			if (r.Half == nil) != (row.halves == nil) || (r.Reading == nil) != (row.readings == nil) {
				t.Errorf("%s: fruit %d lacks its half or reading", row.name, r.Fruit)
			}
		}
	}
}

func TestJoinRefusesToShift(t *testing.T) {
	for _, row := range []struct {
		name             string
		halves, readings []int
		want             string
	}{
		{"second tray numbered from 1 again", []int{1, 2, 1, 2}, []int{1, 2, 3, 4}, "two halves have the number 1"},
		{"one fruit read twice", []int{1, 2}, []int{2, 2}, "two readings of fruit 2"},
	} {
		_, err := join(numbered(t, row.halves, row.readings))
		if err == nil || !strings.HasPrefix(err.Error(), "block North, sample of 2026-09-14: ") || !strings.Contains(err.Error(), row.want) {
			t.Errorf("%s: %v, want %q", row.name, err, row.want)
		}
	}
}

// A fruit that was read and not cut, or whose number is a slip, stands in a row of its
// own and is told of; the block is assessed.
func TestUncutFruit(t *testing.T) {
	s := numbered(t, []int{1, 2, 4}, []int{1, 2, 3, 4, 13})
	rows, err := join(s)
	if err != nil || len(rows) != 5 || rows[2].Fruit != 3 || rows[2].Half != nil || rows[4].Half != nil {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	r, err := Assess(Block{Name: "North"}, []Sample{s}, nil, nil, Options{Today: day(t, "2026-09-15"), Unit: instrument.PoundForce})
	if err != nil || r.Stage.N != 3 {
		t.Fatalf("%d stages, %v", r.Stage.N, err)
	}
	if want := note.New("block.uncut", note.Counts("fruit", []int{3, 13})); !slices.ContainsFunc(r.Warnings, want.Equal) {
		t.Errorf("warnings %v, want %v", r.Warnings, want)
	}
}

func TestAssessRefuses(t *testing.T) {
	offScale := numbered(t, []int{1, 2}, nil)
	offScale.Trays[0].Fruit[1].Review = &Review{Override: true, Stage: 9, By: "KL"}
	twoScales := numbered(t, []int{1, 2}, nil)
	other := Report{Reference: Reference{Name: "ten", Scale: calibrate.Scale{Stained: 1, Clear: 10, Step: 0.1}}, Fruit: []Fruit{{Number: 3}}}
	twoScales.Trays = append(twoScales.Trays, other)
	for _, row := range []struct {
		name   string
		sample Sample
		want   string
	}{
		{"override off the scale", offScale, "fruit 2 was given stage 9, which is not on the scale 1-8"},
		{"trays on two scales", twoScales, "scales 1-8 and 1-10"},
	} {
		r, err := Assess(Block{Name: "North"}, []Sample{row.sample}, nil, nil, Options{Today: row.sample.Picked})
		if err == nil || !strings.Contains(err.Error(), row.want) || r.Sample != nil {
			t.Errorf("%s: %v, want %q", row.name, err, row.want)
		}
	}
}
