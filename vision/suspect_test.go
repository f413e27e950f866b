package vision

import (
	"slices"
	"testing"

	"traystage/vision/note"
)

// What was cut otherwise is told apart from what is merely unsure.
func TestRemarksOnSuspects(t *testing.T) {
	suspects := func(codes ...note.Code) (out []Suspect) {
		for _, c := range codes {
			out = append(out, Suspect{Why: note.New(c)})
		}
		return out
	}
	remark := func(c note.Code, n int) note.Note { return note.New(c, note.Count("n", n)) }
	for name, c := range map[string]struct {
		suspects []Suspect
		want     []note.Note
	}{
		"none":   {nil, nil},
		"unsure": {suspects(SuspectRim, SuspectClipped), []note.Note{remark(RemarkSuspects, 2)}},
		"uncut":  {suspects(SuspectCut), []note.Note{remark(RemarkUncut, 1)}},
		"both":   {suspects(SuspectCut, SuspectCore, SuspectCut), []note.Note{remark(RemarkSuspects, 1), remark(RemarkUncut, 2)}},
	} {
		got := suspectRemarks(c.suspects)
		if !slices.EqualFunc(got, c.want, note.Note.Equal) {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
}
