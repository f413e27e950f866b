package report

import (
	"math"
	"strconv"
	"strings"
	"time"
	"unicode"

	"traystage/scoring"
)

// mark is the stage of a plate, without a decimal it does not need: "3", "3.5".
func mark(stage float64) string {
	return strconv.FormatFloat(math.Round(stage*10)/10, 'f', -1, 64)
}

// between names the plates that bracket a call: "3 and 4", or "1" where one
// plate alone is nearest.
func between(plates [2]float64) string {
	if plates[0] == plates[1] {
		return mark(plates[0])
	}
	return mark(plates[0]) + " and " + mark(plates[1])
}

// heading names what the report is about: orchard, block and variety as far as
// they are known, else the photo.
func heading(r scoring.Report) string {
	var known []string
	for _, name := range []string{r.Orchard, r.Block, r.Variety} {
		if name != "" {
			known = append(known, name)
		}
	}
	if known == nil {
		return r.Photo
	}
	return strings.Join(known, ", ")
}

// isoLocal is a time without zone: the camera's clock says none.
const isoLocal = "2006-01-02T15:04:05"

func taken(t time.Time, layout string) string {
	if t.IsZero() {
		return ""
	}
	return t.Format(layout)
}

// advice is what the photographer can do about the half, each piece once.
func advice(f scoring.Fruit) []string {
	var out []string
	seen := map[string]bool{"": true}
	for _, r := range f.Remarks {
		if !seen[r.Advice] {
			out = append(out, r.Advice)
		}
		seen[r.Advice] = true
	}
	return out
}

// doubts is everything worth saying about the half: why it is borderline or has
// no stage, then what the photo leaves doubtful, each once.
func doubts(f scoring.Fruit) []string {
	var out []string
	seen := map[string]bool{"": true}
	add := func(text string) {
		if !seen[text] {
			out = append(out, text)
		}
		seen[text] = true
	}
	add(f.WhyUnscored())
	if f.Scored() {
		for _, reason := range f.Call.Reasons {
			add(reason)
		}
	}
	for _, r := range f.Remarks {
		add(r.Text)
	}
	return out
}

// printable replaces what could steer a terminal, such as an escape in a file
// name.
func printable(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsPrint(r) || unicode.IsSpace(r) {
			return r
		}
		return unicode.ReplacementChar
	}, text)
}
