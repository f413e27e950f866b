package instrument

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"traystage/vision/note"
)

// How far an instrument may be off, and how long a check holds.
const (
	// zeroWithin is the resolution asked of a refractometer's scale, °Brix.
	// Source: OIV-MA-AS2-02, clause 2.
	zeroWithin = 0.1
	// weightWithin is half of the 1 lbf by which published targets of one
	// variety differ from market to market, lbf. Common practice, no source.
	weightWithin = 0.5
	// checkHolds is the age from which a check is old, days. Common practice, no
	// source.
	checkHolds = 1
)

// Validate tells what is wrong with a check as it was entered, nil when
// nothing is. Whether the instrument passed is another matter.
func (c Check) Validate() error {
	finite := func(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
	switch {
	case c.Kind != ZeroWater && c.Kind != CheckWeight:
		return fmt.Errorf("%q is not a kind of check; it is %q or %q", c.Kind, ZeroWater, CheckWeight)
	case c.Day.IsZero():
		return errors.New("the check has no day; say when it was made")
	case !finite(c.Expected) || !finite(c.Shown):
		return errors.New("what the instrument showed is not a number; read it again")
	case c.Kind == ZeroWater && (c.Unit != "" || c.Expected != 0):
		return errors.New("purified water shows 0 °Brix; leave the unit and the expected value out")
	case c.Kind == CheckWeight && !c.Unit.Valid():
		return fmt.Errorf("%q is not a unit of force; write lbf, kgf or N", c.Unit)
	case c.Kind == CheckWeight && c.Expected <= 0:
		return errors.New("a check weight weighs something; say how much")
	}
	return nil
}

// Passed says whether the instrument showed what it should: within 0.1 °Brix of
// zero, within 0.5 lbf of the weight. A check that is not valid never passed.
func (c Check) Passed() bool {
	if c.Validate() != nil {
		return false
	}
	off, within := math.Abs(c.Shown-c.Expected), zeroWithin
	if c.Kind == CheckWeight {
		off, within = Force{off, c.Unit}.In(PoundForce), weightWithin
	}
	return off <= within+1e-9 // 12.1 - 12 is a little more than 0.1 in doubles
}

// Failed tells of the instruments of a kind that a day's readings were made with which
// failed their last check up to that day: what they showed is not sure. The zero Note
// says that none did.
func Failed(kind CheckKind, day time.Time, checks []Check) note.Note {
	for _, c := range latestChecks(kind, day, checks) {
		if !c.Passed() && daysBetween(c.Day, day) <= checkHolds {
			return c.failure()
		}
	}
	return note.Note{}
}

// CheckRemarks says what is missing, failed or old among the checks of
// the instruments that the readings of a day were made with. Only checks made
// up to that day count, the last of each instrument. Days are those of the
// times' own zones.
func CheckRemarks(day time.Time, checks []Check, readings []Reading) []note.Note {
	firmness := slices.ContainsFunc(readings, func(r Reading) bool { return r.Firmness != nil })
	solids := slices.ContainsFunc(readings, func(r Reading) bool { return r.Solids != nil })
	var out []note.Note
	if firmness {
		out = append(out, remarksOn(CheckWeight, day, checks)...)
	}
	if solids {
		out = append(out, remarksOn(ZeroWater, day, checks)...)
	}
	return out
}

func remarksOn(kind CheckKind, day time.Time, checks []Check) []note.Note {
	about := note.Term("kind", "check_kind", kind)
	latest := latestChecks(kind, day, checks)
	if len(latest) == 0 {
		return []note.Note{note.New("check.none", about)}
	}
	youngest := slices.MinFunc(latest, func(a, b Check) int { return daysBetween(a.Day, day) - daysBetween(b.Day, day) })
	if age := daysBetween(youngest.Day, day); age > checkHolds {
		return []note.Note{note.New("check.old", about, note.Day("day", youngest.Day), note.Count("n", age))}
	}
	var out []note.Note
	for _, c := range latest {
		if !c.Passed() && daysBetween(c.Day, day) <= checkHolds {
			out = append(out, c.failure())
		}
	}
	return out
}

// checkFailedNamed is said of an instrument with a name of its own.
const checkFailedNamed note.Code = "check.failed_named"

// failure says by how much an instrument missed.
func (c Check) failure() note.Note {
	unit := string(c.Unit)
	if c.Kind == ZeroWater {
		unit = "°Brix"
	}
	failed := note.New("check.failed", note.Term("kind", "check_kind", c.Kind), note.Day("day", c.Day),
		asRead("shown", c.Shown, unit), asRead("expected", c.Expected, unit))
	if c.Instrument != "" {
		failed.Code = checkFailedNamed
		failed = failed.And(note.Name("instrument", c.Instrument))
	}
	return failed
}

// latestChecks are the last checks of a kind of each instrument up to a day, in
// the order in which instruments first appear.
func latestChecks(kind CheckKind, day time.Time, checks []Check) []Check {
	var latest []Check
	for _, c := range checks {
		if c.Kind != kind || daysBetween(c.Day, day) < 0 {
			continue
		}
		i := slices.IndexFunc(latest, func(l Check) bool { return l.Instrument == c.Instrument })
		switch {
		case i < 0:
			latest = append(latest, c)
		case !c.Day.Before(latest[i].Day): // of two on one day the later entry
			latest[i] = c
		}
	}
	return latest
}

// daysBetween counts the midnights from one day to another.
func daysBetween(from, to time.Time) int {
	date := func(t time.Time) time.Time {
		y, m, d := t.Date()
		return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	}
	return int(date(to).Sub(date(from)) / (24 * time.Hour))
}
