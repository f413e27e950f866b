package report

import (
	"io"
	"slices"
	"strconv"
	"strings"

	"traystage/scoring"
	"traystage/scoring/report/document"
	"traystage/scoring/words"
	"traystage/vision/note"
)

// WriteText writes one report as a table for the terminal, in a language: one row
// for each half, the block mean last, doubts as footnotes below, then the
// warnings. It stays within 80 columns unless a single word is longer than that.
func WriteText(w io.Writer, r scoring.Report, in *words.Catalogue) error {
	p := penOf(in)
	var b strings.Builder
	for _, line := range p.textHead(r) {
		document.WriteWrapped(&b, "", line)
	}
	b.WriteByte('\n')
	notes := &footnotes{pen: p}
	rows := [][]string{{p.Text("head.half"), p.Text("head.stage"), p.Text("head.interval_90"), p.Text("head.between"), p.Text("head.stained"), p.Text("head.look")}}
	for _, f := range r.Fruit {
		rows = append(rows, p.textRow(f, notes))
	}
	document.WriteColumns(&b, []bool{false, false, false, false, false, true}, rows, [][]string{p.meanRow(r.Summary)})
	if len(notes.text) > 0 {
		b.WriteByte('\n')
	}
	for i, text := range notes.text {
		document.WriteWrapped(&b, superscript(i+1)+" ", text)
	}
	lines := p.textWarnings(r)
	if len(lines) > 0 {
		b.WriteByte('\n')
	}
	for _, line := range lines {
		document.WriteWrapped(&b, p.Text("text.note")+" ", line)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func (p pen) textHead(r scoring.Report) []string {
	photo := r.Photo
	if t := taken(r.Taken, "2006-01-02 15:04"); t != "" {
		photo = p.Text("text.taken", note.Name("photo", photo), note.Name("at", t))
	}
	state := p.Text("text.uncalibrated")
	if r.Reference.Calibrated {
		state = p.Text("text.calibrated")
	}
	scale := r.Reference.Scale
	lines := []string{photo, p.Text("text.set", note.Name("set", r.Reference.Name), note.Name("version", r.Reference.Version),
		note.Stage("stained", scale.Stained), note.Stage("clear", scale.Clear), note.Name("state", state))}
	if head := heading(r); head != r.Photo {
		lines = slices.Insert(lines, 0, head)
	}
	return lines
}

func (p pen) textWarnings(r scoring.Report) []string {
	lines := p.SayAll(r.Summary.Warnings)
	for _, remark := range r.Remarks {
		lines = append(lines, join(": ", p.Say(remark), p.Advice(remark)))
	}
	return lines
}

func (p pen) textRow(f scoring.Fruit, notes *footnotes) []string {
	marks := notes.marks(f)
	number := strconv.Itoa(f.Number)
	if !f.Scored() {
		return []string{number, "–", "", "", "", join(" ", p.Text("text.not_scored"), marks)}
	}
	if f.Open() {
		marks = join(" ", p.Text("judged.look"), marks)
	}
	stage := p.Number(f.Stage(), 1)
	if f.Overridden() {
		return []string{number, stage, "", "", "", join(" ", p.Text("text.by_eye"), marks)}
	}
	return []string{number, stage, p.dash(f.Call.Low, f.Call.High), p.plates(f.Call.Between), p.Percent(f.Stained), marks}
}

func (p pen) meanRow(s scoring.Summary) []string {
	n := note.Count("n", s.N)
	row := []string{p.Text("head.mean"), "–", "", "", "", p.Text("text.n", n)}
	if s.N > 0 {
		row[1] = p.Number(s.Mean, 1)
	}
	if s.HasInterval() {
		row[2] = p.dash(s.Low, s.High)
		row[5] = p.Text("text.sd_n", note.Stage("sd", s.SD), n)
	}
	return row
}

func (p pen) dash(low, high float64) string { return p.Number(low, 1) + " – " + p.Number(high, 1) }

// footnotes numbers texts in the order they are first met.
type footnotes struct {
	pen
	text []string
}

// marks gives the superscripts of everything worth saying about the half.
func (n *footnotes) marks(f scoring.Fruit) string {
	help := map[string]string{}
	for _, r := range f.Remarks {
		help[n.Say(r)] = n.Advice(r)
	}
	var out []string
	for _, text := range n.doubts(f) {
		text = join(": ", text, help[text])
		at := slices.Index(n.text, text)
		if at < 0 {
			at = len(n.text)
			n.text = append(n.text, text)
		}
		out = append(out, superscript(at+1))
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
