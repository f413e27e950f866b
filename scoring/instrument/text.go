package instrument

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"traystage/vision/note"
)

// What a file of readings may hold: enough for every block of a season, and
// little enough that a wrong file is refused before it fills the memory.
const (
	mostBytes = 8 << 20
	mostRows  = 20000
	mostWidth = 200  // cells of a row
	mostCell  = 2000 // bytes
)

// record is one row of a file and the line where it begins, from 1.
type record struct {
	line  int
	cells []string // without the spaces around them
}

func (r record) blank() bool {
	return !slices.ContainsFunc(r.cells, func(c string) bool { return c != "" })
}

// tooLarge says why a row is none of a sheet of readings, however it is read.
func (r record) tooLarge() string {
	if len(r.cells) > mostWidth {
		return fmt.Sprintf("has %d cells, more than the %d of a sheet; save the readings alone", len(r.cells), mostWidth)
	}
	if slices.ContainsFunc(r.cells, func(c string) bool { return len(c) > mostCell }) {
		return fmt.Sprintf("a cell is longer than %d bytes; shorten it, or look for a quotation mark that is not closed", mostCell)
	}
	return ""
}

// readRecords reads the rows of a CSV file that are not blank.
func readRecords(in io.Reader) ([]record, []note.Note, error) {
	b, err := io.ReadAll(io.LimitReader(in, mostBytes+1))
	if err != nil {
		return nil, nil, fmt.Errorf("cannot be read: %w", err)
	}
	if len(b) > mostBytes {
		return nil, nil, wrong("the file is larger than %d MB; save the readings alone, or one block a file", mostBytes>>20)
	}
	text, remarks, err := decode(b)
	if err != nil {
		return nil, nil, err
	}
	records, err := split(text)
	return records, remarks, err
}

// decode makes text of a file's bytes, lines ended by line feeds: UTF-8, UTF-16
// with a byte order mark, or else Windows-1252 (of which Latin-1 is a part),
// which is remarked on. What is no text is refused.
func decode(b []byte) (string, []note.Note, error) {
	var remarks []note.Note
	switch {
	case bytes.HasPrefix(b, []byte("PK\x03\x04")), bytes.HasPrefix(b, []byte("\xd0\xcf\x11\xe0")):
		return "", nil, wrong("the file is a workbook; save the sheet as CSV")
	case bytes.HasPrefix(b, []byte("\xff\xfe")), bytes.HasPrefix(b, []byte("\xfe\xff")):
		utf16, err := unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM).NewDecoder().Bytes(b)
		if err != nil || bytes.ContainsRune(utf16, utf8.RuneError) {
			return "", nil, wrong("the file begins as UTF-16 and goes on as something else; save the sheet as CSV in UTF-8")
		}
		b = utf16
	case !utf8.Valid(b):
		latin, err := charmap.Windows1252.NewDecoder().Bytes(b)
		if err != nil {
			return "", nil, wrong("the file is not plain text; save the sheet as CSV in UTF-8")
		}
		b = latin
		remarks = append(remarks, note.New("sheet.windows_1252"))
	}
	text := strings.TrimPrefix(string(b), "\ufeff")
	if strings.ContainsFunc(text, func(r rune) bool { return r < ' ' && !strings.ContainsRune("\t\r\n\f\v", r) || r >= 0x7f && r < 0xa0 }) {
		return "", nil, wrong("the file is not plain text; save the sheet as CSV in UTF-8")
	}
	return strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n"), remarks, nil
}

// split parts a file's text into rows and cells.
func split(text string) ([]record, error) {
	r := csv.NewReader(strings.NewReader(text))
	r.Comma = separator(text)
	r.FieldsPerRecord = -1
	// With tabs it would take blank cells for spaces.
	r.TrimLeadingSpace = r.Comma != '\t'
	var rows []record
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			return rows, nil
		}
		if err != nil {
			return nil, badQuote(err)
		}
		line, _ := r.FieldPos(0)
		row := record{line, trim(cells)}
		if row.blank() {
			continue
		}
		if len(rows) > mostRows {
			return nil, wrong("the file has more than %d rows of readings; save the readings alone, or one block a file", mostRows)
		}
		if text := row.tooLarge(); text != "" {
			return nil, &FileError{Faults: []Fault{{Row: line, Text: text}}}
		}
		rows = append(rows, row)
	}
}

func badQuote(err error) error {
	fault := Fault{Text: `a quotation mark (") stands inside a cell or is not closed; take it out`}
	var at *csv.ParseError
	if errors.As(err, &at) {
		fault.Row = at.StartLine
	}
	return &FileError{Faults: []Fault{fault}}
}

func trim(cells []string) []string {
	for i, c := range cells {
		cells[i] = strings.TrimSpace(c)
	}
	return cells
}

// separator is what parts the cells: of tab, semicolon and comma the one that
// the first written line has most of, outside of quotation marks.
func separator(text string) rune {
	line, _, _ := strings.Cut(strings.TrimLeft(text, "\n "), "\n")
	count := map[rune]int{}
	quoted := false
	for _, r := range line {
		if r == '"' {
			quoted = !quoted
		}
		if !quoted {
			count[r]++
		}
	}
	best := ','
	for _, r := range "\t;" {
		if count[r] > count[best] {
			best = r
		}
	}
	return best
}
