package scoring

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"traystage/scoring/instrument"
)

// largestTable bounds what is read of a table of standards, bytes; 20 000 rows
// fit.
const largestTable = 4 << 20

// ReadStandards reads a table of standards from a CSV file: one row for each
// variety and market under a row of headings, in any order, of
//
//	variety, market, scale, opens, closes, firmness from, firmness to, firmness unit,
//	solids from, solids to, streif from, streif to, streif unit, stored, source, note
//
// or words like them ("cultivar", "min firmness (lbf)", "SSC max"). What is left
// blank asks nothing. A row without a market holds for all markets of the
// variety, in what their own rows do not ask. Columns are parted by commas,
// semicolons or tabs; decimals have a point, or a comma where commas do not part.
//
// table names the file in the rows and in errors, which tell line and column.
// What is doubtful is refused, so that no target is lost or misread: unknown
// headings, two rows for one variety and market, ends the wrong way round.
func ReadStandards(r io.Reader, table string) ([]Standard, error) {
	text, err := io.ReadAll(io.LimitReader(r, largestTable+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", table, err)
	}
	rows, err := parseStandards(text, table)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", table, err)
	}
	return rows, nil
}

func parseStandards(text []byte, table string) ([]Standard, error) {
	text = bytes.TrimPrefix(text, []byte("\xef\xbb\xbf"))
	if len(text) > largestTable {
		return nil, fmt.Errorf("larger than %d MB, which no table of standards is; give the right file", largestTable>>20)
	}
	if !utf8.Valid(text) {
		return nil, errors.New("not plain text in UTF-8; save the sheet as CSV")
	}
	t := tableReader{csv: csv.NewReader(bytes.NewReader(text)), table: table}
	t.csv.Comma = separator(text)
	t.csv.FieldsPerRecord = -1
	t.csv.TrimLeadingSpace = true
	if err := t.readHeadings(); err != nil {
		return nil, err
	}
	return t.readRows()
}

// separator is what parts the columns of the first line with any.
func separator(text []byte) rune {
	for line := range bytes.Lines(text) {
		if at := bytes.IndexAny(line, ";\t"); at >= 0 {
			return rune(line[at])
		}
		if bytes.IndexByte(line, ',') >= 0 {
			break
		}
	}
	return ','
}

// tableReader reads the rows of one table below its headings.
type tableReader struct {
	csv    *csv.Reader
	table  string
	fields []heading // of each column
}

func (t *tableReader) readHeadings() error {
	for {
		record, err := t.csv.Read()
		if errors.Is(err, io.EOF) {
			return errors.New("holds no headings; begin with variety, market, scale, opens, closes")
		}
		if err != nil {
			return fmt.Errorf("not a CSV file: %w; save the sheet as CSV again", err)
		}
		if blank(record) {
			continue
		}
		line, _ := t.csv.FieldPos(0)
		t.fields, err = readHeadings(record)
		if err != nil {
			return fmt.Errorf("line %d, %w", line, err)
		}
		return nil
	}
}

func (t *tableReader) readRows() ([]Standard, error) {
	var rows []Standard
	seen := map[string]int{} // line of each variety and market
	for {
		record, err := t.csv.Read()
		if errors.Is(err, io.EOF) {
			return rows, nil
		}
		if err != nil {
			return nil, fmt.Errorf("not a CSV file: %w; save the sheet as CSV again", err)
		}
		if blank(record) {
			continue
		}
		line, _ := t.csv.FieldPos(0)
		row, err := t.readRow(record, line)
		if err != nil {
			return nil, err
		}
		if before, twice := seen[row.key()]; twice {
			return nil, fmt.Errorf("line %d: %s stands in line %d already; keep one of them", line, row.Row(), before)
		}
		seen[row.key()] = line
		rows = append(rows, row)
	}
}

func (t *tableReader) readRow(record []string, line int) (Standard, error) {
	row := Standard{Table: t.table, Line: line}
	for i, text := range record {
		text = strings.TrimSpace(text)
		if text == "" {
			continue
		}
		if i >= len(t.fields) {
			return row, fmt.Errorf("line %d, column %d: %q stands below no heading; write decimals with a point, or part columns by semicolons", line, i+1, text)
		}
		if err := t.setField(&row, t.fields[i], text); err != nil {
			return row, fmt.Errorf("line %d, column %d (%s): %w", line, i+1, t.fields[i].field, err)
		}
	}
	if err := row.validate(); err != nil {
		return row, fmt.Errorf("line %d (%s): %w", line, row.Row(), err)
	}
	return row, nil
}

func (t *tableReader) setField(row *Standard, h heading, text string) error {
	if limit := h.field.limit(row); limit != nil {
		value, err := parseDecimal(text, t.csv.Comma)
		if err != nil {
			return err
		}
		*limit = At(value)
		if h.field == streifFrom || h.field == streifTo {
			return agree(&row.StreifUnit, h.unit)
		}
		return agree(&row.FirmnessUnit, h.unit)
	}
	var unit instrument.Unit
	var err error
	switch h.field {
	case varietyField:
		row.Variety = text
	case marketField:
		row.Market = text
	case scaleField:
		row.Scale = canonicalScale(text)
	case firmnessUnit:
		if unit, err = instrument.ParseUnit(text); err == nil {
			err = agree(&row.FirmnessUnit, unit)
		}
	case streifUnit:
		if unit, err = instrument.ParseUnit(text); err == nil {
			err = agree(&row.StreifUnit, unit)
		}
	case storedField:
		row.Stored, err = parseYes(text)
	case sourceField:
		row.Source = text
	case noteField:
		row.Note = text
	}
	return err
}

func blank(record []string) bool {
	return strings.TrimSpace(strings.Join(record, "")) == ""
}

// parseDecimal reads a number; a decimal comma only where commas do not part
// the columns.
func parseDecimal(text string, comma rune) (float64, error) {
	plain := text
	if comma != ',' && strings.Count(text, ",") == 1 && !strings.Contains(text, ".") {
		plain = strings.Replace(text, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(plain, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("%q is not a number; write figures such as 16.5, without unit or sign", text)
	}
	return v, nil
}

// agree sets the unit that a heading or a field names; empty names none.
func agree(unit *instrument.Unit, named instrument.Unit) error {
	switch {
	case named == "":
	case *unit == "":
		*unit = named
	case *unit != named:
		return fmt.Errorf("names two units, %s and %s; keep the right one", *unit, named)
	}
	return nil
}

func parseYes(text string) (bool, error) {
	switch strings.ToLower(text) {
	case "yes", "y", "x", "true", "1":
		return true, nil
	case "no", "n", "false", "0":
		return false, nil
	}
	return false, fmt.Errorf("%q is neither yes nor no", text)
}
