package main

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// record is one row of a file of stages and the line where it begins, from 1.
type record struct {
	line   int
	fields []string
}

// blank says whether nothing is written in a row, as in those that a
// spreadsheet leaves below a table.
func (r record) blank() bool {
	return !slices.ContainsFunc(r.fields, func(f string) bool { return strings.TrimSpace(f) != "" })
}

// columns are the places of what is read from each row.
type columns struct {
	stage int
	half  int // -1 where halves are not numbered
	width int // fields that a row may have
}

// parseStagesFile reads a file of stages in reading order, one a row: in its
// only column, else in that headed stage, where one headed half may number
// them. Columns are parted by commas, semicolons or tabs. What could be read in
// two ways, such as decimal commas among commas, is refused. Errors name the row.
func parseStagesFile(b []byte) ([]float64, error) {
	b = bytes.TrimPrefix(b, []byte("\xef\xbb\xbf"))
	if !utf8.Valid(b) {
		return nil, errors.New("is not plain text in UTF-8; save the sheet as CSV")
	}
	first, _, _ := bytes.Cut(b, []byte("\n"))
	at := bytes.IndexAny(first, ";\t")
	if at < 0 {
		at = bytes.IndexByte(first, ',')
	}
	if at < 0 {
		return oneColumn(string(b))
	}
	return severalColumns(b, rune(first[at]))
}

// oneColumn reads a file with nothing that parts columns in its first line. An
// empty line is a half that was not graded, and any comma is a decimal one.
func oneColumn(text string) ([]float64, error) {
	var rows []record
	for i, line := range strings.Split(strings.TrimRight(text, "\r\n"), "\n") {
		rows = append(rows, record{i + 1, []string{strings.Trim(line, " \t\r\"")}})
	}
	// Whatever the only column is headed, it holds the stages.
	if r, _ := utf8.DecodeRuneInString(rows[0].fields[0]); unicode.IsLetter(r) {
		rows = rows[1:]
	}
	if !slices.ContainsFunc(rows, func(r record) bool { return !r.blank() }) {
		return nil, errNoStages
	}
	return columns{stage: 0, half: -1, width: 1}.read(rows)
}

func severalColumns(b []byte, sep rune) ([]float64, error) {
	rows, err := readRecords(b, sep)
	if err != nil {
		return nil, err
	}
	if len(rows) == 0 {
		return nil, errNoStages
	}
	if strings.ContainsFunc(strings.Join(rows[0].fields, ""), unicode.IsLetter) {
		c, err := findColumns(rows[0])
		if err != nil {
			return nil, err
		}
		return c.read(rows[1:])
	}
	// Without a heading 1,5 may be the stage 5 of half 1 or the stage 1.5.
	if n := len(rows[0].fields); n != 2 || sep == ',' {
		return nil, fmt.Errorf("row %d: has %d columns and no heading; put half%cstage above, or write one stage a row and 1.5 for one and a half", rows[0].line, n, sep)
	}
	return columns{stage: 1, half: 0, width: 2}.read(rows)
}

func readRecords(b []byte, sep rune) ([]record, error) {
	r := csv.NewReader(bytes.NewReader(b))
	r.Comma = sep
	r.FieldsPerRecord = -1
	r.TrimLeadingSpace = true
	var rows []record
	for {
		fields, err := r.Read()
		if errors.Is(err, io.EOF) {
			return rows, nil
		}
		if err != nil {
			return nil, fmt.Errorf("is not a CSV file: %w; save the sheet as CSV again", err)
		}
		line, _ := r.FieldPos(0)
		rows = append(rows, record{line, fields})
	}
}

var errNoStages = errors.New("holds no stages; write one a row, in reading order")

// Words that head a column, alone or among others as in "Starch stage (1-8)".
var (
	stageWords = []string{"stage", "grade", "starch", "index"}
	halfWords  = []string{"half", "fruit", "apple", "number", "no", "nr"}
)

func findColumns(header record) (columns, error) {
	c := columns{stage: -1, half: -1, width: len(header.fields)}
	for i, h := range header.fields {
		switch {
		case hasWord(h, stageWords):
			if c.stage >= 0 {
				return c, fmt.Errorf("row %d: the columns %q and %q both look like stages; keep one of them", header.line, header.fields[c.stage], h)
			}
			c.stage = i
		case hasWord(h, halfWords) && c.half < 0:
			c.half = i
		}
	}
	if c.stage < 0 {
		return c, fmt.Errorf("row %d: no column is headed stage, there are %q; rename the one that holds the stages", header.line, header.fields)
	}
	return c, nil
}

func hasWord(heading string, words []string) bool {
	notLetter := func(r rune) bool { return !unicode.IsLetter(r) }
	return slices.ContainsFunc(strings.FieldsFunc(strings.ToLower(heading), notLetter), func(w string) bool {
		return slices.Contains(words, w)
	})
}

func (c columns) read(rows []record) ([]float64, error) {
	var stages []float64
	for _, row := range rows {
		if c.half >= 0 && row.blank() {
			continue // a half that was not graded has its number
		}
		stage, err := c.readRow(row, len(stages)+1)
		if err != nil {
			return nil, fmt.Errorf("row %d: %w", row.line, err)
		}
		stages = append(stages, stage)
	}
	if len(stages) == 0 {
		return nil, errNoStages
	}
	return stages, nil
}

// readRow reads the stage of the half with the number due.
func (c columns) readRow(row record, due int) (float64, error) {
	n := len(row.fields)
	if c.stage >= n {
		return 0, fmt.Errorf("has %d columns and the stage should be in column %d; fill in the row", n, c.stage+1)
	}
	if n > c.width && !(record{fields: row.fields[c.width:]}).blank() {
		return 0, fmt.Errorf("has %d columns and row 1 has %d; write decimals with a point, or part columns by semicolons", n, c.width)
	}
	if c.half >= 0 {
		number := strings.TrimSpace(row.fields[c.half])
		if v, err := strconv.Atoi(number); err != nil || v != due {
			return 0, fmt.Errorf("half %q where half %d is due; list the halves in reading order, blank where not graded", number, due)
		}
	}
	return parseStage(row.fields[c.stage])
}
