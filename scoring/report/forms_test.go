package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/ledongthuc/pdf"
	"golang.org/x/net/html"

	"traystage/scoring/report/document"
)

func written(t testing.TB, write func(io.Writer, document.Document) error, d document.Document) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := write(&b, d); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// tabled is one table as it was read back from a form, in plain figures.
type tabled struct {
	title string
	rows  [][]string // without headings
}

// sameFigures reads a document back from every form it is written in and
// compares what the forms say, cell by cell.
func sameFigures(t *testing.T, d document.Document) {
	t.Helper()
	page := readPage(t, written(t, document.WriteHTML, d))
	if len(page) == 0 {
		t.Fatal("the page holds no table")
	}
	for form, read := range map[string][]tabled{
		"CSV":  readCSV(t, written(t, document.WriteCSV, d)),
		"XLSX": readXLSX(t, written(t, document.WriteXLSX, d)),
	} {
		for _, want := range page {
			i := slices.IndexFunc(read, func(g tabled) bool { return g.title == want.title })
			if i < 0 {
				t.Errorf("%s: no table %q", form, want.title)
				continue
			}
			compareRows(t, form, want, read[i].rows)
		}
	}
	compareJSON(t, page, written(t, document.WriteJSON, d))
	comparePDF(t, written(t, document.WriteHTML, d), written(t, document.WritePDF, d))
}

func compareRows(t *testing.T, form string, want tabled, got [][]string) {
	t.Helper()
	if len(got) != len(want.rows) {
		t.Errorf("%s: %s has %d rows, the page %d", form, want.title, len(got), len(want.rows))
		return
	}
	got = filled(got)
	for i, row := range filled(want.rows) {
		if !slices.Equal(row, got[i]) {
			t.Errorf("%s: %s, row %d: %q, the page says %q", form, want.title, i+1, got[i], row)
		}
	}
}

// filled leaves out the columns that hold nothing, which people are not shown.
func filled(rows [][]string) [][]string {
	out := make([][]string, len(rows))
	for column := 0; len(rows) > 0 && column < len(rows[0]); column++ {
		holds := slices.ContainsFunc(rows, func(row []string) bool { return column < len(row) && row[column] != "" })
		for i, row := range rows {
			if holds && column < len(row) {
				out[i] = append(out[i], row[column])
			}
		}
	}
	return out
}

// readPage reads the tables of a page, intervals as two figures.
func readPage(t *testing.T, raw []byte) []tabled {
	t.Helper()
	var out []tabled
	for _, n := range nodes(t, raw) {
		switch n.Data {
		case "caption":
			out = append(out, tabled{title: wordsOf(n)})
		case "tr":
			if row := pageRow(n); n.Parent.Data != "thead" {
				last := &out[len(out)-1]
				last.rows = append(last.rows, row)
			}
		}
	}
	return out
}

func pageRow(tr *html.Node) []string {
	var row []string
	for c := range tr.ChildNodes() {
		class, _ := attr(c, "class")
		text := strings.ReplaceAll(wordsOf(c), "\u00a0", " ")
		if slices.Contains(strings.Fields(class), "i") {
			low, high := bothEnds(text)
			row = append(row, plain(low), plain(high))
		} else {
			row = append(row, plain(text))
		}
	}
	return row
}

// bothEnds are the ends of an interval as people read it.
func bothEnds(text string) (low, high string) {
	if high, ok := strings.CutPrefix(text, "up to "); ok {
		return "", high
	}
	if low, ok := strings.CutPrefix(text, "from "); ok {
		return low, ""
	}
	low, high, _ = strings.Cut(text, " to ")
	return low, high
}

// plain is a figure as CSV tells it.
func plain(text string) string {
	if text == "–" {
		return ""
	}
	for _, year := range []string{"", " 2026"} { // short days go without
		if day, err := time.Parse("2 Jan 2006", text+year); err == nil {
			return day.Format(time.DateOnly)
		}
	}
	figure := strings.TrimPrefix(strings.Replace(text, "−", "-", 1), "+")
	if _, err := strconv.ParseFloat(figure, 64); err == nil {
		return figure
	}
	return text
}

func readCSV(t *testing.T, raw []byte) []tabled {
	t.Helper()
	var out []tabled
	for _, block := range strings.Split(strings.TrimPrefix(string(raw), "\ufeff"), "\n\n") {
		r := csv.NewReader(strings.NewReader(block))
		r.FieldsPerRecord = -1
		rows, err := r.ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		if len(rows) > 2 {
			out = append(out, tabled{rows[0][0], yesAndNo(rows[2:])})
		}
	}
	return out
}

// yesAndNo drops "no", which the eye sees as an empty cell.
func yesAndNo(rows [][]string) [][]string {
	for _, row := range rows {
		for i, cell := range row {
			if cell == "no" {
				row[i] = ""
			}
		}
	}
	return rows
}

