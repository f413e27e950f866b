package scoring

import (
	"testing"

	"traystage/calibrate"
	"traystage/vision/note"
)

func TestUnsuited(t *testing.T) {
	half := func(stained float64, reasons ...note.Note) Fruit {
		return Fruit{Stained: stained, Call: calibrate.Call{Stage: 4, Reasons: reasons}}
	}
	odd, unsure := note.New(calibrate.CallUnlike), note.New(calibrate.CallUnsure)
	reviewed := half(0.5, odd)
	reviewed.Review = &Review{Override: true, Stage: 4}
	for _, c := range []struct {
		name  string
		set   string
		fruit []Fruit
		want  note.Note
	}{
		{"its own kind", "gala", []Fruit{half(0.5), half(0.4, unsure), half(0.3)}, note.Note{}},
		{"half of them unlike", "gala", []Fruit{half(0.5, odd), half(0.4)}, note.Note{}},
		{"most unlike", "gala", []Fruit{half(0.5, odd), half(0.4, unsure, odd), half(0.3)}, note.New(calibrate.SetUnlike, note.Count("n", 2), note.Count("of", 3))},
		{"clear halves tell nothing", "gala", []Fruit{half(0.5, odd), half(0.01), half(0.99), half(0.3)}, note.Note{}},
		{"graded by a person", "gala", []Fruit{reviewed, half(0.4, odd), half(0.3)}, note.Note{}},
		{"the built-in set", "builtin-1-8", []Fruit{half(0.5)}, note.New(calibrate.SetBuiltIn)},
		{"no fruit", "gala", nil, note.Note{}},
	} {
		if got := unsuited(c.fruit, Reference{Name: c.set}); !got.Equal(c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// The first note of a tray says why, and no verdict of its block is sure.
func TestUnsuitedSetMakesNoVerdictSure(t *testing.T) {
	ref := Reference{Name: "builtin-1-8", Scale: calibrate.Scale{Stained: 1, Clear: 8, Step: 0.1}}
	fruit := []Fruit{{Number: 1, Stained: 0.5, Call: calibrate.Call{Stage: 4}}, {Number: 2, Stained: 0.4, Call: calibrate.Call{Stage: 5}}}
	if w := Summarize(fruit, ref, 0).Warnings; len(w) == 0 || w[0].Code != calibrate.SetBuiltIn {
		t.Errorf("warnings %v", w)
	}
	v := Verdict{Sure: true, Serves: []Service{{Sure: true}}}
	v.unlessSuited(Sample{Trays: []Report{{Reference: Reference{Name: "gala"}, Fruit: fruit}}})
	if !v.Sure || !v.Serves[0].Sure {
		t.Error("a set that suits takes the sureness away")
	}
	v.unlessSuited(Sample{Trays: []Report{{Reference: Reference{Name: "gala"}, Fruit: fruit}, {Reference: ref, Fruit: fruit}}})
	if v.Sure || v.Serves[0].Sure {
		t.Errorf("on the built-in set: %+v", v)
	}
}
