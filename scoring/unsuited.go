package scoring

import (
	"slices"

	"traystage/calibrate"
	"traystage/vision/note"
)

// unsuited says why no verdict that rests on these stages is sure: most halves that show
// a pattern are unlike every plate of the set, or the set is the built-in one. It
// says nothing where the set suits. Halves that a person gave a stage to no longer hang on the set.
func unsuited(fruit []Fruit, ref Reference) note.Note {
	unlike, of := 0, 0
	for _, f := range fruit {
		if f.Overridden() || !f.Scored() || !calibrate.Tells(f.Stained) {
			continue
		}
		of++
		if slices.ContainsFunc(f.Call.Reasons, func(r note.Note) bool { return r.Code == calibrate.CallUnlike }) {
			unlike++
		}
	}
	switch {
	case 2*unlike > of:
		return note.New(calibrate.SetUnlike, note.Count("n", unlike), note.Count("of", of))
	case calibrate.IsBuiltIn(ref.Name):
		return note.New(calibrate.SetBuiltIn)
	}
	return note.Note{}
}

// unsuited says so of a whole sample, tray by tray: one tray on a set that does not suit makes
// its mean unsure.
func (s Sample) unsuited() note.Note {
	for _, t := range s.Trays {
		if why := unsuited(t.Fruit, t.Reference); !why.IsZero() {
			return why
		}
	}
	return note.Note{}
}

// unlessSuited takes the sureness from a verdict whose stages rest on a set that does not suit.
func (v *Verdict) unlessSuited(s Sample) {
	if s.unsuited().IsZero() {
		return
	}
	v.Sure = false
	for i := range v.Serves {
		v.Serves[i].Sure = false
	}
}
