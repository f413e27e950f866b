package calibrate

import (
	"math"
	"strings"

	"traystage/vision/note"
)

const (
	// unlikeBy times the distance at which halves of the set's kind lie off the path is far
	// for one half of a tray. On 53 trays of all painters the middle half of a tray of the plates' own
	// pattern lies at up to 1.6 times, that of a tray of another at 1.5 to 20, but for the nearly
	// clear. For a half alone see farOff.
	unlikeBy = 2
	// leastStray of what is usual is as near as halves of one kind come to a path; nearer
	// ones were measured on the plates' own photo.
	leastStray = 0.25
	// tellsFrom and tellsTo bound the stained fractions that show a pattern.
	tellsFrom, tellsTo = 0.05, 0.95
	// fewestTelling halves say something of a tray.
	fewestTelling = 3
)

// Codes of why a set makes no verdict sure.
const (
	// SetUnlike: most halves of the tray are unlike every plate.
	SetUnlike note.Code = "set.unlike"
	// SetBuiltIn: the set is the built-in one.
	SetBuiltIn note.Code = "set.builtin"
)

// builtInPrefix begins the names of the sets that come with the program.
const builtInPrefix = "builtin-"

// IsBuiltIn says whether a set of this name came with the program: it was drawn, so that
// no verdict that rests on it is sure.
func IsBuiltIn(name string) bool { return strings.HasPrefix(name, builtInPrefix) }

// Suitability is how a tray's halves stand to a set.
type Suitability struct {
	Unlike []bool // of each half: its pattern is far from every plate
	N, Of  int    // unlike halves among those that show a pattern
}

// Suited says whether the set suits the tray: no more than half of what shows a pattern is
// unlike every plate, or too few show one to say.
func (s Suitability) Suited() bool { return s.Of < fewestTelling || 2*s.N <= s.Of }

// Why says why the set does not suit the tray; nothing where it does.
func (s Suitability) Why() note.Note {
	if s.Suited() {
		return note.Note{}
	}
	return note.New(SetUnlike, note.Count("n", s.N), note.Count("of", s.Of))
}

// Suits tells whether the halves of one tray are of the kind of the set's plates. A half by
// itself may lie as far off the path as patterns scatter; that most of a tray lie twice as far off as the plates
// do from each other is no chance.
func (p *Path) Suits(halves []Observation) Suitability {
	s := Suitability{Unlike: make([]bool, len(halves))}
	far := unlikeBy * math.Max(p.stray, leastStray) * p.usualOff()
	for i, o := range halves {
		if !Tells(o.Stained) {
			continue
		}
		pattern, _ := p.patternSeen(o)
		_, off, at := p.place(o, pattern)
		if pattern == nil || at != within {
			continue
		}
		s.Of++
		if off > far {
			s.Unlike[i] = true
			s.N++
		}
	}
	return s
}

// Tells says whether a half of this stained fraction shows a pattern: clear and full ones look
// alike in every set.
func Tells(stained float64) bool { return stained >= tellsFrom && stained <= tellsTo }

// CallTray calls all halves of one tray. Where the set does not suit the tray, each half
// that is unlike every plate says so, even if by itself it would pass.
func (p *Path) CallTray(halves []Observation, targets ...float64) []Call {
	suits := p.Suits(halves)
	out := make([]Call, len(halves))
	for i, o := range halves {
		out[i] = p.Call(o, targets...)
		if suits.Unlike[i] && !suits.Suited() && !out[i].unlike() {
			out[i].Reasons = append(out[i].Reasons, note.New(CallUnlike))
			out[i].Borderline = true
		}
	}
	return out
}

// unlike says whether the call tells that the half is unlike every plate.
func (c Call) unlike() bool {
	for _, r := range c.Reasons {
		if r.Code == CallUnlike {
			return true
		}
	}
	return false
}

// strayOf is how far halves of the set's kind lie off its path, as a multiple of what
// is usual: the median of its plates but the first and last, each off the path without it. It is 1, what is
// usual, where there are too few.
func strayOf(s Set) float64 {
	var off []float64
	for i, plate := range s.Plates {
		if i == 0 || i == len(s.Plates)-1 || !Tells(plate.Stained) {
			continue
		}
		rest := s
		rest.Plates = append(append([]Plate{}, s.Plates[:i]...), s.Plates[i+1:]...)
		p, err := fitHalves(rest, nil)
		if err != nil {
			continue // without it the others cannot be told apart
		}
		o := plate.seen()
		pattern, _ := p.patternSeen(o)
		if _, far, at := p.place(o, pattern); pattern != nil && at == within {
			off = append(off, far/p.usualOff())
		}
	}
	if len(off) < fewestTelling {
		return 1
	}
	return median(off)
}
