package calibrate

import (
	"strings"
	"testing"
)

func override(half int, stained, stage float64) Override {
	return Override{Photo: photoHash(7), Half: half, Source: "tray 7", Seen: seenAt(stained), Stage: stage, By: "GM", When: "2026-09-14T08:31:00+02:00"}
}

func TestAdoptRecordsWhereHalvesCameFrom(t *testing.T) {
	s := straightSet(t, oneToEight, 1, 2, 3, 4, 5, 6, 7, 8)
	before, err := s.Digest()
	if err != nil {
		t.Fatal(err)
	}
	next, err := s.Adopt(override(2, 0.5, 4.8), override(1, 0.52, 4.7))
	if err != nil {
		t.Fatal(err)
	}
	if next.Version != 2 || next.Parent != before || len(next.Graded) != 2 {
		t.Fatalf("version %d of parent %s with %d halves, want 2 of %s with 2", next.Version, next.Parent, len(next.Graded), before)
	}
	g := next.Graded[0]
	if want := (Grade{By: "GM", Reading: 1, Stage: 4.7, When: "2026-09-14T08:31:00+02:00"}); g.Half != 1 || g.Photo != photoHash(7) || !g.Adopted || g.Grades[0] != want {
		t.Errorf("adopted %+v, want half 1 of photo 7 by %+v", g, want)
	}
	again, err := Decode(strings.NewReader(encoded(t, next)))
	if err != nil || again.Graded[1].Grades[0].When != g.Grades[0].When {
		t.Errorf("read again: %v, %v", again.Graded, err)
	}
	// Both say that half stained is clearer than 4.5 here.
	if a, b := mustFit(t, s).Call(seenAt(0.5)).Stage, mustFit(t, next).Call(seenAt(0.5)).Stage; b <= a {
		t.Errorf("overrides to 4.8 leave the call at %.3f, before %.3f", b, a)
	}
}

// Halves that were picked for being wrong say nothing of how often calls are wrong.
func TestAdoptedHalvesDoNotCalibrate(t *testing.T) {
	s := straightSet(t, oneToEight, 1, 2, 3, 4, 5, 6, 7, 8)
	var picked []Override
	for i := range 12 {
		picked = append(picked, override(i+1, 0.9-0.07*float64(i), 2+0.5*float64(i)))
	}
	next, err := s.Adopt(picked...)
	if err != nil {
		t.Fatal(err)
	}
	if next.Calibrated() || next.GradedNeeded() != fewestGraded {
		t.Errorf("twelve overrides: calibrated %v, %d needed", next.Calibrated(), next.GradedNeeded())
	}
	graded := mustGrade(t, next, gradedTray(1, oneToEight, asIs, evenly(oneToEight, 9)...)...)
	if p := mustFit(t, graded); p.grades == nil || len(p.grades.off) != 9 {
		t.Errorf("nine graded halves beside twelve overrides give %+v", p.grades)
	}
}

func TestAdoptRefuses(t *testing.T) {
	s := straightSet(t, oneToEight, 1, 4, 8)
	noInitials, noTime, badTime, off := override(1, 0.5, 4), override(1, 0.5, 4), override(1, 0.5, 4), override(1, 0.5, 9)
	noInitials.By, noTime.When, badTime.When = "", "", "yesterday"
	for want, list := range map[string][]Override{
		"no graded halves given":        nil,
		"does not say who made it":      {noInitials},
		"made it and when":              {noTime},
		`"yesterday", is no time`:       {badTime},
		"stage 9 is not on the scale":   {off},
		"GM graded it before, as stage": {override(1, 0.5, 4), override(1, 0.5, 5)},
	} {
		if _, err := s.Adopt(list...); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q in it", err, want)
		}
	}
}
