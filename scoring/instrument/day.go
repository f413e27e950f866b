package instrument

import (
	"fmt"
	"strings"
	"time"
)

// writtenDay is a date as it stands in a file.
type writtenDay struct {
	row  int
	text string
}

// Layouts that can be read in one way only, and the two that cannot. Points
// between day and month mean that the day comes first wherever they are used.
var (
	plainDays  = []string{"2006-1-2", "2006/1/2", "2006.1.2", "2.1.2006", "2.1.06"}
	dayFirst   = "2/1/2006"
	monthFirst = "1/2/2006"
)

const isoHint = "write dates like 2026-09-14"

// readDays reads the dates of a file, midnight UTC by their text. Dates like
// 9/14/2026 are taken when all of them together can be read in one way only.
func readDays(written []writtenDay, column string, faults *FileError) map[string]time.Time {
	days := map[string]time.Time{}
	var slashed []writtenDay
	for _, w := range written {
		if _, seen := days[w.text]; seen {
			continue
		}
		day, ok := parseDay(w.text, plainDays...)
		_, either := parseDay(slashes(w.text), dayFirst, monthFirst)
		switch {
		case ok:
			days[w.text] = day
		case either:
			slashed = append(slashed, w)
		default:
			faults.add(Fault{w.row, column, fmt.Sprintf("%q is not a date; %s", w.text, isoHint)})
		}
	}
	layout, fault := orderOf(slashed)
	if fault != nil {
		fault.Column = column
		faults.add(*fault)
		return days
	}
	for _, w := range slashed {
		days[w.text], _ = parseDay(slashes(w.text), layout)
	}
	return days
}

// orderOf finds the one layout that all dates can be read in. Dates that are
// the same in both, such as 9/9/2026, may have either.
func orderOf(slashed []writtenDay) (string, *Fault) {
	var onlyDay, onlyMonth, differs *writtenDay
	for i, w := range slashed {
		a, okA := parseDay(slashes(w.text), dayFirst)
		b, okB := parseDay(slashes(w.text), monthFirst)
		switch {
		case okA && !okB:
			onlyDay = &slashed[i]
		case okB && !okA:
			onlyMonth = &slashed[i]
		case !a.Equal(b):
			differs = &slashed[i]
		}
	}
	switch {
	case onlyDay != nil && onlyMonth != nil:
		return "", &Fault{Row: max(onlyDay.row, onlyMonth.row),
			Text: fmt.Sprintf("%q has the day first and %q the month; %s", onlyDay.text, onlyMonth.text, isoHint)}
	case onlyMonth != nil:
		return monthFirst, nil
	case onlyDay == nil && differs != nil:
		a, _ := parseDay(slashes(differs.text), dayFirst)
		b, _ := parseDay(slashes(differs.text), monthFirst)
		return "", &Fault{Row: differs.row,
			Text: fmt.Sprintf("%q can be %s or %s, and no other date tells which; %s", differs.text, a.Format("2 January"), b.Format("2 January"), isoHint)}
	}
	return dayFirst, nil
}

// ParseDay reads one date, midnight UTC: 2026-09-14, 14.9.2026 or 14/9/2026 with the day
// first. One that could have the month first as well, such as 3/4/2026, is refused.
func ParseDay(text string) (time.Time, error) {
	text = strings.TrimSpace(text)
	if day, ok := parseDay(text, plainDays...); ok {
		return day, nil
	}
	faults := &FileError{}
	layout, fault := orderOf([]writtenDay{{text: text}})
	if fault != nil {
		faults.add(Fault{Text: fault.Text})
		return time.Time{}, faults
	}
	if day, ok := parseDay(slashes(text), layout); ok {
		return day, nil
	}
	return time.Time{}, wrong("%q is no day; write it as in 2026-09-21 or 21.9.2026", text)
}

func slashes(text string) string { return strings.ReplaceAll(text, "-", "/") }

// parseDay reads a date in the first layout that fits; years far from ours are
// slips of the pen.
func parseDay(text string, layouts ...string) (time.Time, bool) {
	for _, layout := range layouts {
		if day, err := time.Parse(layout, text); err == nil && day.Year() >= 1990 && day.Year() <= 2100 {
			return day, true
		}
	}
	return time.Time{}, false
}
