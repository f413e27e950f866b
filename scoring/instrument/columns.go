package instrument

import (
	"fmt"
	"slices"

	"traystage/scoring/table"
	"traystage/vision/note"
)

// columns are those of a file that hold something.
type columns struct {
	all   []column // without those that were passed over
	width int      // cells of a row
}

// find gives the column of a kind, where there is one.
func (c columns) find(k kind) (column, bool) {
	i := slices.IndexFunc(c.all, func(c column) bool { return c.kind == k })
	if i < 0 {
		return column{}, false
	}
	return c.all[i], true
}

const taken note.Code = "sheet.kg_area"

// readHeadings finds out what each column holds. Those whose heading says
// nothing are passed over with a remark: sheets have columns of their own.
func readHeadings(header table.Row, faults *FileError) (columns, []note.Note) {
	out := columns{width: len(header.Cells)}
	var remarks []note.Note
	var over []string
	for at, heading := range header.Cells {
		c, pressure, err := readHeading(heading, at)
		if err != nil {
			faults.add(Fault{header.Line, heading, err.Error()})
		}
		if c.kind == unknown {
			if heading != "" {
				over = append(over, heading)
			}
			continue
		}
		if pressure {
			remarks = note.Once(append(remarks, note.New(taken))...)
		}
		if text := out.clash(c); text != "" {
			faults.add(Fault{header.Line, heading, text})
		}
		out.all = append(out.all, c)
	}
	if len(over) > 0 {
		remarks = append(remarks, note.New("sheet.passed_over", note.Names("headings", over)))
	}
	if text := out.missing(header); text != "" {
		faults.add(Fault{Row: header.Line, Text: text})
	}
	return out, remarks
}

// clash says why a column cannot stand beside those before it.
func (c columns) clash(next column) string {
	before, ok := c.find(next.kind)
	switch {
	case !ok:
		return ""
	case next.kind != sideColumn:
		return fmt.Sprintf("%q holds the same; leave one of the two in", before.heading)
	case next.unit != "" && before.unit != "" && next.unit != before.unit:
		return fmt.Sprintf("%q is in another unit; write both sides in one", before.heading)
	}
	return ""
}

// missing says which columns a file of readings cannot do without.
func (c columns) missing(header table.Row) string {
	if _, ok := c.find(fruitColumn); !ok {
		return fmt.Sprintf("no column is headed fruit, there are %q; number the fruit in one, as their halves lie on the tray", header.Cells)
	}
	for _, k := range []kind{sideColumn, brixColumn, redColumn, groundColumn} {
		if _, ok := c.find(k); ok {
			return ""
		}
	}
	return fmt.Sprintf("no column holds a reading, there are %q; head them firmness 1 (lbf), firmness 2 (lbf), brix, temperature, red %%, ground colour", header.Cells)
}
