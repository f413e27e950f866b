package table

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
)

func TestText(t *testing.T) {
	tests := []struct {
		name, text string
		want       Table
	}{
		{"commas", "a,b\n1,\"x, y\"\n", Table{Comma: ',', Rows: []Row{{1, []string{"a", "b"}}, {2, []string{"1", "x, y"}}}}},
		{"semicolons and decimal commas", "a;b\n1,5;2,5\n", Table{Comma: ';', Rows: []Row{{1, []string{"a", "b"}}, {2, []string{"1,5", "2,5"}}}}},
		{"tabs", "a\tb\n\t2\n", Table{Comma: '\t', Rows: []Row{{1, []string{"a", "b"}}, {2, []string{"", "2"}}}}},
		{"one column", "stage\n3,5\n\n4\n", Table{Rows: []Row{{1, []string{"stage"}}, {2, []string{"3,5"}}, {4, []string{"4"}}}}},
		{"blank rows", "\na,b\n,\n\n1,2\n", Table{Comma: ',', Rows: []Row{{2, []string{"a", "b"}}, {5, []string{"1", "2"}}}}},
		{"a cell of two lines", "a,b\n\"1\n2\",3\n4,5\n", Table{Comma: ',', Rows: []Row{{1, []string{"a", "b"}}, {2, []string{"1\n2", "3"}}, {4, []string{"4", "5"}}}}},
		{"UTF-8 with mark", "\ufeffa,b\n", Table{Comma: ',', Rows: []Row{{1, []string{"a", "b"}}}}},
		{"UTF-16", "\xff\xfea\x00;\x00\xe4\x00\n\x00", Table{Comma: ';', Rows: []Row{{1, []string{"a", "ä"}}}}},
		{"Windows-1252", "a;\xe4\n", Table{Comma: ';', Western: true, Rows: []Row{{1, []string{"a", "ä"}}}}},
		{"old line ends", "a,b\r1,2\r", Table{Comma: ',', Rows: []Row{{1, []string{"a", "b"}}, {2, []string{"1", "2"}}}}},
		{"nothing", "", Table{}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := Read(strings.NewReader(tt.text))
			if err != nil || !reflect.DeepEqual(got, tt.want) {
				t.Errorf("%+v, %v; want %+v", got, err, tt.want)
			}
		})
	}
}

// xlsxBook is a workbook as another program writes it.
func xlsxBook(t testing.TB, fill func(f *excelize.File)) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	fill(f)
	var buf bytes.Buffer
	if err := f.Write(&buf); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

func set(t testing.TB, f *excelize.File, sheet string, cells map[string]any) {
	t.Helper()
	for at, v := range cells {
		if err := f.SetCellValue(sheet, at, v); err != nil {
			t.Fatal(err)
		}
	}
}

func TestXLSX(t *testing.T) {
	b := xlsxBook(t, func(f *excelize.File) {
		if _, err := f.NewSheet("Readings"); err != nil {
			t.Fatal(err)
		}
		if _, err := f.NewSheet("Notes"); err != nil {
			t.Fatal(err)
		}
		share, err := f.NewStyle(&excelize.Style{NumFmt: 9})
		if err != nil {
			t.Fatal(err)
		}
		code := `dd"."mm"."yyyy`
		own, err := f.NewStyle(&excelize.Style{CustomNumFmt: &code})
		if err != nil {
			t.Fatal(err)
		}
		set(t, f, "Readings", map[string]any{
			"A1": "Fruit", "B1": "Brix", "C1": "date", "D1": "red %", "F1": "note",
			"A2": 1, "B2": 12.4, "C2": time.Date(2026, 9, 14, 0, 0, 0, 0, time.UTC), "D2": 0.35, "F2": true,
			"A4": 2, "B4": "12,6", "C4": 46279, "D4": 0.1 + 0.2,
		})
		for at, style := range map[string]int{"D2": share, "C4": own} {
			if err := f.SetCellStyle("Readings", at, at, style); err != nil {
				t.Fatal(err)
			}
		}
		if err := f.SetCellRichText("Readings", "F4", []excelize.RichTextRun{{Text: "soft "}, {Text: "side"}}); err != nil {
			t.Fatal(err)
		}
		set(t, f, "Notes", map[string]any{"A1": "more"})
	})
	want := Table{Sheet: "Readings", Others: []string{"Notes"}, Rows: []Row{
		{1, []string{"Fruit", "Brix", "date", "red %", "", "note"}},
		{2, []string{"1", "12.4", "2026-09-14", "35%", "", "yes"}},
		// Day 46279 from 30 December 1899 on is 14 September 2026.
		{4, []string{"2", "12,6", "2026-09-14", "0.3", "", "soft side"}},
	}}
	got, err := Read(bytes.NewReader(b))
	if err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("%+v, %v\nwant %+v", got, err, want)
	}
}

