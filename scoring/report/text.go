package report

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"traystage/scoring"
	"traystage/scoring/report/document"
)

// WriteText writes one report as a table for the terminal: one row for each
// half, the block mean last, doubts as footnotes below, then the warnings. It
// stays within 80 columns unless a single word is longer than that.
func WriteText(w io.Writer, r scoring.Report) error {
	var b strings.Builder
	for _, line := range textHead(r) {
		document.WriteWrapped(&b, "", line)
	}
	b.WriteByte('\n')
	notes := &footnotes{number: map[string]int{}}
	rows := [][]string{{"half", "stage", "90 % interval", "between", "stained", "to look at"}}
	for _, f := range r.Fruit {
		rows = append(rows, textRow(f, notes))
	}
	document.WriteColumns(&b, []bool{false, false, false, false, false, true}, rows, [][]string{meanRow(r.Summary)})
	if len(notes.text) > 0 {
		b.WriteByte('\n')
	}
	for i, text := range notes.text {
		document.WriteWrapped(&b, superscript(i+1)+" ", text)
	}
	lines := textWarnings(r)
	if len(lines) > 0 {
		b.WriteByte('\n')
	}
	for _, line := range lines {
		document.WriteWrapped(&b, "note: ", line)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func textHead(r scoring.Report) []string {
	photo := r.Photo
	if t := taken(r.Taken, "2006-01-02 15:04"); t != "" {
		photo += ", taken " + t
	}
	state := "not calibrated"
	if r.Reference.Calibrated {
		state = "calibrated"
	}
	scale := r.Reference.Scale
	lines := []string{photo, fmt.Sprintf("reference set %s, version %s, scale %s to %s, %s",
		r.Reference.Name, r.Reference.Version, mark(scale.Stained), mark(scale.Clear), state)}
	if head := heading(r); head != r.Photo {
		lines = append([]string{head}, lines...)
	}
	return lines
}

func textWarnings(r scoring.Report) []string {
	lines := english.SayAll(r.Summary.Warnings)
	for _, remark := range r.Remarks {
		line := join(": ", english.Say(remark), english.Advice(remark))
		lines = append(lines[:len(lines):len(lines)], line)
	}
	return lines
}

func textRow(f scoring.Fruit, notes *footnotes) []string {
	marks := notes.marks(f)
	number := strconv.Itoa(f.Number)
	if !f.Scored() {
		return []string{number, "–", "", "", "", strings.TrimSpace("not scored " + marks)}
	}
	if f.Open() {
		marks = strings.TrimSpace("look " + marks)
	}
	if f.Overridden() {
		return []string{number, scoring.Tenth(f.Stage()), "", "", "", strings.TrimSpace("by eye " + marks)}
	}
	return []string{number, scoring.Tenth(f.Stage()), dash(f.Call.Low, f.Call.High), between(f.Call.Between), scoring.Percent(f.Stained) + " %", marks}
}

func meanRow(s scoring.Summary) []string {
	row := []string{"mean", "–", "", "", "", fmt.Sprintf("n %d", s.N)}
	if s.N > 0 {
		row[1] = scoring.Tenth(s.Mean)
	}
	if s.HasInterval() {
		row[2] = dash(s.Low, s.High)
		row[5] = fmt.Sprintf("SD %s, n %d", scoring.Tenth(s.SD), s.N)
	}
	return row
}

func dash(low, high float64) string { return scoring.Tenth(low) + " – " + scoring.Tenth(high) }

// footnotes numbers texts in the order they are first met.
type footnotes struct {
	number map[string]int
	text   []string
}

// marks gives the superscripts of everything worth saying about the half.
func (n *footnotes) marks(f scoring.Fruit) string {
	help := map[string]string{}
	for _, r := range f.Remarks {
		help[english.Say(r)] = english.Advice(r)
	}
	var out []string
	for _, text := range doubts(f) {
		if help[text] != "" {
			text += ": " + help[text]
		}
		if n.number[text] == 0 {
			n.text = append(n.text, text)
			n.number[text] = len(n.text)
		}
		out = append(out, superscript(n.number[text]))
	}
	return strings.Join(out, " ")
}

func superscript(n int) string {
	digits := []rune("⁰¹²³⁴⁵⁶⁷⁸⁹")
	var b strings.Builder
	for _, d := range strconv.Itoa(n) {
		b.WriteRune(digits[d-'0'])
	}
	return b.String()
}
