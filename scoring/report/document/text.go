package document

import (
	"io"
	"strings"
	"unicode"

	"github.com/mattn/go-runewidth"

	"traystage/scoring/words"
)

// TextWidth is the width of a terminal nobody has widened, in cells.
const TextWidth = 80

// terminal measures text in terminal cells: two for a wide letter, none for a
// combining accent, one for a dash whatever the locale.
var terminal = runewidth.Condition{}

// Cells is the width of text on a terminal.
func Cells(text string) int { return terminal.StringWidth(text) }

// WriteText writes the brief sections of a document for the terminal: within 80
// columns unless a single word, or a table's columns but the last, are wider.
func WriteText(w io.Writer, d Document) error {
	d = d.told()
	var b strings.Builder
	for _, order := range d.orders() {
		writePart(&b, order, d.Words)
	}
	if b.Len() > 0 {
		b.WriteByte('\n')
	}
	WriteWrapped(&b, "", d.Title)
	if d.Under != "" {
		WriteWrapped(&b, "", d.Under)
	}
	for _, s := range d.Sections {
		if !s.Brief {
			continue
		}
		for _, part := range s.Parts {
			if _, told := part.(Order); !told {
				writePart(&b, part, d.Words)
			}
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// orders are what the reader is to do; on a terminal they come first of all.
func (d Document) orders() []Part {
	var out []Part
	for _, s := range d.Sections {
		for _, part := range s.Parts {
			if _, ok := part.(Order); ok {
				out = append(out, part)
			}
		}
	}
	return out
}

func writePart(b *strings.Builder, part Part, in *words.Catalogue) {
	switch p := part.(type) {
	case Order:
		WriteWrapped(b, "", p.Text)
		for _, why := range p.Why {
			WriteWrapped(b, "  ", why)
		}
	case Answer:
		b.WriteByte('\n')
		WriteWrapped(b, "", joined(": ", strings.ToUpper(p.Answer.text), p.Beside))
		WriteWrapped(b, "", p.Small)
	case Facts:
		b.WriteByte('\n')
		writeFacts(b, p.Facts)
	case Table:
		writeTable(b, p)
	case List:
		writeList(b, p, in)
	case Text:
		b.WriteByte('\n')
		WriteWrapped(b, "", p.Text)
	}
}

// joined puts two texts together, or gives the one that is not empty.
func joined(between, a, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + between + b
}

func writeFacts(b *strings.Builder, facts []Fact) {
	wide := 0
	for _, f := range facts {
		wide = max(wide, Cells(f.Label))
	}
	for _, f := range facts {
		mark := f.Label + strings.Repeat(" ", wide-Cells(f.Label)+2)
		WriteWrapped(b, mark, joined(", ", f.Value.text, f.Note))
	}
}

func writeTable(b *strings.Builder, t Table) {
	t = t.seen()
	switch {
	case len(t.Rows)+len(t.Foot) > 0:
		b.WriteByte('\n')
	case t.Empty != "":
		b.WriteByte('\n')
		WriteWrapped(b, "", t.Empty)
		return
	default:
		return
	}
	head := make([]string, len(t.Columns))
	left := make([]bool, len(t.Columns))
	for i, c := range t.Columns {
		head[i], left[i] = c.heading(), c.Kind == Words
	}
	WriteColumns(b, left, append([][]string{head}, texts(t.Rows)...), texts(t.Foot))
}

func texts(rows [][]Cell) [][]string {
	out := make([][]string, len(rows))
	for i, row := range rows {
		for _, c := range row {
			out[i] = append(out[i], printable(c.text))
		}
	}
	return out
}

func writeList(b *strings.Builder, l List, in *words.Catalogue) {
	if len(l.Items) == 0 {
		return
	}
	b.WriteByte('\n')
	mark := "- "
	if l.Alarm {
		mark = in.Text("text.note") + " "
	} else if l.Title != "" {
		WriteWrapped(b, "", l.Title+":")
	}
	for _, item := range l.Items {
		WriteWrapped(b, mark, item)
	}
}

// WriteColumns writes rows of equally many cells, two blanks between columns:
// those named left to the left, the others to the right. Where the row would
// pass the eightieth cell, left ones are broken between words. A rule stands
// above the foot where there is one.
func WriteColumns(b *strings.Builder, left []bool, rows, foot [][]string) {
	widths := make([]int, len(left))
	for _, row := range append(rows[:len(rows):len(rows)], foot...) {
		for i, cell := range row {
			widths[i] = max(widths[i], Cells(cell))
		}
	}
	narrow(widths, left)
	for _, row := range rows {
		writeRow(b, left, widths, row)
	}
	if len(foot) > 0 {
		b.WriteString(strings.Repeat("─", min(tableWidth(widths), TextWidth)) + "\n")
	}
	for _, row := range foot {
		writeRow(b, left, widths, row)
	}
}

func tableWidth(widths []int) int {
	total := -2
	for _, w := range widths {
		total += w + 2
	}
	return total
}

// narrow takes from the widest left column, as long as one has more than ten
// cells, until the table fits.
func narrow(widths []int, left []bool) {
	const least = 10
	for tableWidth(widths) > TextWidth {
		widest := -1
		for i, w := range widths {
			if left[i] && w > least && (widest < 0 || w >= widths[widest]) {
				widest = i
			}
		}
		if widest < 0 {
			return
		}
		widths[widest]--
	}
}

// writeRow writes one row on as many lines as its longest cell takes.
func writeRow(b *strings.Builder, left []bool, widths []int, row []string) {
	lines := make([][]string, len(row))
	tall := 1
	for i, cell := range row {
		lines[i] = []string{cell}
		if left[i] {
			lines[i] = wrapped(cell, widths[i])
		}
		tall = max(tall, len(lines[i]))
	}
	for n := range tall {
		var line strings.Builder
		for i := range row {
			cell := ""
			if n < len(lines[i]) {
				cell = lines[i][n]
			}
			pad := strings.Repeat(" ", max(0, widths[i]-Cells(cell)))
			if left[i] {
				line.WriteString(cell + pad + "  ")
			} else {
				line.WriteString(pad + cell + "  ")
			}
		}
		b.WriteString(strings.TrimRight(line.String(), " ") + "\n")
	}
}

// wrapped breaks text between words into lines of at most so many cells; a
// single word may be longer.
func wrapped(text string, wide int) []string {
	lines := []string{""}
	for _, word := range strings.Fields(text) {
		last := &lines[len(lines)-1]
		switch {
		case *last == "":
			*last = word
		case Cells(*last)+1+Cells(word) <= wide:
			*last += " " + word
		default:
			lines = append(lines, word)
		}
	}
	return lines
}

// WriteWrapped writes text after a mark, broken between words at 80 cells,
// later lines indented under the first.
func WriteWrapped(b *strings.Builder, mark, text string) {
	mark = printable(mark)
	indent := strings.Repeat(" ", Cells(mark))
	for _, line := range wrapped(printable(text), TextWidth-Cells(mark)) {
		if line = strings.TrimRight(mark+line, " "); line != "" {
			b.WriteString(line + "\n")
		}
		mark = indent
	}
}

// printable writes out what could steer a terminal, such as an escape in a file
// name, and replaces what has no picture.
func printable(text string) string {
	return strings.Map(func(r rune) rune {
		if r == '\u00a0' {
			return ' '
		}
		if unicode.IsPrint(r) || unicode.IsSpace(r) {
			return r
		}
		return unicode.ReplacementChar
	}, words.Visible(text))
}
