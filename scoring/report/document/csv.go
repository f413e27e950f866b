package document

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"strings"

	"traystage/scoring/words"
)

// WriteCSV writes all figures of a document as tables one under another. Each
// begins with a line that holds its name alone and its headings with their
// units, and ends with an empty line; facts are a table of names and values.
// Numbers have the decimals that people are shown and a point, days are
// year-month-day, what is not known is empty. The text is UTF-8 with a byte
// order mark, without which spreadsheet programs take it for something else.
func WriteCSV(w io.Writer, d Document) error {
	d = d.told()
	var b bytes.Buffer
	b.WriteString("\ufeff")
	for i, g := range d.grids() {
		if i > 0 {
			b.WriteByte('\n')
		}
		if err := writeGrid(&b, g, d.Words); err != nil {
			return fmt.Errorf("report as CSV: %w", err)
		}
	}
	_, err := io.WriteString(w, words.Visible(b.String()))
	return err
}

func writeGrid(to io.Writer, g grid, w *words.Catalogue) error {
	out := csv.NewWriter(to)
	rows := [][]string{{g.title}}
	if head := g.headings(); head != nil {
		rows = append(rows, head)
	}
	for _, row := range g.rows {
		var record []string
		for _, c := range row {
			record = append(record, harmless(c.plain(w), c.value))
		}
		rows = append(rows, record)
	}
	return out.WriteAll(rows)
}

// harmless keeps a spreadsheet program from taking words that a person wrote,
// such as "-see note" or "=1+1", for a formula.
func harmless(text string, value any) string {
	if _, words := value.(string); words && strings.ContainsAny(text[:1], "=+-@\t\r") {
		return "'" + text
	}
	return text
}