// packed makes an archive of parts.
func packed(t testing.TB, parts map[string]string) []byte {
	t.Helper()
	var buf bytes.Buffer
	z := zip.NewWriter(&buf)
	for name, text := range parts {
		w, err := z.Create(name)
		if err == nil {
			_, err = w.Write([]byte(text))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

const odsHead = `<?xml version="1.0" encoding="UTF-8"?><office:document-content xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0"
 xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0"><office:body><office:spreadsheet>`

func odsBook(t testing.TB, sheets string) []byte {
	return packed(t, map[string]string{
		"mimetype":    "application/vnd.oasis.opendocument.spreadsheet",
		"content.xml": odsHead + sheets + `</office:spreadsheet></office:body></office:document-content>`,
	})
}

func TestODS(t *testing.T) {
	cell := func(attributes, text string) string {
		return fmt.Sprintf(`<table:table-cell %s><text:p>%s</text:p></table:table-cell>`, attributes, text)
	}
	b := odsBook(t, `<table:table table:name="Empty"><table:table-row table:number-rows-repeated="1048576"><table:table-cell table:number-columns-repeated="16384"/></table:table-row></table:table>`+
		`<table:table table:name="Feuille 1"><table:table-row>`+cell("", "Fruit")+cell("", "Brix")+`<table:table-cell table:number-columns-repeated="2"/>`+cell("", "le<text:s/>jour")+`<table:table-cell table:number-columns-repeated="16379"/></table:table-row>`+
		`<table:table-row>`+cell(`office:value-type="float" office:value="1"`, "1")+cell(`office:value-type="float" office:value="12.4"`, "12,4")+
		cell(`office:value-type="percentage" office:value="0.35"`, "35 %")+cell(`office:value-type="boolean" office:boolean-value="true"`, "VRAI")+
		cell(`office:value-type="date" office:date-value="2026-09-14T00:00:00"`, "14/09/26")+`</table:table-row>`+
		`<table:table-row table:number-rows-repeated="3"><table:table-cell table:number-columns-repeated="16384"/></table:table-row>`+
		`<table:table-row table:number-rows-repeated="2">`+cell("", "2")+`<table:table-cell/>`+cell("", "a &lt;b&gt; <text:span>c</text:span>")+`</table:table-row></table:table>`)
	want := Table{Sheet: "Feuille 1", Rows: []Row{
		{1, []string{"Fruit", "Brix", "", "", "le jour"}},
		{2, []string{"1", "12.4", "35%", "yes", "2026-09-14"}},
		{6, []string{"2", "", "a <b> c", "", ""}},
		{7, []string{"2", "", "a <b> c", "", ""}},
	}}
	got, err := Read(bytes.NewReader(b))
	if err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("%+v, %v\nwant %+v", got, err, want)
	}
}

func TestRefused(t *testing.T) {
	xlsx := xlsxBook(t, func(f *excelize.File) { set(t, f, "Sheet1", map[string]any{"A1": "x"}) })
	long := strings.Repeat("x", mostCell+1)
	tests := []struct {
		name string
		b    []byte
		says string
	}{
		{"binary", []byte("a,b\x00\n"), "the file is not plain text; save the sheet as CSV in UTF-8"},
		{"broken UTF-16", []byte("\xff\xfea\x00\x00\xd8"), "the file begins as UTF-16 and goes on as something else; save the sheet as CSV in UTF-8"},
		{"open quotation mark", []byte("a,b\n1,\"x\n"), `row 2: a quotation mark (") stands inside a cell or is not closed; take it out`},
		{"long cell", []byte("a,b\n1," + long), "row 2: a cell is longer than 2000 bytes; shorten it, or look for a quotation mark that is not closed"},
		{"wide row", []byte("a,b\n" + strings.Repeat("1,", 300)), "row 2: has 301 cells, more than the 200 of a sheet; save the table alone"},
		{"many rows", []byte("a,b\n" + strings.Repeat("1,2\n", 21000)), "the file has more than 20000 rows; save the sheet alone, or one block a file"},
		{"large file", bytes.Repeat([]byte("1,2\n"), 3<<20), "the file is larger than 8 MB; save the sheet alone"},
		{"old workbook", []byte("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"), "the file is a workbook of an old kind, or one with a password; save it as .xlsx, .ods or CSV"},
		{"another archive", packed(t, map[string]string{"a.txt": "x"}), "the file is a packed archive, but no workbook; save the sheet as .xlsx, .ods or CSV"},
		{"cut workbook", xlsx[:len(xlsx)/2], broken.Error()},
		{"workbook of broken XML", odsBook(t, "<table:table><"), broken.Error()},
		{"workbook that unpacks to much", odsBook(t, strings.Repeat(" ", mostUnpacked)), errTooLarge.Error()},
		{"workbook of wide rows", odsBook(t, `<table:table><table:table-row><table:table-cell table:number-columns-repeated="300"><text:p>x</text:p></table:table-cell></table:table-row></table:table>`),
			"row 1: has more cells than the 200 of a sheet; save the table alone"},
		{"workbook of many rows", odsBook(t, `<table:table><table:table-row table:number-rows-repeated="1000000"><table:table-cell><text:p>x</text:p></table:table-cell></table:table-row></table:table>`),
			"the file has more than 20000 rows; save the sheet alone, or one block a file"},
	}
	for _, tt := range tests {
		_, err := Read(bytes.NewReader(tt.b))
		var own *Error
		if !errors.As(err, &own) || err.Error() != tt.says {
			t.Errorf("%s: %v\nwant %s", tt.name, err, tt.says)
		}
	}
}

func TestFormatsOfNumbers(t *testing.T) {
	for _, tt := range []struct {
		id, code string
		want     style
	}{
		{"0", "", plain}, {"2", "", plain}, {"9", "", percent}, {"10", "", percent}, {"14", "", date}, {"22", "", date}, {"18", "", plain},
		{"164", "0.0", plain}, {"164", "0.0%", percent}, {"165", "dd/mm/yyyy", date}, {"166", `0.0" kg/day"`, plain}, {"167", `[Red]0.0`, plain},
		{"168", `[$-409]d\-mmm`, date}, {"169", "hh:mm", plain}, {"170", `0\d`, plain},
	} {
		if got := styleOf(tt.id, tt.code); got != tt.want {
			t.Errorf("format %s %q: %d, want %d", tt.id, tt.code, got, tt.want)
		}
	}
	for text, want := range map[string]string{"16.499999999999996": "16.5", "12": "12", "0.1": "0.1", "1E2": "100", "x": "x", "-0.25": "-0.25"} {
		if got := number(text, false); got != want {
			t.Errorf("%s is written %s, want %s", text, got, want)
		}
	}
}

// Whatever the bytes: no panic, and rows as a sheet can have them.
func FuzzRead(f *testing.F) {
	f.Add([]byte("a;b\n1,5;\"x\"\n"))
	f.Add([]byte("a\n1\n\n2"))
	f.Add([]byte("\xff\xfea\x00;\x00"))
	f.Add(odsBook(f, `<table:table><table:table-row><table:table-cell><text:p>x</text:p></table:table-cell></table:table-row></table:table>`))
	f.Add(xlsxBook(f, func(b *excelize.File) {
		set(f, b, "Sheet1", map[string]any{"A1": "x", "B2": 1.5, "C3": time.Unix(0, 0)})
	}))
	f.Fuzz(func(t *testing.T, b []byte) {
		got, err := Read(bytes.NewReader(b))
		if err != nil {
			return
		}
		line := 0
		for _, r := range got.Rows {
			if r.Line <= line || r.Blank() || len(r.Cells) > mostWidth {
				t.Fatalf("row %+v after line %d", r, line)
			}
			line = r.Line
		}
	})
}

// Whatever the XML of a workbook's parts.
func FuzzWorkbook(f *testing.F) {
	const book = `<workbook><workbookPr date1904="1"/><sheets><sheet name="A" id="r1"/></sheets></workbook>`
	const rels = `<Relationships><Relationship Id="r1" Target="worksheets/sheet1.xml"/></Relationships>`
	f.Add(book, rels, `<sst><si><t>x</t></si></sst>`, `<styleSheet><cellXfs><xf numFmtId="14"/></cellXfs></styleSheet>`,
		`<worksheet><sheetData><row r="2"><c r="B2" t="s"><v>0</v></c><c s="0"><v>46279</v></c></row></sheetData></worksheet>`)
	f.Add("", "", "", "", `<table:table><table:table-row table:number-rows-repeated="3"><table:table-cell/><table:table-cell><text:p>x</text:p></table:table-cell></table:table-row></table:table>`)
	f.Fuzz(func(t *testing.T, workbook, rels, words, styles, sheet string) {
		for _, b := range [][]byte{
			packed(t, map[string]string{"xl/workbook.xml": workbook, "xl/_rels/workbook.xml.rels": rels, "xl/sharedStrings.xml": words,
				"xl/styles.xml": styles, "xl/worksheets/sheet1.xml": sheet}),
			odsBook(t, sheet),
		} {
			got, err := Read(bytes.NewReader(b))
			var own *Error
			if err != nil && !errors.As(err, &own) {
				t.Fatalf("an error of another kind: %v", err)
			}
			for _, r := range got.Rows {
				if err == nil && (len(r.Cells) > mostWidth || r.Blank()) {
					t.Fatalf("row %+v", r)
				}
			}
		}
	})
}
