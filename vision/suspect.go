package vision

import (
	"traystage/vision/internal/locate"
	"traystage/vision/note"
)

// Codes of what speaks most against a suspect. What they say stands in package scoring/words.
const (
	// SuspectRim: no clear edge with a skin runs all round.
	SuspectRim note.Code = "suspect.rim"
	// SuspectCore: its middle does not look like a core.
	SuspectCore note.Code = "suspect.core"
	// SuspectColours: its colours are not those of flesh and stain.
	SuspectColours note.Code = "suspect.colours"
	// SuspectLikeness: in size or colours it is unlike the halves of the tray, or the tray has no sure half.
	SuspectLikeness note.Code = "suspect.likeness"
	// SuspectCut: it may have been cut through stem and calyx, or not at all.
	SuspectCut note.Code = "suspect.cut"
	// SuspectPrinted: all are as alike as pictures on a chart.
	SuspectPrinted note.Code = "suspect.printed"
	// SuspectClipped: the edge of the photo cuts it off.
	SuspectClipped note.Code = "suspect.clipped"
)

func suspectsOf(fs []locate.Face, scale float64) []Suspect {
	var out []Suspect
	for _, f := range fs {
		out = append(out, Suspect{
			Centre: Point{f.Core.X * scale, f.Core.Y * scale}, Radius: f.Radius * scale,
			Outline: outlineOf(f, scale), Evidence: f.Evidence, Why: why(f),
		})
	}
	return out
}

// suspectRemarks says how many there are. Those of which the cut is doubted are told apart: the grower knows what was cut how.
func suspectRemarks(suspects []Suspect) (out []note.Note) {
	uncut := 0
	for _, s := range suspects {
		if s.Why.Code == SuspectCut {
			uncut++
		}
	}
	if n := len(suspects) - uncut; n > 0 {
		out = append(out, note.New(RemarkSuspects, note.Count("n", n)))
	}
	if uncut > 0 {
		out = append(out, note.New(RemarkUncut, note.Count("n", uncut)))
	}
	return out
}

func why(f locate.Face) note.Note {
	switch {
	case f.Clipped:
		return note.New(SuspectClipped)
	case f.Doubt == locate.DoubtPrinted:
		return note.New(SuspectPrinted)
	case f.Doubt == locate.DoubtCore:
		return note.New(SuspectCore)
	case f.Doubt == locate.DoubtColours:
		return note.New(SuspectColours)
	case f.Doubt == locate.DoubtLikeness:
		return note.New(SuspectLikeness)
	case f.Doubt == locate.DoubtCut:
		return note.New(SuspectCut)
	}
	return note.New(SuspectRim)
}

func outlineOf(f locate.Face, scale float64) []Point {
	var out []Point
	for _, e := range f.Edge() {
		out = append(out, Point{e.X * scale, e.Y * scale})
	}
	return out
}
