package ledger

import (
	"fmt"
	"reflect"
	"testing"
	"time"

	"traystage/scoring"
	"traystage/scoring/instrument"
	"traystage/vision/note"
)

// fill gives every field below v a value that is not its zero value and that no
// other field has, so that one which is not kept, or kept in the place of
// another, is seen. Times are whole days.
func fill(t *testing.T, v reflect.Value, next *int) {
	t.Helper()
	*next++
	switch v.Interface().(type) {
	case time.Time:
		v.Set(reflect.ValueOf(picked.AddDate(0, 0, *next)))
		return
	case note.Note:
		v.Set(reflect.ValueOf(note.New("test.filled", note.Stage("stage", float64(*next)+1.0/3))))
		return
	}
	switch v.Kind() {
	case reflect.String:
		v.SetString(fmt.Sprint("text ", *next))
	case reflect.Int, reflect.Int64:
		v.SetInt(int64(*next))
	case reflect.Float64:
		v.SetFloat(float64(*next) + 1.0/3)
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fill(t, v.Elem(), next)
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		fallthrough
	case reflect.Array:
		for i := range v.Len() {
			fill(t, v.Index(i), next)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			fill(t, v.Field(i), next)
		}
	default:
		t.Fatalf("%s: the test does not know how to fill a %s", v.Type(), v.Kind())
	}
}

func filled[T any](t *testing.T) (v T) {
	next := 0
	fill(t, reflect.ValueOf(&v).Elem(), &next)
	return v
}

func TestEveryFieldOfReportIsKept(t *testing.T) {
	s := newSeason(t)
	tray := trayOf(1, 1, 1)
	r := filled[scoring.Report](t)
	r.PhotoHash = tray.Report.PhotoHash
	for i := range r.Fruit {
		r.Fruit[i].Review = nil // kept by Review
	}
	r.Summary = scoring.Summarize(r.Fruit, r.Reference, r.Summary.Wanted)
	tray.Report = r
	tray.Margins = map[int]Margin{r.Fruit[0].Number: {0.1, 0.3}}
	store(t, s, tray, Stored)
	if got := load(t, s).Trays[0]; !reflect.DeepEqual(got, r) {
		t.Errorf("got  %+v\nwant %+v", got, r)
	}
}

// Rebuilt to the last bit, also where lists are empty.
func TestReportIsRebuilt(t *testing.T) {
	s := newSeason(t)
	tray := trayOf(1, 1, 12)
	f := tray.Report.Fruit
	f[2] = scoring.Fruit{Number: 3, Clipped: true, Place: f[2].Place}
	f[5].Unscored = note.New(scoring.NoFlesh)
	f[6].Zones, f[6].Call.Reasons, f[6].Remarks = []float64{}, []note.Note{}, []note.Note{}
	tray.Report.Taken = time.Time{}
	tray.Report.Summary = scoring.Summarize(f, tray.Report.Reference, 0.25)
	store(t, s, tray, Stored)
	if got := load(t, s).Trays[0]; !reflect.DeepEqual(got, tray.Report) {
		t.Errorf("got  %+v\nwant %+v", got, tray.Report)
	}
}

func TestEveryFieldOfBlockAndSampleIsKept(t *testing.T) {
	s := newSeason(t)
	block := filled[scoring.Block](t)
	if err := s.AddBlock(t.Context(), "ab", block); err != nil {
		t.Fatal(err)
	}
	blocks, err := s.Blocks(t.Context())
	if err != nil || len(blocks) != 2 || blocks[1] != block {
		t.Errorf("%+v, %v; want %+v last", blocks, err, block)
	}
	sample := filled[scoring.Sample](t)
	sample.Block, sample.Trays, sample.Readings = block.Name, nil, nil
	if err := s.AddSample(t.Context(), "ab", sample); err != nil {
		t.Fatal(err)
	}
	got, err := s.Load(t.Context(), block.Name)
	if err != nil || len(got) != 1 || !reflect.DeepEqual(got[0], sample) {
		t.Errorf("%+v, %v; want %+v", got, err, sample)
	}
}

func TestEveryFieldOfReadingIsKept(t *testing.T) {
	s := newSeason(t)
	want := filled[instrument.Reading](t)
	if n, err := s.AddReadings(t.Context(), "ab", "North 3", picked, want); err != nil || n != 1 {
		t.Fatal(n, err)
	}
	if got := load(t, s).Readings; len(got) != 1 || !reflect.DeepEqual(got[0], want) {
		t.Errorf("got %+v\nwant %+v", got, want)
	}
}

func TestEveryFieldOfCheckIsKept(t *testing.T) {
	s := newSeason(t)
	want := filled[instrument.Check](t)
	for range 2 { // the second time changes nothing
		if err := s.AddCheck(t.Context(), want); err != nil {
			t.Fatal(err)
		}
	}
	got, err := s.Checks(t.Context())
	if err != nil || len(got) != 1 || got[0] != want {
		t.Errorf("got %+v, %v\nwant %+v", got, err, want)
	}
}

func TestEveryFieldOfReviewIsKept(t *testing.T) {
	s := newSeason(t)
	store(t, s, trayOf(1, 1, 2), Stored)
	want := scoring.Review{Override: true, Stage: 3.3, By: "ef", Why: "the rim is bruised"}
	if err := s.Review(t.Context(), load(t, s).Trays[0], 2, want); err != nil {
		t.Fatal(err)
	}
	got := load(t, s).Trays[0].Fruit[1].Review
	if got == nil || got.At.IsZero() {
		t.Fatalf("%+v", got)
	}
	want.At = got.At
	if n := reflect.TypeFor[scoring.Review]().NumField(); *got != want || n != 5 {
		t.Errorf("got %+v, want %+v, with %d fields", *got, want, n)
	}
}
