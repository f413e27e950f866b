package report

import (
	"bytes"
	"slices"
	"testing"

	"github.com/xuri/excelize/v2"

	"traystage/scoring/report/document"
)

func readXLSX(t *testing.T, raw []byte) []tabled {
	t.Helper()
	book, err := excelize.OpenReader(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	defer book.Close()
	var out []tabled
	for _, sheet := range book.GetSheetList() {
		rows, err := book.GetRows(sheet)
		if err != nil {
			t.Fatal(err)
		}
		for len(rows) > 0 {
			end := slices.IndexFunc(rows, func(row []string) bool { return len(row) == 0 })
			if end < 0 {
				end = len(rows)
			}
			if end > 2 {
				out = append(out, tabled{rows[0][0], sheetRows(rows[2:end], len(rows[1]))})
			}
			rows = rows[min(end+1, len(rows)):]
		}
	}
	return out
}

// sheetRows fills up rows whose last cells are empty, which are not read.
func sheetRows(rows [][]string, wide int) [][]string {
	for i, row := range rows {
		for n, cell := range row {
			row[n] = plain(cell)
		}
		rows[i] = append(row, make([]string, wide-len(row))...)
	}
	return yesAndNo(rows)
}

// Numbers must be numbers, days days and notes words, on the sheets that readers
// look for.
func TestBlockSpreadsheet(t *testing.T) {
	b := northBlock(t)
	b.Rows[0].Reading.Note = "=1+1"
	book, err := excelize.OpenReader(bytes.NewReader(written(t, document.WriteXLSX, blockDocument(t, b))))
	if err != nil {
		t.Fatal(err)
	}
	defer book.Close()
	if got, want := book.GetSheetList(), []string{"Decision", "Fruit", "Trend", "How made"}; !slices.Equal(got, want) {
		t.Errorf("sheets %q, want %q", got, want)
	}
	for _, row := range []struct {
		sheet, text string // of the cell
		kind        excelize.CellType
		raw         string
	}{
		{"Decision", "17.2", excelize.CellTypeUnset, "17.216667"},
		{"Decision", "+1.2", excelize.CellTypeUnset, "1.194292"},
		{"Decision", "2026-09-14", excelize.CellTypeUnset, "46279"}, // days since 1899-12-30
		{"Fruit", "firmness, lbf", excelize.CellTypeSharedString, "firmness, lbf"},
		{"Fruit", "=1+1", excelize.CellTypeSharedString, "=1+1"},
	} {
		at := find(t, book, row.sheet, row.text)
		kind, err := book.GetCellType(row.sheet, at)
		if err != nil {
			t.Fatal(err)
		}
		raw, err := book.GetCellValue(row.sheet, at, excelize.Options{RawCellValue: true})
		if err != nil {
			t.Fatal(err)
		}
		if kind != row.kind || raw != row.raw {
			t.Errorf("%s, %q: type %v, raw %q, want %v, %q", row.sheet, row.text, kind, raw, row.kind, row.raw)
		}
		if formula, _ := book.GetCellFormula(row.sheet, at); formula != "" {
			t.Errorf("%s, %q is a formula", row.sheet, row.text)
		}
	}
}

// find gives the name of the first cell that shows a text.
func find(t *testing.T, book *excelize.File, sheet, text string) string {
	t.Helper()
	rows, err := book.GetRows(sheet)
	if err != nil {
		t.Fatal(err)
	}
	for r, row := range rows {
		if c := slices.Index(row, text); c >= 0 {
			name, err := excelize.CoordinatesToCellName(c+1, r+1)
			if err != nil {
				t.Fatal(err)
			}
			return name
		}
	}
	t.Fatalf("%s: no cell %q", sheet, text)
	return ""
}
