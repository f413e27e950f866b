package scoring

import (
	"slices"
	"testing"

	"traystage/calibrate"
	"traystage/vision/note"
)

func TestReviewCountsInPlaceOfCall(t *testing.T) {
	borderline := calibrate.Call{Stage: 3, Borderline: true}
	confirm, override := &Review{By: "KL"}, &Review{Override: true, Stage: 5, By: "KL"}
	for _, row := range []struct {
		name         string
		fruit        Fruit
		scored, open bool
		stage        float64
	}{
		{"sure call", Fruit{Call: calibrate.Call{Stage: 3}}, true, false, 3},
		{"borderline", Fruit{Call: borderline}, true, true, 3},
		{"confirmed", Fruit{Call: borderline, Review: confirm}, true, false, 3},
		{"overridden", Fruit{Call: borderline, Review: override}, true, false, 5},
		{"unscored", Fruit{Call: borderline, Unscored: note.New(NoFlesh)}, false, false, 3},
		{"unscored, confirmed", Fruit{Unscored: note.New(NoFlesh), Review: confirm}, false, false, 0},
		{"unscored, given a stage", Fruit{Unscored: note.New(NoFlesh), Review: override}, true, false, 5},
		{"clipped, given a stage", Fruit{Clipped: true, Review: override}, true, false, 5},
	} {
		f := row.fruit
		if f.Scored() != row.scored || f.Open() != row.open || f.Stage() != row.stage {
			t.Errorf("%s: scored %v, open %v, stage %v", row.name, f.Scored(), f.Open(), f.Stage())
		}
		if f.WhyUnscored().IsZero() != row.scored {
			t.Errorf("%s: scored %v, yet %q", row.name, row.scored, f.WhyUnscored())
		}
	}
}

func TestSummarizeTakesOverrides(t *testing.T) {
	fruit := sample(3, 4, 5)
	fruit[0].Call.Borderline, fruit[1].Call.Borderline = true, true
	fruit[0].Review = &Review{Override: true, Stage: 6, By: "KL"}
	if s := Summarize(fruit, eightStages, 0); !near(s.Mean, 5) || !slices.Equal(s.Borderline, []int{2}) {
		t.Errorf("mean %v, to look at %v; want 5 and fruit 2", s.Mean, s.Borderline)
	}
}
