package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"traystage/scoring"
	"traystage/scoring/instrument"
	"traystage/scoring/report/document"
	"traystage/scoring/words"
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

// english is the language of reports.
var english = words.For(words.Default)

// advice is what the photographer can do about the half, each piece once.
func advice(f scoring.Fruit) []string {
	var out []string
	seen := map[string]bool{"": true}
	for _, r := range f.Remarks {
		todo := english.Advice(r)
		if !seen[todo] {
			out = append(out, todo)
		}
		seen[todo] = true
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
	add(english.Say(f.WhyUnscored()))
	if f.Scored() {
		for _, reason := range f.Call.Reasons {
			add(english.Say(reason))
		}
	}
	for _, r := range f.Remarks {
		add(english.Say(r))
	}
	return out
}

// join puts words that are not empty together.
func join(between string, words ...string) string {
	var out []string
	for _, w := range words {
		if w != "" {
			out = append(out, w)
		}
	}
	return strings.Join(out, between)
}

func by(initials string) string {
	if initials == "" {
		return ""
	}
	return "by " + initials
}

func longDay(t time.Time) string { return taken(t, "2 January 2006") }

// named is a quantity with its unit: "firmness, lbf".
func named(q scoring.Quantity, unit string) string { return join(", ", string(q), unit) }

// digits is with how many a figure of a quantity is told, as package scoring
// tells it in words.
func digits(q scoring.Quantity, unit string) int {
	switch {
	case q == scoring.StainedOf || q == scoring.ClearOf || q == scoring.RedOf:
		return 0
	case q == scoring.StreifOf && strings.HasPrefix(unit, string(instrument.KilogramForce)):
		return 3
	case q == scoring.StreifOf:
		return 2
	}
	return 1
}

// stages is an interval of stages.
func stages(low, high float64) document.Cell {
	return document.Between(document.Number(low, 1), document.Number(high, 1))
}

// sentence is text with a capital.
func sentence(text string) string {
	if text == "" {
		return ""
	}
	first, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + text[size:]
}

// minutes is a short time: "3 min", "40 s".
func minutes(d time.Duration) string {
	if d < 2*time.Minute {
		return fmt.Sprintf("%.0f s", d.Seconds())
	}
	return fmt.Sprintf("%.0f min", d.Minutes())
}