// compareJSON holds each table's rows against those of the page: numbers must
// round to what the page shows.
func compareJSON(t *testing.T, page []tabled, raw []byte) {
	t.Helper()
	tables := jsonTables(t, raw)
	if len(tables) != len(page) {
		t.Fatalf("JSON: %d tables, the page has %d", len(tables), len(page))
	}
	for i, want := range page {
		if len(tables[i]) != len(want.rows) {
			t.Errorf("JSON: %s has %d rows, the page %d", want.title, len(tables[i]), len(want.rows))
			continue
		}
		figures := make([][]string, len(want.rows))
		for n, row := range tables[i] {
			for _, value := range row {
				figures[n] = append(figures[n], fmt.Sprint(jsonValue(value)))
			}
		}
		figures = filled(figures)
		for n, row := range filled(want.rows) {
			for k := range figures[n] {
				figures[n][k] = jsonFigure(figures[n][k], row[min(k, len(row)-1)])
			}
			if !slices.Equal(figures[n], row) {
				t.Errorf("JSON: %s, row %d: %q, the page says %q", want.title, n+1, figures[n], row)
			}
		}
	}
}

// jsonValue is a value as text: nothing for null and what does not hold.
func jsonValue(value any) any {
	switch v := value.(type) {
	case nil:
		return ""
	case bool:
		if v {
			return "yes"
		}
		return ""
	}
	return value
}

// jsonFigure tells a figure with the decimals that the page gives it.
func jsonFigure(value, shown string) string {
	figure, err := strconv.ParseFloat(value, 64)
	if _, number := strconv.ParseFloat(shown, 64); err != nil || number != nil {
		return value
	}
	_, decimals, _ := strings.Cut(shown, ".")
	return plain(penOf(nil).Number(figure, len(decimals)))
}

// jsonTables gives the values of every list of rows, in the order of the text.
func jsonTables(t *testing.T, raw []byte) [][][]any {
	t.Helper()
	d := json.NewDecoder(bytes.NewReader(raw))
	var tables [][][]any
	for {
		token, err := d.Token()
		if err == io.EOF {
			return tables
		}
		if err != nil {
			t.Fatal(err)
		}
		if token != "rows" && token != "foot" {
			continue
		}
		var rows []json.RawMessage
		if err := d.Decode(&rows); err != nil {
			t.Fatal(err)
		}
		var table [][]any
		for _, row := range rows {
			table = append(table, jsonValues(t, row))
		}
		switch {
		case token == "foot": // belongs to the rows before it, which the page has it below
			tables[len(tables)-1] = append(tables[len(tables)-1], table...)
		case len(table) > 0:
			tables = append(tables, table)
		}
	}
}

// The list of fruit in JSON holds fruit alone: the mean below it stands apart.
func TestMeanIsNoFruit(t *testing.T) {
	var all struct {
		Fruit struct {
			Fruit struct {
				Rows []struct{ Fruit any }
				Foot []struct{ Fruit string }
			}
		}
	}
	if err := json.Unmarshal(written(t, document.WriteJSON, blockDocument(t, northBlock(t))), &all); err != nil {
		t.Fatal(err)
	}
	rows, foot := all.Fruit.Fruit.Rows, all.Fruit.Fruit.Foot
	if len(rows) != 12 || len(foot) != 1 || foot[0].Fruit != "mean" {
		t.Errorf("%d rows, %+v", len(rows), foot)
	}
	for _, r := range rows {
		if _, number := r.Fruit.(float64); !number {
			t.Errorf("a row is called %v", r.Fruit)
		}
	}
}

func jsonValues(t *testing.T, object []byte) []any {
	t.Helper()
	d := json.NewDecoder(bytes.NewReader(object))
	var values []any
	d.Token() // {
	for d.More() {
		name, _ := d.Token()
		var v any
		if err := d.Decode(&v); err != nil {
			t.Fatal(err)
		}
		if !strings.HasSuffix(fmt.Sprint(name), "_notes") {
			values = append(values, v)
		}
	}
	return values
}

// comparePDF looks for every row of the page's tables in the text of the PDF, in
// the order in which it is printed.
func comparePDF(t *testing.T, page, raw []byte) {
	t.Helper()
	text := squeeze(pdfText(t, raw))
	for _, n := range nodes(t, page) {
		if n.Data == "tr" || n.Data == "dd" || n.Data == "li" || n.Data == "h2" {
			if want := lowBytes(squeeze(wordsOf(n))); !strings.Contains(text, want) {
				t.Errorf("PDF: nowhere %q", wordsOf(n))
			}
		}
	}
}

// squeeze drops blanks and commas, which pages and paper set differently.
func squeeze(text string) string {
	return strings.NewReplacer(" ", "", "\u00a0", "", "\n", "", ",", "").Replace(text)
}

// lowBytes is text as the reader of PDF gives it: of letters beyond Latin-1, such
// as dashes, it knows the lower byte only.
func lowBytes(text string) string {
	return strings.Map(func(r rune) rune { return r & 0xff }, text)
}

func pdfText(t testing.TB, raw []byte) string {
	t.Helper()
	r, err := pdf.NewReader(bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for i := range r.NumPage() {
		for _, text := range r.Page(i + 1).Content().Text {
			b.WriteString(text.S)
		}
	}
	return b.String()
}

func pages(t testing.TB, raw []byte) int {
	t.Helper()
	r, err := pdf.NewReader(bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		t.Fatal(err)
	}
	return r.NumPage()
}
