package calibrate

import "fmt"

// Override is a call that the grower overrode and chose to make part of the
// set: the half as it was measured, the stage that the grower gave it, who and
// when, and which half of which photo it was.
type Override struct {
	Photo  string // SHA-256 of the photo's bytes, in hexadecimal
	Half   int    // its number in reading order, from 1
	Source string // name of the photo and of the half, for people
	Seen   Observation
	Stage  float64
	By     string // initials
	When   string // RFC 3339
}

// Adopt makes the version after this one with overridden calls as graded
// halves that remember where they came from. They draw the path as others do. They do
// not count towards intervals: halves are overridden because their calls were
// wrong, and how often calls are wrong can only be told from halves that were
// graded without looking at the call. An override without initials or time is refused, and so is
// one of a half that the same grader graded before. This version is left as it is.
func (s Set) Adopt(overrides ...Override) (Set, error) {
	var halves []Graded
	for _, o := range overrides {
		if o.By == "" || o.When == "" {
			return Set{}, fmt.Errorf("%s: the override of %s does not say who made it and when", s.title(), o.Source)
		}
		halves = append(halves, Graded{
			Photo: o.Photo, Half: o.Half, Source: o.Source, Seen: o.Seen, Adopted: true,
			Grades: []Grade{{By: o.By, Stage: o.Stage, When: o.When}},
		})
	}
	return s.Grade(Refuse, halves...)
}
