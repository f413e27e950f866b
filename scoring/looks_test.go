package scoring

import (
	"slices"
	"strings"
	"testing"

	"traystage/scoring/instrument"
	"traystage/vision/note"
)

// Ten fruit of mean stage 2.97, which reads as 3.0 and is just open: fruit whose call alone could
// take a tenth of 0.3 off the mean could turn that, whether borderline or not.
func TestLooksPutWhatTurnsTheVerdictFirst(t *testing.T) {
	stages := alike(2.97)
	s := sampleOf(day(t, "2026-09-14"), fruits{stages: stages, firmness: alike(18)})
	fruit := s.Trays[0].Fruit
	for i := range fruit {
		fruit[i].Call.Low, fruit[i].Call.High = stages[i]-0.1, stages[i]+0.1 // a hundredth of the mean at most
	}
	fruit[2].Call.Borderline, fruit[2].Call.Reasons = true, []note.Note{note.New("photo.glare")}
	fruit[4].Call.Low = 2.65  // 0.032: turns it
	fruit[6].Call.Low = 2.55  // 0.042: turns it more
	fruit[7].Call.High = 4.45 // 0.148, away from the target
	fruit[7].Call.Borderline = true
	fruit[8].Call.Low = 1 // looked at already
	fruit[8].Review = &Review{By: "KL"}
	row := Standard{Variety: "Gala", Market: "long CA", Scale: "1-8", Opens: At(3), Firmness: Range{From: At(16)}, FirmnessUnit: instrument.PoundForce}
	looks := assess(t, Block{Name: "North", Variety: "Gala", Market: "long CA"}, []Standard{row}, s).Looks
	var numbers []int
	for _, l := range looks {
		numbers = append(numbers, l.Fruit)
	}
	if !slices.Equal(numbers, []int{7, 5, 8, 3}) {
		t.Fatalf("fruit %v, want 7, 5, 8, 3: %+v", numbers, looks)
	}
	if l := looks[0]; !l.Turns || !near(l.Shift, 0.042) || !strings.Contains(allSaid(l.Reason), ", the block is too early for long CA") {
		t.Errorf("%+v", l)
	}
	if l := looks[3]; l.Turns || !note.Same(l.Reason, []note.Note{note.New("photo.glare")}) {
		t.Errorf("%+v", l)
	}
}

func TestLooksWithoutStandard(t *testing.T) {
	s := sampleOf(day(t, "2026-09-14"), fruits{stages: alike(3)})
	s.Trays[0].Fruit[3].Call.Borderline = true
	looks := assess(t, Block{Name: "North"}, nil, s).Looks
	if len(looks) != 1 || looks[0].Fruit != 4 || looks[0].Turns {
		t.Errorf("%+v", looks)
	}
}
