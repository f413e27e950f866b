package table

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// readText reads delimited text.
func readText(b []byte) (Table, error) {
	t := Table{}
	text, err := t.decode(b)
	if err != nil {
		return t, err
	}
	t.Comma = separator(text)
	if t.Comma == 0 {
		return t, t.oneColumn(text)
	}
	r := csv.NewReader(strings.NewReader(text))
	r.Comma = t.Comma
	r.FieldsPerRecord = -1
	// With tabs it would take blank cells for spaces.
	r.TrimLeadingSpace = r.Comma != '\t'
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			return t, nil
		}
		if err != nil {
			return t, badQuote(err)
		}
		line, _ := r.FieldPos(0)
		if err := t.add(line, cells); err != nil {
			return t, err
		}
	}
}

// decode makes text of a file's bytes, lines ended by line feeds: UTF-8, UTF-16
// with a byte order mark, or else Windows-1252 (of which Latin-1 is a part). What
// is no text is refused.
func (t *Table) decode(b []byte) (string, error) {
	switch {
	case bytes.HasPrefix(b, []byte("\xff\xfe")), bytes.HasPrefix(b, []byte("\xfe\xff")):
		utf16, err := unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM).NewDecoder().Bytes(b)
		if err != nil || bytes.ContainsRune(utf16, utf8.RuneError) {
			return "", wrong(0, "the file begins as UTF-16 and goes on as something else; save the sheet as CSV in UTF-8")
		}
		b = utf16
	case !utf8.Valid(b):
		latin, err := charmap.Windows1252.NewDecoder().Bytes(b)
		if err != nil {
			return "", wrong(0, "the file is not plain text; save the sheet as CSV in UTF-8")
		}
		b, t.Western = latin, true
	}
	text := strings.TrimPrefix(string(b), "\ufeff")
	if strings.ContainsFunc(text, func(r rune) bool { return r < ' ' && !strings.ContainsRune("\t\r\n\f\v", r) || r >= 0x7f && r < 0xa0 }) {
		return "", wrong(0, "the file is not plain text; save the sheet as CSV in UTF-8")
	}
	return strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n"), nil
}

// oneColumn reads a text whose first line nothing parts: each line is a cell.
func (t *Table) oneColumn(text string) error {
	for i, line := range strings.Split(text, "\n") {
		if err := t.add(i+1, []string{strings.Trim(line, " \t\"")}); err != nil {
			return err
		}
	}
	return nil
}

func badQuote(err error) error {
	row := 0
	var at *csv.ParseError
	if errors.As(err, &at) {
		row = at.StartLine
	}
	return wrong(row, `a quotation mark (") stands inside a cell or is not closed; take it out`)
}

// separator is what parts the cells: of tab, semicolon and comma the one that
// the first written line has most of, outside of quotation marks; 0 where it has none.
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
	best := rune(0)
	for _, r := range "\t;," { // of as many, commas are rather decimal ones
		if count[r] > 0 && count[r] > count[best] {
			best = r
		}
	}
	return best
}
