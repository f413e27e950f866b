package document

import "strings"

// cellGap is the room between the columns of a table, mm.
const cellGap = 3.0

// leastTable is the room, mm, for the caption, headings and first rows of a
// table, which are not parted.
const leastTable = 30.0

// paperTable is a table with its measures.
type paperTable struct {
	Table
	wide []float64 // of each column with the gap behind it, mm
	size float64   // of its letters, points
}

// table sets a table over the width of the page, its headings again on every
// page that it runs on to.
func (p *paper) table(t Table) {
	if len(t.Rows)+len(t.Foot) == 0 {
		if t.Empty != "" {
			p.write(t.Empty, "", bodyLetter, edge, column)
			p.y++
		}
		return
	}
	set := p.measure(t)
	p.room(leastTable)
	if t.Caption != "" {
		p.write(t.Caption, "B", bodyLetter, edge, column)
	}
	p.head(set)
	for _, row := range t.Rows {
		p.row(set, row, "")
	}
	if len(t.Foot) > 0 {
		p.rule(edge, p.y, column, 0.4)
	}
	for _, row := range t.Foot {
		p.row(set, row, "B")
	}
	p.y += 3
}

func (p *paper) head(t paperTable) {
	cells := make([]Cell, len(t.Columns))
	for i, c := range t.Columns {
		cells[i] = Word(c.heading())
	}
	p.cells(t, cells, "B", p.rowTall(t, cells, "B"))
	if t.Ruled == 0 {
		p.rule(edge, p.y, column, 0.4)
	}
}

func (p *paper) row(t paperTable, cells []Cell, style string) {
	tall := max(p.rowTall(t, cells, style), t.Ruled)
	if p.room(tall) {
		p.head(t)
	}
	p.cells(t, cells, style, tall)
	if t.Ruled == 0 {
		p.pdf.SetDrawColor(0x8a, 0x88, 0x96)
		p.rule(edge, p.y, column, 0.15)
		p.ink()
	}
}

// cells sets one row and moves down past it.
func (p *paper) cells(t paperTable, cells []Cell, style string, tall float64) {
	x := edge
	for i, c := range cells {
		if t.Ruled > 0 {
			p.pdf.SetLineWidth(0.3)
			p.pdf.Rect(x, p.y, t.wide[i], tall, "D")
		}
		align := "R"
		if t.Columns[i].Kind == Words {
			align = "L"
		}
		inset := 0.0
		if t.Ruled > 0 {
			align, inset = "L", 1.2
		}
		p.letters(cellStyle(c, style), t.size)
		y := p.y + 0.5
		for _, line := range p.wrap(c.text, t.wide[i]-cellGap) {
			p.put(line, x+inset, y, t.wide[i]-cellGap, t.size, align)
			y += lineTall(t.size)
		}
		x += t.wide[i]
	}
	p.y += tall
}

func (p *paper) rowTall(t paperTable, cells []Cell, style string) float64 {
	lines := 1
	for i, c := range cells {
		p.letters(cellStyle(c, style), t.size)
		lines = max(lines, len(p.wrap(c.text, t.wide[i]-cellGap)))
	}
	return float64(lines)*lineTall(t.size) + 1
}

func cellStyle(c Cell, style string) string {
	if c.strong {
		return "B"
	}
	return style
}

// measure chooses letters in which the words of the table fit beside each other,
// and shares out the width of the page: every column gets what its longest word
// needs, then what its cells want.
func (p *paper) measure(t Table) paperTable {
	set := paperTable{Table: t}
	for _, set.size = range []float64{smallLetter, 7.5, 6.5} {
		least, wanted := p.columns(t, set.size)
		spare := len(t.Columns) - 1
		if t.Columns[spare].Kind != Words {
			spare = 0
		}
		set.wide = shareOut(column, least, wanted, spare)
		if sum(least) <= column {
			break
		}
	}
	return set
}

// columns is what every column needs for its longest word, and what it wants
// for its cells.
func (p *paper) columns(t Table, size float64) (least, wanted []float64) {
	least, wanted = make([]float64, len(t.Columns)), make([]float64, len(t.Columns))
	for i, c := range t.Columns {
		p.letters("B", size) // the wider letters, for all that may stand in the column
		for _, word := range strings.Fields(p.able(c.heading())) {
			least[i] = max(least[i], p.pdf.GetStringWidth(word)+cellGap)
		}
		const onOneLine = 26.0 // headings up to that width want to stay on one line, mm
		wanted[i] = max(least[i], c.Wide*column, min(p.pdf.GetStringWidth(p.able(c.heading()))+cellGap, onOneLine))
		for _, rows := range [][][]Cell{t.Rows, t.Foot} {
			for _, row := range rows {
				least[i], wanted[i] = p.needs(row[i].text, c.Kind, least[i], wanted[i])
			}
		}
	}
	return least, wanted
}

// needs widens what a column needs and wants by one of its cells. Figures are
// not broken.
func (p *paper) needs(text string, kind ColumnKind, least, wanted float64) (float64, float64) {
	text = p.able(text)
	whole := p.pdf.GetStringWidth(text) + cellGap
	wanted = max(wanted, whole)
	if kind != Words {
		return max(least, whole), wanted
	}
	const most = 40.0 // longer words are broken, mm
	for _, word := range strings.Fields(text) {
		least = max(least, min(p.pdf.GetStringWidth(word)+cellGap, most))
	}
	return least, wanted
}

// shareOut gives columns their widths so that they add up to whole. What is left
// over goes to the last column or, where figures stand there, to the first.
func shareOut(whole float64, least, wanted []float64, spare int) []float64 {
	sumLeast, sumWanted := sum(least), sum(wanted)
	out := make([]float64, len(least))
	for i := range out {
		switch {
		case sumWanted <= whole:
			out[i] = wanted[i]
		case sumLeast <= whole:
			out[i] = least[i] + (wanted[i]-least[i])*(whole-sumLeast)/(sumWanted-sumLeast)
		default:
			out[i] = least[i] * whole / sumLeast
		}
	}
	if sumWanted < whole {
		out[spare] += whole - sumWanted
	}
	return out
}

func sum(values []float64) float64 {
	total := 0.0
	for _, v := range values {
		total += v
	}
	return total
}
