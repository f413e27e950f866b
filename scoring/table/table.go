// Package table reads sheets that people filled in, whatever they were saved as:
// delimited text or a workbook, .xlsx or .ods. Out come rows of cells as text; what
// they mean is for others to say.
//
//   - Text may be UTF-8, UTF-16 with its mark or Windows-1252; cells are parted by commas,
//     semicolons or tabs, whichever the first written line has most of.
//   - Of a workbook the first sheet with anything in it is read. Numbers come out with a
//     point and without the digits that only binary fractions have, dates as 2026-09-14, shares shown in per cent with their sign.
//
// Nothing that is too large for a sheet fills the memory, packed or not.
package table

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"
)

// What a sheet may hold: enough for every block of a season, and little enough
// that a wrong file is refused before it fills the memory.
const (
	mostBytes    = 8 << 20
	mostUnpacked = 64 << 20 // of one part of a workbook
	mostRows     = 20000
	mostWidth    = 200  // cells of a row
	mostCell     = 2000 // bytes
)

// Table is what a file holds.
type Table struct {
	Rows  []Row  // in order, without blank ones
	Comma rune   // what parts the cells of a text; 0 where it has one column or is a workbook
	Sheet string // name of the workbook's sheet; empty for a text
	// Others are further sheets of the workbook with something in them.
	Others  []string
	Western bool // the text was no UTF-8 and was read as Windows-1252
}

// Row is one row.
type Row struct {
	Line  int      // where it begins, from 1
	Cells []string // without the spaces around them
}

// Blank says whether nothing is written in the row.
func (r Row) Blank() bool {
	return !slices.ContainsFunc(r.Cells, func(c string) bool { return c != "" })
}

// Error is why a file is no table; Row is 0 where it is about the file.
type Error struct {
	Row  int
	Text string // what is wrong, and what to do
}

func (e *Error) Error() string {
	if e.Row == 0 {
		return e.Text
	}
	return fmt.Sprintf("row %d: %s", e.Row, e.Text)
}

func wrong(row int, format string, args ...any) error {
	return &Error{row, fmt.Sprintf(format, args...)}
}

// Read reads a table to its end. The error is an *Error unless reading itself fails.
func Read(r io.Reader) (Table, error) {
	b, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	if err != nil {
		return Table{}, fmt.Errorf("cannot be read: %w", err)
	}
	if len(b) > mostBytes {
		return Table{}, wrong(0, "the file is larger than %d MB; save the sheet alone", mostBytes>>20)
	}
	switch {
	case bytes.HasPrefix(b, []byte("PK\x03\x04")):
		return readWorkbook(b)
	case bytes.HasPrefix(b, []byte("\xd0\xcf\x11\xe0")):
		return Table{}, wrong(0, "the file is a workbook of an old kind, or one with a password; save it as .xlsx, .ods or CSV")
	}
	return readText(b)
}

// add appends a row unless it is blank; the error says why it is none of a sheet.
func (t *Table) add(line int, cells []string) error {
	for i, c := range cells {
		cells[i] = strings.TrimSpace(c)
	}
	row := Row{line, cells}
	if row.Blank() {
		return nil
	}
	if len(t.Rows) > mostRows {
		return wrong(0, "the file has more than %d rows; save the sheet alone, or one block a file", mostRows)
	}
	if len(cells) > mostWidth {
		return wrong(line, "has %d cells, more than the %d of a sheet; save the table alone", len(cells), mostWidth)
	}
	if slices.ContainsFunc(cells, func(c string) bool { return len(c) > mostCell }) {
		return wrong(line, "a cell is longer than %d bytes; shorten it, or look for a quotation mark that is not closed", mostCell)
	}
	t.Rows = append(t.Rows, row)
	return nil
}
