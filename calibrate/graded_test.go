package calibrate

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"traystage/vision/note"
)

// photoHash is a made-up photo's hash.
func photoHash(n int) string { return fmt.Sprintf("%064x", n+1) }

// gradedHalf is half n of a photo, cleared from the core outward and graded by
// one grader.
func gradedHalf(photo, half int, stained float64, by string, stage float64) Graded {
	return Graded{
		Photo: photoHash(photo), Half: half, Source: fmt.Sprintf("photo %d, half %d", photo, half),
		Grades: []Grade{{By: by, Stage: stage}}, Seen: seenAt(stained),
	}
}

// gradedTray is a photo of halves at the given stages on the straight line,
// each as a grader would grade it.
func gradedTray(photo int, scale Scale, grade func(i int, stage float64) float64, stages ...float64) []Graded {
	var out []Graded
	for i, s := range stages {
		out = append(out, gradedHalf(photo, i+1, 1-scale.position(s)/scale.Span(), "AB", grade(i, s)))
	}
	return out
}

func asIs(_ int, stage float64) float64 { return stage }

func mustGrade(t testing.TB, s Set, halves ...Graded) Set {
	t.Helper()
	next, err := s.Grade(Refuse, halves...)
	if err != nil {
		t.Fatal(err)
	}
	return next
}

func TestGradeKeepsGradersApart(t *testing.T) {
	first := straightSet(t, oneToEight, 1, 4, 8)
	before, err := first.Digest()
	if err != nil {
		t.Fatal(err)
	}
	s := mustGrade(t, first, gradedHalf(0, 2, 0.5, "AB", 4), gradedHalf(0, 1, 0.6, "AB", 3.5))
	s = mustGrade(t, s, gradedHalf(0, 2, 0.5, "CD", 5))
	if s.Version != 3 || len(s.Plates) != 3 || len(s.Graded) != 2 {
		t.Fatalf("version %d, %d plates, %d graded halves; want 3, 3, 2", s.Version, len(s.Plates), len(s.Graded))
	}
	if g := s.Graded[1]; g.Half != 2 || !reflect.DeepEqual(g.Grades, []Grade{{By: "AB", Reading: 1, Stage: 4}, {By: "CD", Reading: 1, Stage: 5}}) || g.Stage() != 4.5 {
		t.Errorf("half %d has grades %v and stage %g; want half 2 with both graders and 4.5", g.Half, g.Grades, g.Stage())
	}
	if after, err := first.Digest(); err != nil || after != before || len(first.Graded) != 0 {
		t.Errorf("the first version changed")
	}
}

func TestGradeTwice(t *testing.T) {
	s := mustGrade(t, straightSet(t, oneToEight, 1, 4, 8), gradedHalf(0, 1, 0.5, "AB", 4), gradedHalf(0, 2, 0.4, "AB", 5))
	_, err := s.Grade(Refuse, gradedHalf(0, 1, 0.5, "AB", 4.4))
	if want := `set "larkfield" version 2: half 1: AB graded it before, as stage 4`; !errors.Is(err, ErrGradedBefore) || err.Error() != want {
		t.Errorf("the same half by the same grader: %v, want %q", err, want)
	}
	for _, tt := range []struct {
		name   string
		repeat Repeat
		want   []Grade
		stage  float64
	}{
		{"correction", Correct, []Grade{{By: "AB", Reading: 1, Stage: 4.4}}, 4.4},
		{"second reading", Again, []Grade{{By: "AB", Reading: 1, Stage: 4}, {By: "AB", Reading: 2, Stage: 4.4}}, 4.2},
	} {
		next, err := s.Grade(tt.repeat, gradedHalf(0, 1, 0.5, "AB", 4.4))
		if err != nil {
			t.Fatal(err)
		}
		if g := next.Graded[0]; !reflect.DeepEqual(g.Grades, tt.want) || math.Abs(g.Stage()-tt.stage) > tiny || len(next.Graded) != 2 {
			t.Errorf("%s: %d halves, grades %v, stage %g; want 2, %v, %g", tt.name, len(next.Graded), g.Grades, g.Stage(), tt.want, tt.stage)
		}
	}
	if g := s.Graded[0]; len(g.Grades) != 1 || g.Stage() != 4 {
		t.Errorf("the version before changed: %v", g.Grades)
	}
}

func TestGradeRefusesPlates(t *testing.T) {
	plates := straightPlates(oneToEight, 1, 4, 8)
	plates[1].Origin = &Origin{Photo: photoHash(0), Half: 3}
	s, err := New("larkfield", oneToEight, 0.2, plates...)
	if err != nil {
		t.Fatal(err)
	}
	_, err = s.Grade(Refuse, gradedHalf(0, 3, 0.5, "AB", 4))
	if err == nil || !strings.Contains(err.Error(), "half 3: is the plate of stage 4 already and would count twice") {
		t.Errorf("grading a plate: %v", err)
	}
	mustGrade(t, s, gradedHalf(1, 3, 0.5, "AB", 4)) // the same number in another photo is another half
}

