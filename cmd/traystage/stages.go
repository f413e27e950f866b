package main

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// notGraded stands for a half that nobody graded.
var notGraded = math.NaN()

// readStages reads what --stages was given: a list in reading order such as
// 1,2,,3.5 with blanks for halves that were not graded, or the name of a CSV file.
func readStages(arg string) ([]float64, error) {
	// What can only be a list is not looked for as a file: it may be longer than names can be.
	if strings.Trim(arg, "0123456789.,- ") == "" {
		return parseStagesList(arg)
	}
	if _, err := os.Stat(arg); err == nil {
		b, err := readFile(arg)
		if err != nil {
			return nil, err
		}
		stages, err := parseStagesFile(b)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", arg, err)
		}
		return stages, nil
	} else if !errors.Is(err, fs.ErrNotExist) || strings.HasSuffix(strings.ToLower(arg), ".csv") {
		return nil, fmt.Errorf("%s: no such file; check the name and the folder", arg)
	}
	return parseStagesList(arg)
}

func parseStagesList(arg string) ([]float64, error) {
	var stages []float64
	for i, field := range strings.Split(arg, ",") {
		stage, err := parseStage(field, false)
		if err != nil {
			return nil, usageError{fmt.Errorf("--stages: entry %d: %w", i+1, err)}
		}
		stages = append(stages, stage)
	}
	return stages, nil
}

// parseStage reads one grade; blank is notGraded.
func parseStage(field string, decimalComma bool) (float64, error) {
	text := strings.TrimSpace(field)
	if decimalComma {
		text = strings.Replace(text, ",", ".", 1)
	}
	if text == "" || text == "-" {
		return notGraded, nil
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("%q is not a stage; write a number such as 3.5, or leave it blank", field)
	}
	return v, nil
}

// parseStagesFile reads a CSV file of stages in reading order, one a row, in
// the column headed stage or the only one; a column headed half gives the
// number of each. Separators are commas or, then with decimal commas, semicolons or tabs.
func parseStagesFile(b []byte) ([]float64, error) {
	b = bytes.TrimPrefix(b, []byte("\xef\xbb\xbf"))
	if !utf8.Valid(b) {
		return nil, errors.New("is not plain text in UTF-8; save the sheet as CSV")
	}
	if !bytes.ContainsAny(b, ",;\t\"") {
		return columnOnly(string(b))
	}
	r := csv.NewReader(bytes.NewReader(b))
	r.FieldsPerRecord = -1
	r.TrimLeadingSpace = true
	first, _, _ := bytes.Cut(b, []byte("\n"))
	decimalComma := false
	for _, sep := range ";\t" {
		if bytes.ContainsRune(first, sep) {
			r.Comma, decimalComma = sep, true
			break
		}
	}
	rows, err := r.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("is not a CSV file: %w", err)
	}
	column := columns{stage: -1, half: -1}
	if len(rows) > 0 && hasLetters(rows[0]) {
		if column, err = findColumns(rows[0]); err != nil {
			return nil, err
		}
		rows[0] = nil
	} else if len(rows) > 0 {
		column.stage = len(rows[0]) - 1
		if len(rows[0]) == 2 {
			column.half = 0
		}
	}
	return column.read(rows, decimalComma)
}

// columnOnly reads a file of a single column, where an empty line is a half that was not graded.
func columnOnly(text string) ([]float64, error) {
	var rows [][]string
	for _, line := range strings.Split(strings.TrimRight(text, "\r\n"), "\n") {
		rows = append(rows, []string{strings.TrimSuffix(line, "\r")})
	}
	if hasLetters(rows[0]) {
		if _, err := findColumns(rows[0]); err != nil {
			return nil, err
		}
		rows[0] = nil
	}
	if len(rows) == 1 && (rows[0] == nil || strings.TrimSpace(rows[0][0]) == "") {
		return nil, errNoStages
	}
	return columns{stage: 0, half: -1}.read(rows, false)
}

var errNoStages = errors.New("holds no stages; write one a row, in reading order")

// columns are the places of what is read from each row; -1 for none.
type columns struct{ stage, half int }

func hasLetters(row []string) bool {
	return strings.ContainsFunc(strings.Join(row, ""), unicode.IsLetter)
}

func findColumns(header []string) (columns, error) {
	c := columns{-1, -1}
	for i, h := range header {
		switch strings.ToLower(strings.TrimSpace(h)) {
		case "stage", "grade", "starch", "index":
			c.stage = i
		case "half", "fruit", "number", "no", "no.":
			c.half = i
		}
	}
	if c.stage < 0 && len(header) == 1 {
		c.stage = 0
	}
	if c.stage < 0 {
		return c, fmt.Errorf("row 1: no column is headed stage, there are %q; rename the one that holds the stages", header)
	}
	return c, nil
}

func (c columns) read(rows [][]string, decimalComma bool) ([]float64, error) {
	var stages []float64
	for i, row := range rows {
		if row == nil {
			continue
		}
		if c.stage >= len(row) {
			return nil, fmt.Errorf("row %d: has %d columns and the stage should be in column %d", i+1, len(row), c.stage+1)
		}
		stage, err := parseStage(row[c.stage], decimalComma)
		if err != nil {
			return nil, fmt.Errorf("row %d: %w", i+1, err)
		}
		if c.half >= 0 {
			n, err := strconv.Atoi(strings.TrimSpace(row[c.half]))
			if err != nil || n != len(stages)+1 {
				return nil, fmt.Errorf("row %d: half %q where half %d is due; list the halves in reading order, blank where not graded", i+1, row[c.half], len(stages)+1)
			}
		}
		stages = append(stages, stage)
	}
	if len(stages) == 0 {
		return nil, errNoStages
	}
	return stages, nil
}
