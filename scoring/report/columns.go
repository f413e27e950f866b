package report

import (
	"strings"

	"github.com/mattn/go-runewidth"
)

// terminal measures text in terminal cells: two for a wide letter, none for a
// combining accent, one for a dash whatever the locale.
var terminal = runewidth.Condition{}

// writeColumns writes rows of equally many cells: all right-aligned but the
// last, two blanks between columns and a rule above the last row.
func writeColumns(b *strings.Builder, rows [][]string) {
	widths := make([]int, len(rows[0]))
	total := 0
	for i := range widths {
		for _, row := range rows {
			widths[i] = max(widths[i], terminal.StringWidth(row[i]))
		}
		total += widths[i] + 2
	}
	for n, row := range rows {
		if n == len(rows)-1 {
			b.WriteString(strings.Repeat("─", min(total-2, textWidth)) + "\n")
		}
		var line strings.Builder
		for i, cell := range row {
			if i < len(row)-1 {
				line.WriteString(strings.Repeat(" ", widths[i]-terminal.StringWidth(cell)))
			}
			line.WriteString(cell + "  ")
		}
		b.WriteString(strings.TrimRight(line.String(), " ") + "\n")
	}
}

// writeWrapped writes text after a mark, broken between words at 80 columns,
// later lines indented under the first.
func writeWrapped(b *strings.Builder, mark, text string) {
	indent := strings.Repeat(" ", terminal.StringWidth(mark))
	line, filled := mark, terminal.StringWidth(mark)
	fresh := true
	for _, word := range strings.Fields(printable(text)) {
		width := terminal.StringWidth(word)
		if !fresh && filled+1+width > textWidth {
			b.WriteString(line + "\n")
			line, filled, fresh = indent, len(indent), true
		}
		if !fresh {
			line += " "
			filled++
		}
		line += word
		filled += width
		fresh = false
	}
	b.WriteString(line + "\n")
}
