package calibrate

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"gonum.org/v1/gonum/stat"
)

// Graded is one half that people graded by eye: unlike a plate its stage is
// an opinion, and there may be several.
type Graded struct {
	Photo  string      `json:"photo"`  // SHA-256 of the photo's bytes, in hexadecimal
	Half   int         `json:"half"`   // its number in reading order, from 1
	Source string      `json:"source"` // name of the photo and of the half, for people
	Grades []Grade     `json:"grades"`
	Seen   Observation `json:"seen"` // what was measured on it
	// Adopted says that the half came from an overridden call, see Adopt: it
	// draws the path, but tells nothing of how often calls are wrong.
	Adopted bool `json:"adopted,omitempty"`
}

// Grade is one opinion of one half.
type Grade struct {
	By      string  `json:"by,omitempty"` // initials of the grader; empty for one who gave none
	Reading int     `json:"reading"`      // 1 for the grader's first look at the half, 2 for the second
	Stage   float64 `json:"stage"`
	When    string  `json:"when,omitempty"` // RFC 3339; empty where not known
}

// Stage is what the grades of the half come to: the median of what its graders
// say, each of them by the mean of their readings. One misread stage among three
// graders moves it little.
func (g Graded) Stage() float64 {
	byGrader := g.byGrader()
	var said []float64
	for _, by := range g.graders() {
		said = append(said, stat.Mean(byGrader[by], nil))
	}
	return median(said)
}

// byGrader lists the stages that each grader gave, in order of reading.
func (g Graded) byGrader() map[string][]float64 {
	out := map[string][]float64{}
	for _, grade := range g.Grades {
		out[grade.By] = append(out[grade.By], grade.Stage)
	}
	return out
}

// graders are those who graded the half, in the order of their first grade.
func (g Graded) graders() []string {
	var out []string
	for _, grade := range g.Grades {
		if !slices.Contains(out, grade.By) {
			out = append(out, grade.By)
		}
	}
	return out
}

// median is that of a list that is not empty: the mean of the middle two where
// there is no middle.
func median(values []float64) float64 {
	v := slices.Sorted(slices.Values(values))
	n := len(v)
	return (v[(n-1)/2] + v[n/2]) / 2
}

func (g Graded) clone() Graded {
	g.Grades, g.Seen = slices.Clone(g.Grades), g.Seen.clone()
	return g
}

// ErrGradedBefore is part of the error for a half that the same grader graded
// before.
var ErrGradedBefore = errors.New("graded it before")

// Repeat says what to do where a grader has graded a half before.
type Repeat int

const (
	Refuse  Repeat = iota // it is an error that names half and stage
	Correct               // the new grade takes the place of all that grader's grades of the half
	Again                 // the new grade is a further reading, which tells how well the grader repeats
)

// Grade makes the version after this one with these graded halves. A half that
// the set holds already, by its photo and number, gets the new grades beside
// those of others; what becomes of a second grade by one grader is for repeat
// to say. Readings are numbered here. A half is measured once: what was seen of
// it at first stays. This version is left as it is.
func (s Set) Grade(repeat Repeat, halves ...Graded) (Set, error) {
	if len(halves) == 0 {
		return Set{}, fmt.Errorf("%s: no graded halves given: a new version needs at least one", s.title())
	}
	next, err := s.successor()
	if err != nil {
		return Set{}, err
	}
	next.Graded = slices.Clone(s.Graded)
	for _, h := range halves {
		if err := next.grade(repeat, h.clone()); err != nil {
			return Set{}, fmt.Errorf("%s: half %d: %w", s.title(), h.Half, err)
		}
	}
	next.sortGraded()
	return next.with(next.Plates)
}

// grade puts one half into the list.
func (s *Set) grade(repeat Repeat, h Graded) error {
	for _, p := range s.Plates {
		if p.Origin != nil && p.Origin.Photo == h.Photo && p.Origin.Half == h.Half {
			return fmt.Errorf("is the plate of stage %g already and would count twice; leave its stage blank", p.Stage)
		}
	}
	i := slices.IndexFunc(s.Graded, func(g Graded) bool { return g.Photo == h.Photo && g.Half == h.Half })
	if i < 0 {
		grades := h.Grades
		h.Grades = nil
		s.Graded = append(s.Graded, h)
		i, h.Grades = len(s.Graded)-1, grades
	}
	known := s.Graded[i].clone()
	for _, g := range h.Grades {
		if err := known.take(repeat, g); err != nil {
			return err
		}
	}
	s.Graded[i] = known
	return nil
}