func TestOneMisreadAmongThreeGraders(t *testing.T) {
	g := Graded{Grades: []Grade{{By: "AB", Reading: 1, Stage: 3}, {By: "CD", Reading: 1, Stage: 3.2}, {By: "EF", Reading: 1, Stage: 7}, {By: "CD", Reading: 2, Stage: 3.4}}}
	if got := g.Stage(); math.Abs(got-3.3) > tiny { // the median of 3, 3.3 and 7
		t.Errorf("stage %g, want 3.3", got)
	}
}

func TestGradedSays(t *testing.T) {
	tests := []struct {
		name  string
		spoil func(*Graded)
		want  string
	}{
		{"photo", func(g *Graded) { g.Photo = "abc" }, "not given by a SHA-256"},
		{"half", func(g *Graded) { g.Half = 0 }, "counted from 1"},
		{"initials", func(g *Graded) { g.Grades[0].By = "a name" }, `initials "a name"`},
		{"off the scale", func(g *Graded) { g.Grades[0].Stage = 9 }, "stage 9 is not on the scale from 1 to 8"},
		{"stage not a number", func(g *Graded) { g.Grades[0].Stage = math.NaN() }, "not on the scale"},
		{"no grade", func(g *Graded) { g.Grades = nil }, "no grade"},
		{"other zones", func(g *Graded) { g.Seen.Zones = g.Seen.Zones[1:] }, "4 zones where the plates have 5"},
		{"zone", func(g *Graded) { g.Seen.Zones[0] = 2 }, "zone 1"},
		{"stained", func(g *Graded) { g.Seen.Stained = math.NaN() }, "stained fraction NaN"},
		{"masked", func(g *Graded) { g.Seen.Masked = -1 }, "outside 0 to 1"},
		{"sectors", func(g *Graded) { g.Seen.Sectors = make([]float64, 5) }, "5 sectors"},
		{"source", func(g *Graded) { g.Source = "\xff" }, "not valid text"},
	}
	for _, tt := range tests {
		g := gradedHalf(0, 1, 0.5, "AB", 4)
		tt.spoil(&g)
		if _, err := straightSet(t, oneToEight, 1, 4, 8).Grade(Refuse, g); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: %v, want %q in it", tt.name, err, tt.want)
		}
	}
	if _, err := straightSet(t, oneToEight, 1, 8).Grade(Refuse); err == nil {
		t.Error("a version without anything new was made")
	}
}

// What is written in the newer format comes back; what an older program wrote
// is read, and keeps its digest.
func TestFormats(t *testing.T) {
	plain := straightSet(t, oneToEight, 1, 4, 8)
	if text := encoded(t, plain); !strings.Contains(text, `"format": "traystage reference set 1"`) {
		t.Errorf("a set of plain plates is not written in the first format:\n%s", text)
	}
	tray := gradedTray(0, oneToEight, asIs, 2, 3, 5.5)
	tray[0].Seen.Sectors, tray[1].Seen.Doubts = []float64{0.1, 0.2, 0.3, 0.4}, []note.Note{note.Quote("blurred")}
	s := mustGrade(t, plain, tray...)
	s.Plates[1].Origin = &Origin{Photo: photoHash(4), Half: 2, By: "AB"}
	s.Plates[1].Sectors = []float64{0.4, 0.5, 0.6, 0.7}
	text := encoded(t, s)
	if !strings.Contains(text, `"format": "traystage reference set 2"`) {
		t.Errorf("a graded set is not written in the newer format:\n%s", text)
	}
	for _, format := range []string{"2", "3"} {
		if format == "3" {
			s.Graded[1].Seen.Doubts = append(s.Graded[1].Seen.Doubts, note.New("photo.glare"))
			text = encoded(t, s)
		}
		if !strings.Contains(text, `"format": "traystage reference set `+format+`"`) {
			t.Errorf("the set is not written in format %s:\n%s", format, text)
		}
	}
	got, err := Decode(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(got, s) {
		t.Errorf("decoded %+v\nwant %+v", got, s)
	}
}

// Twelve bearings in any order are the same half, and a streaked half is not an
// even one.
func TestPatternOfSectors(t *testing.T) {
	p := &Path{rings: 2, sectors: 12}
	even := []float64{.5, .5, .5, .5, .5, .5, .5, .5, .5, .5, .5, .5}
	streaks := []float64{.9, .2, .4, .9, .2, .4, .9, .2, .5, .8, .2, .4}
	if got, want := p.patternOf([]float64{.3, .6}, even), []float64{.3, .6, .5, .5, .5, .5}; !slices.Equal(got, want) {
		t.Errorf("even: %v, want %v", got, want)
	}
	want := []float64{.3, .6, .2, 1.0 / 3, 1.9 / 3, .9} // .2 .2 .2 | .2 .4 .4 | .4 .5 .8 ... sorted in threes
	slices.Sort(streaks)
	want[3], want[4], want[5] = (.2+.4+.4)/3, (.4+.5+.8)/3, .9
	got := p.patternOf([]float64{.3, .6}, []float64{.4, .9, .2, .4, .9, .2, .4, .9, .2, .5, .8, .2})
	for j := range got {
		if math.Abs(got[j]-want[j]) > tiny {
			t.Errorf("streaks: %v, want %v", got, want)
			break
		}
	}
}
