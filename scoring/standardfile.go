package scoring

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"traystage/scoring/instrument"
	"traystage/scoring/table"
)

// ReadStandards reads a table of standards from delimited text or a workbook: one row for each
// variety and market under a row of headings, in any order, of
//
//	variety, market, scale, opens, closes, firmness from, firmness to, firmness unit,
//	solids from, solids to, streif from, streif to, streif unit, stored, source, note
//
// or words like them ("cultivar", "min firmness (lbf)", "SSC max"). What is left
// blank asks nothing. A row without a market holds for all markets of the
// variety, in what their own rows do not ask. Decimals have a point, or a
// comma where commas do not part.
//
// name names the file in the rows and in errors, which tell line and column.
// What is doubtful is refused, so that no target is lost or misread: unknown
// headings, two rows for one variety and market, ends the wrong way round.
func ReadStandards(r io.Reader, name string) ([]Standard, error) {
	rows, err := parseStandards(r, name)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return rows, nil
}

func parseStandards(r io.Reader, name string) ([]Standard, error) {
	read, err := table.Read(r)
	if err != nil {
		return nil, err
	}
	if len(read.Rows) == 0 {
		return nil, errors.New("holds no headings; begin with variety, market, scale, opens, closes")
	}
	t := tableReader{comma: read.Comma, table: name}
	first := read.Rows[0]
	if t.fields, err = readHeadings(first.Cells); err != nil {
		return nil, fmt.Errorf("line %d, %w", first.Line, err)
	}
	return t.readRows(read.Rows[1:])
}

// tableReader reads the rows of one table below its headings.
type tableReader struct {
	comma  rune // what parts the cells; 0 of a workbook
	table  string
	fields []heading // of each column
}

func (t *tableReader) readRows(rows []table.Row) ([]Standard, error) {
	var out []Standard
	seen := map[string]int{} // line of each variety and market
	for _, r := range rows {
		row, err := t.readRow(r.Cells, r.Line)
		if err != nil {
			return nil, err
		}
		if before, twice := seen[row.key()]; twice {
			return nil, fmt.Errorf("line %d: %s stands in line %d already; keep one of them", r.Line, row.Row(), before)
		}
		seen[row.key()] = r.Line
		out = append(out, row)
	}
	return out, nil
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
		value, err := parseDecimal(text, t.comma)
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