// take adds one grade to those of the half.
func (g *Graded) take(repeat Repeat, grade Grade) error {
	before := g.byGrader()[grade.By]
	if len(before) > 0 {
		switch repeat {
		case Refuse:
			return fmt.Errorf("%s %w, as stage %g", graderName(grade.By), ErrGradedBefore, before[len(before)-1])
		case Correct:
			g.Grades = slices.DeleteFunc(g.Grades, func(o Grade) bool { return o.By == grade.By })
			before = nil
		}
	}
	grade.Reading = len(before) + 1
	g.Grades = append(g.Grades, grade)
	return nil
}

// sortGraded orders the halves by photo, in the order in which photos came, then
// by number.
func (s *Set) sortGraded() {
	place := map[string]int{}
	for _, g := range s.Graded {
		if _, ok := place[g.Photo]; !ok {
			place[g.Photo] = len(place)
		}
	}
	slices.SortStableFunc(s.Graded, func(a, b Graded) int {
		if d := place[a.Photo] - place[b.Photo]; d != 0 {
			return d
		}
		return a.Half - b.Half
	})
}

// graderName is how a grader is spoken of.
func graderName(by string) string {
	if by == "" {
		return "a grader without initials"
	}
	return by
}

const (
	maxGraded   = 2000
	maxInitials = 8
)

// ValidateInitials says whether a grader may be called so: up to eight letters,
// digits, dots and dashes, or nothing for a grader without initials.
func ValidateInitials(by string) error {
	odd := func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !strings.ContainsRune(".-", r)
	}
	if !utf8.ValidString(by) || utf8.RuneCountInString(by) > maxInitials || strings.ContainsFunc(by, odd) {
		return fmt.Errorf("initials %q: take up to %d letters, digits, dots and dashes", by, maxInitials)
	}
	return nil
}

func (s Set) checkGraded() error {
	if len(s.Graded) > maxGraded {
		return fmt.Errorf("%d graded halves: a set holds up to %d", len(s.Graded), maxGraded)
	}
	type place struct {
		photo string
		half  int
	}
	seen := map[place]bool{}
	for i, g := range s.Graded {
		if err := g.check(s); err != nil {
			return fmt.Errorf("graded half %d (%s): %w", i+1, g.Source, err)
		}
		at := place{g.Photo, g.Half}
		if seen[at] {
			return fmt.Errorf("graded half %d (%s) is there twice", i+1, g.Source)
		}
		seen[at] = true
	}
	return nil
}

// check says what is wrong with the half by itself.
func (g Graded) check(s Set) error {
	if err := checkPlace(g.Photo, g.Half); err != nil {
		return err
	}
	if err := checkText("source", g.Source); err != nil {
		return err
	}
	if len(g.Grades) == 0 {
		return errors.New("it has no grade")
	}
	if err := g.checkGrades(s.Scale); err != nil {
		return err
	}
	if n, want := len(g.Seen.Zones), len(s.Plates[0].Zones); n != want {
		return fmt.Errorf("it has %d zones where the plates have %d: measure all with the same number", n, want)
	}
	for _, v := range []float64{g.Seen.StainedLow, g.Seen.StainedHigh, g.Seen.Masked} {
		if !isFraction(v) {
			return fmt.Errorf("%g is outside 0 to 1", v)
		}
	}
	for _, d := range g.Seen.Doubts {
		if err := checkText("doubt", d.Key()); err != nil {
			return err
		}
	}
	return checkProfile(g.Seen.Stained, g.Seen.Zones, g.Seen.Weights, g.Seen.Sectors)
}

func (g Graded) checkGrades(scale Scale) error {
	readings := map[string]int{}
	for _, grade := range g.Grades {
		if err := ValidateInitials(grade.By); err != nil {
			return err
		}
		if !scale.Contains(grade.Stage) {
			return fmt.Errorf("stage %g is not on the scale from %g to %g", grade.Stage, scale.Stained, scale.Clear)
		}
		if err := checkTime(grade.When); err != nil {
			return err
		}
		if readings[grade.By]++; grade.Reading != readings[grade.By] {
			return fmt.Errorf("reading %d of %s follows %d others", grade.Reading, graderName(grade.By), readings[grade.By]-1)
		}
	}
	return nil
}

// checkPlace looks at a half's photo and number.
func checkPlace(photo string, half int) error {
	if !isDigest(photo) {
		return errors.New("its photo is not given by a SHA-256")
	}
	if half < 1 {
		return fmt.Errorf("half %d: halves are counted from 1", half)
	}
	return nil
}
