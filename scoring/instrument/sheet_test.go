package instrument

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"golang.org/x/text/encoding/unicode"

	"traystage/scoring/words"
	"traystage/vision/note"
)

func read(t *testing.T, text string, opt Options) ([]Sheet, []note.Note) {
	t.Helper()
	sheets, remarks, err := ReadSheets(strings.NewReader(text), opt)
	if err != nil {
		t.Fatalf("%v\nin:\n%s", err, text)
	}
	return sheets, remarks
}

// One sheet, written in the ways of several testers, must read the same.
func TestReadSheetsForgives(t *testing.T) {
	red := 60.0
	want := []Reading{
		{Fruit: 1, Firmness: &Firmness{[]Force{{7.8, KilogramForce}, {7.6, KilogramForce}}, 11}, Solids: &Solids{Brix: 12.4, Celsius: celsius(20)}, Red: &red, Ground: &Ground{2.5, "1-4 card"}},
		{Fruit: 2, Firmness: &Firmness{[]Force{{8, KilogramForce}}, 11}, Note: "scab, small"},
		{Fruit: 4},
	}
	canonical := "fruit,firmness 1 (kgf),firmness 2 (kgf),brix,temperature (C),red %,ground colour (1-4 card),note\n" +
		"1,7.8,7.6,12.4,20,60,2.5,\n2,8,,,,,,\"scab, small\"\n4,,,,,,,\n"
	semicolons := "Fruit;Firmness 1 [kgf];Firmness 2 [kgf];°Brix;Temp.;Blush (%);Background color (1-4 card);Remarks\n" +
		"1;7,8;7,6;12,4;20;60;2,5;\n2;8;-;n/a;;;;scab, small\n4;;;;;;;\n"
	for name, text := range map[string]string{
		"canonical":       canonical,
		"semicolons":      semicolons,
		"Windows":         "\ufeff" + strings.ReplaceAll(canonical, "\n", "\r\n"),
		"old line ends":   strings.ReplaceAll(canonical, "\n", "\r"),
		"no last end":     strings.TrimRight(canonical, "\n"),
		"tabs":            strings.ReplaceAll(semicolons, ";", "\t"),
		"blank rows":      "\n" + strings.Replace(canonical, "\n2", "\n,,,,,,,\n\n2", 1) + ",,,,,,,\n\n",
		"rows shuffled":   "fruit,side a kg,side b kg,ssc,juice temp,colour %,ground colour (1-4 card),comment\n4,,,,,,,\n2,8,,,,,,\"scab, small\"\n1,7.8,7.6,12.4,20,60 %,2.5,\n",
		"Fahrenheit":      strings.NewReplacer("temperature (C)", "temperature (F)", ",20,", ",68,").Replace(canonical),
		"own letter":      strings.Replace(canonical, ",20,", ",68F,", 1),
		"one cell":        "no.,sugar,pressure kgf,red,ground (1-4 card),note\n1,12.4@20C,7.8/7.6,60,2.5,\n2,,8,,,\"scab, small\"\n#4,,,,,\n",
		"unit column":     "number;unit;f1;f2;total soluble solids;temp;over-red %;background (1-4 card);note\n1;kg;7,8;7,6;12,4;20;60;2,5;\n2;kgf;8;;;;;;scab, small\n4;;;;;;;;\n",
		"quoted headings": strings.NewReplacer("note", "\"note; or, remarks\"").Replace(canonical),
		"extra blanks":    strings.ReplaceAll(canonical, "\n", ",,\n"),
		"quoted":          strings.Replace(canonical, "1,7.8,7.6", `"1","7,8"," 7.6 "`, 1),
		"kg/cm2":          strings.ReplaceAll(canonical, "(kgf)", "(kg/cm2)"),
		"unit in the row": "fruit,firmness 1,firmness 2,brix,temp,red,ground (1-4 card),note\n1,7.8kg,7.6 kg,12.4,20,60,2.5,\n2,8 kg,,,,,,\"scab, small\"\n4,,,,,,,\n",
	} {
		sheets, _, err := ReadSheets(strings.NewReader(text), Options{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if len(sheets) != 1 || !reflect.DeepEqual(sheets[0].Readings, want) || sheets[0].Block != "" || !sheets[0].Day.IsZero() {
			t.Errorf("%s: %+v", name, sheets)
		}
	}
}

func TestReadSheetsOptions(t *testing.T) {
	const text = "fruit,firmness,brix,ground\n1,17,12.4,2\n"
	sheets, _ := read(t, text, Options{Unit: PoundForce, Compensated: true, Scale: "own card"})
	got := sheets[0].Readings[0]
	if got.Firmness.Sides[0] != (Force{17, PoundForce}) || got.Firmness.Tip != 11 || !got.Solids.Compensated || got.Ground.Scale != "own card" {
		t.Errorf("%+v %+v %+v", got.Firmness, got.Solids, got.Ground)
	}
	// What the file says goes before what is said of it.
	sheets, _ = read(t, "fruit,firmness (N),tip,ground (1-4)\n1,70,7/16,2\n", Options{Unit: PoundForce, Scale: "own card"})
	got = sheets[0].Readings[0]
	if got.Firmness.Sides[0].Unit != Newton || got.Firmness.Tip != 11.1125 || got.Ground.Scale != "1-4" {
		t.Errorf("%+v %+v", got.Firmness, got.Ground)
	}
	sheets, _ = read(t, text, Options{Unit: PoundForce, Tip: 8, AnyTip: true})
	if tip := sheets[0].Readings[0].Firmness.Tip; tip != 8 {
		t.Errorf("tip %v", tip)
	}
	sheets, _ = read(t, "fruit,firmness (lbf),brix,red,ground (1-4)\n1,172,2.4,101,5\n", Options{Implausible: true})
	got = sheets[0].Readings[0]
	if got.Firmness.Sides[0].Value != 172 || got.Solids.Brix != 2.4 || *got.Red != 101 || got.Ground.Score != 5 {
		t.Errorf("%+v", got)
	}
}

func TestReadSheetsRemarks(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"fruit,brix\n1,12\n", "[]"},
		{"fruit,brix,weight g,,tree\n1,12,150,,7\n", `[passed over, as the heading says nothing of a reading: weight g, tree]`},
		{"fruit,firmness 1 kg/cm2,firmness 2 kg/cm2,mean firmness\n1,7,7,7\n", `[kg/cm2 was taken for kgf, as a penetrometer with the 11 mm tip shows it: the tip is called 1 cm2 passed over, as the heading says nothing of a reading: mean firmness]`},
		{"fruit,firmness\n1,7 kg/cm2\n2,7/8 kg/cm²\n", "[kg/cm2 was taken for kgf, as a penetrometer with the 11 mm tip shows it: the tip is called 1 cm2]"},
		{"fruit,unit,firmness\n1,kg/cm2,7\n2,kg/cm2,7\n", "[kg/cm2 was taken for kgf, as a penetrometer with the 11 mm tip shows it: the tip is called 1 cm2]"},
		{"fruit,brix,note\n1,12,caf\xe9\n", "[the file is not in UTF-8 and was read as Windows-1252; look whether accents came out right]"},
	} {
		if _, remarks := read(t, c.text, Options{}); fmt.Sprint(words.For("en").SayAll(remarks)) != c.want {
			t.Errorf("%q: %v, want %s", c.text, remarks, c.want)
		}
	}
}

func TestReadSheetsBlocks(t *testing.T) {
	sheets, _ := read(t, "block,date,fruit,brix\nMill Row,14/9/2026,1,12\nBrook 5,14/9/2026,1,11\nMill Row,14/9/2026,2,13\nMill Row,7/9/2026,1,12\n", Options{})
	var got []string
	for _, s := range sheets {
		got = append(got, fmt.Sprintf("%s %s %d", s.Block, s.Day.Format(time.DateOnly), len(s.Readings)))
	}
	if want := []string{"Mill Row 2026-09-14 2", "Brook 5 2026-09-14 1", "Mill Row 2026-09-07 1"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestReadSheetsEncodings(t *testing.T) {
	const text = "fruit,brix,note\n1,12.4,Äpfel – gr\u00fcn\n"
	encode := func(e unicode.Endianness) string {
		out, err := unicode.UTF16(e, unicode.UseBOM).NewEncoder().String(text)
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	for name, in := range map[string]string{
		"UTF-8": text, "with a mark": "\ufeff" + text, "little end": encode(unicode.LittleEndian), "big end": encode(unicode.BigEndian),
		"Windows-1252": "fruit,brix,note\n1,12.4,\xc4pfel \x96 gr\xfcn\n",
	} {
		sheets, _ := read(t, in, Options{})
		if note := sheets[0].Readings[0].Note; note != "Äpfel – grün" {
			t.Errorf("%s: %q", name, note)
		}
	}
}

func TestReadSheetsRefuses(t *testing.T) {
	const head = "fruit,firmness 1 (lbf),firmness 2 (lbf),brix,temp,red,ground,note\n"
	for _, c := range []struct{ name, text, want string }{
		{"empty", "", "the file is empty; write headings in the first row and a fruit in each row below"},
		{"blank", " \n\n,,\n", "the file is empty; write headings in the first row and a fruit in each row below"},
		{"headings alone", head, "no reading is filled in; write what was read beside the number of each fruit"},
		{"not filled in", head + "1,,,,,,,\n2,,,,,,,x\n", "no reading is filled in; write what was read beside the number of each fruit"},
		{"workbook", "PK\x03\x04rest", "the workbook is broken; open it, save it again, or save the sheet as CSV"},
		{"bytes", "fruit,brix\n1,12\x00", "the file is not plain text; save the sheet as CSV in UTF-8"},
		{"UTF-16 unmarked", "f\x00r\x00u\x00", "the file is not plain text; save the sheet as CSV in UTF-8"},
		{"UTF-16 cut", "\xff\xfef\x00r", "the file begins as UTF-16 and goes on as something else; save the sheet as CSV in UTF-8"},
		{"no fruit column", "apples,brix\n1,12\n", `row 1: no column is headed fruit, there are ["apples" "brix"]; number the fruit in one, as their halves lie on the tray`},
		{"no reading column", "fruit,weight\n1,12\n", `row 1: no column holds a reading, there are ["fruit" "weight"]; head them firmness 1 (lbf), firmness 2 (lbf), brix, temperature, red %, ground colour`},
		{"two of a kind", "fruit,brix,SSC\n1,12,12\n", `row 1, SSC: "brix" holds the same; leave one of the two in`},
		{"sides in two units", "fruit,firmness 1 (lbf),firmness 2 (kg)\n1,17,8\n", `row 1, firmness 2 (kg): "firmness 1 (lbf)" is in another unit; write both sides in one`},
		{"pressure", "fruit,firmness (kPa)\n1,17\n", `row 1, firmness (kPa): "kPa" is not a unit of force; write lbf, kgf or N`},
		{"no unit", "fruit,firmness 1,firmness 2\n1,17,16\n2,16,17\n", "row 2, firmness 1: the unit of firmness is not known; write it in the heading, as in firmness 1 (lbf), or give it with the file"},
		{"units in a row", "fruit,firmness 1,firmness 2\n1,17lb,7kg\n", "row 2: one side is in lbf and one in kgf; write both in one unit"},
		{"unit against heading", head + "1,7.8 kg,17,,,,,\n", `row 2, firmness 1 (lbf): "7.8 kg" is not in lbf as its column is; write all in one unit`},
		{"unit column against heading", "fruit,unit,firmness (lbf)\n1,N,70\n", "row 2, firmness (lbf): the row is in N and the heading in lbf; leave one of them out"},
		{"unknown unit in a row", "fruit,unit,firmness\n1,stone,70\n", `row 2, unit: "stone" is not a unit of force; write lbf, kgf or N`},
		{"no number", head + ",17,16,,,,,\n", "row 2, fruit: the fruit has no number; write the one of its half on the tray"},
		{"a mean below", head + "1,17,16,,,,,\nmean,17,16,,,,,\n", `row 3, fruit: "mean" is not the number of a fruit; number them 1, 2, 3, and leave other rows out`},
		{"half a fruit", head + "1.5,17,16,,,,,\n", `row 2, fruit: "1.5" is not the number of a fruit; number them 1, 2, 3, and leave other rows out`},
		{"fruit 0", head + "0,17,16,,,,,\n", "row 2, fruit: fruit 0 lies outside 1 to 9999; number the fruit of each sample from 1"},
		{"twice", head + "1,17,16,,,,,\n2,17,16,,,,,\n1,16,16,,,,,\n", "row 4: fruit 1 stands in row 2 already; give each fruit one row"},
		{"twice in a block", "block,fruit,brix\nA,1,12\nB,1,12\nA,1,12\n", "row 4: fruit 1 stands in row 2 already; give each fruit one row"},
		{"word", head + "1,hard,16,,,,,\n", `row 2, firmness 1 (lbf): firmness "hard" is not a number, nor several parted by slashes; write it like 17.2/16.8`},
		{"decimal commas among commas", head + "1,17,2,16,8,12,4,,,,x\n", "row 2: has 11 cells below 8 headings; write decimals with a point, or part the cells by semicolons"},
		{"short row", head + "1,17,16\n", "row 2: has 3 cells below 8 headings; keep the separators of blank cells"},
		{"slip", head + "1,172,16,,,,,\n", "row 2, firmness 1 (lbf): firmness 172 lbf lies outside 2 to 40 lbf; look for a slip of the pen, and whether the unit is right"},
		{"slip of the refractometer", head + "1,17,16,124,,,,\n", "row 2, brix: soluble solids 124 °Brix lies outside 5 to 25 °Brix; look for a slip of the pen, and wipe the prism"},
		{"not Celsius", head + "1,17,16,12.4,64,,,\n", "row 2, brix: juice temperature 64 °C lies outside 0 to 45 °C; if it was read in °F, say so, as in 64F"},
		{"two temperatures", head + "1,17,16,12.4@18,18,,,\n", `row 2, temp: the temperature stands beside the °Brix too, "12.4@18"; leave one of them out`},
		{"red", head + "1,17,16,,,160,,\n", "row 2, red: red colour 160 % lies outside 0 to 100 %; red is the share of the skin in per cent"},
		{"ground in words", head + "1,17,16,,,,green,\n", `row 2, ground: "green" is not a score of a scale; write it like 2.5`},
		{"ground beyond", "fruit,ground (1-4 card)\n1,5\n", "row 2, ground (1-4 card): ground colour 5 lies outside 1 to 4; the scale is 1-4 card"},
		{"pear tip", "fruit,firmness (kg),tip\n1,7,8\n", "row 2, tip: the 8 mm tip is for pears and reads apples far too soft; press again with the 11 mm tip, no factor turns one into the other"},
		{"no tip", "fruit,firmness (kg),tip\n1,7,big\n", `row 2, tip: "big" is not the diameter of a tip; write 11 for millimetres or 7/16 for inches`},
		{"a cell without end", "fruit,brix,note\n1,12,\"" + strings.Repeat("x", 2001) + "\"\n", "row 2: a cell is longer than 2000 bytes; shorten it, or look for a quotation mark that is not closed"},
		{"too wide", head + "1" + strings.Repeat(",", 200) + "\n", "row 2: has 201 cells, more than the 200 of a sheet; save the table alone"},
		{"red in words", head + "1,,,,,half,,\n", `row 2, red: "half" is not a number; write it like 17.2`},
		{"open quote", head + "1,17,16,,,,,\"soft\n2,17,16,,,,,\n", `row 2: a quotation mark (") stands inside a cell or is not closed; take it out`},
		{"no block", "block,fruit,brix\n,1,12\n", "row 2, block: is blank; write which block the fruit is from in every row"},
		{"no day", "date,fruit,brix\n-,1,12\n", "row 2, date: is blank; write the day the fruit was picked in every row"},
		{"no date", "date,fruit,brix\nMonday,1,12\n", `row 2, date: "Monday" is not a date; write dates like 2026-09-14`},
		{"either order", "date,fruit,brix\n3/4/2026,1,12\n", `row 2, date: "3/4/2026" can be 3 April or 4 March, and no other date tells which; write dates like 2026-09-14`},
		{"several", head + "1,x,16,,,,,\n2,17,16,99,,,,\n2,17,16,,,,,\n", "row 2, firmness 1 (lbf): firmness \"x\" is not a number, nor several parted by slashes; write it like 17.2/16.8\n" +
			"row 3, brix: soluble solids 99 °Brix lies outside 5 to 25 °Brix; look for a slip of the pen, and wipe the prism\n" +
			"row 4: fruit 2 stands in row 3 already; give each fruit one row"},
	} {
		sheets, remarks, err := ReadSheets(strings.NewReader(c.text), Options{})
		var file *FileError
		if !errors.As(err, &file) || err.Error() != c.want || sheets != nil || remarks != nil {
			t.Errorf("%s: %v\nwant %s", c.name, err, c.want)
		}
	}
}

func TestReadSheetsRefusesOptions(t *testing.T) {
	for want, opt := range map[string]Options{
		`"stone" is not a unit of force; give lbf, kgf or N`:                                                                          {Unit: "stone"},
		"a tip of -1 mm is none; give its diameter, 11 for apples":                                                                    {Tip: -1, AnyTip: true},
		"the 8 mm tip is for pears and reads apples far too soft; press again with the 11 mm tip, no factor turns one into the other": {Tip: 8},
	} {
		if _, _, err := ReadSheets(strings.NewReader("fruit,brix\n1,12\n"), opt); err == nil || err.Error() != want {
			t.Errorf("%+v: %v, want %s", opt, err, want)
		}
	}
	const area = "row 2: kg/cm2 can be taken for kgf with the 11 mm tip alone; write the kgf that the scale shows"
	if _, _, err := ReadSheets(strings.NewReader("fruit,firmness (kg/cm2)\n1,7\n"), Options{Tip: 8, AnyTip: true}); err == nil || err.Error() != area {
		t.Errorf("%v, want %s", err, area)
	}
}

func TestReadSheetsTellsTenFaults(t *testing.T) {
	text := "fruit,brix\n" + strings.Repeat("x,y\n", 8)
	_, _, err := ReadSheets(strings.NewReader(text), Options{})
	var file *FileError
	if !errors.As(err, &file) || len(file.Faults) != 10 || file.More != 6 {
		t.Fatalf("%v", err)
	}
	if lines := strings.Split(err.Error(), "\n"); len(lines) != 11 || lines[10] != "and 6 more" {
		t.Errorf("%q", lines)
	}
}

// endless gives rows for ever and counts what was taken.
type endless struct {
	row   []byte
	taken int
}

func (e *endless) Read(p []byte) (int, error) {
	n := 0
	for n < len(p) {
		n += copy(p[n:], e.row[(e.taken+n)%len(e.row):])
	}
	e.taken += n
	return n, nil
}

func TestReadSheetsBoundsItsInput(t *testing.T) {
	source := &endless{row: []byte("1,12\n")}
	_, _, err := ReadSheets(io.MultiReader(strings.NewReader("fruit,brix\n"), source), Options{})
	if err == nil || err.Error() != "the file is larger than 8 MB; save the sheet alone" {
		t.Errorf("endless: %v", err)
	}
	if source.taken > 2*8<<20 {
		t.Errorf("%d bytes were read", source.taken)
	}
	rows := func(n int) string {
		var b bytes.Buffer
		b.WriteString("block,fruit,brix\n")
		for i := range n {
			fmt.Fprintf(&b, "%d,%d,12\n", i/1000, i%1000+1)
		}
		return b.String()
	}
	if sheets, _ := read(t, rows(20000), Options{}); len(sheets) != 20000/1000 {
		t.Errorf("%d sheets", len(sheets))
	}
	_, _, err = ReadSheets(strings.NewReader(rows(20001)), Options{})
	if err == nil || err.Error() != "the file has more than 20000 rows; save the sheet alone, or one block a file" {
		t.Errorf("one row more: %v", err)
	}
	broken := errors.New("the card was pulled out")
	if _, _, err := ReadSheets(iotest.ErrReader(broken), Options{}); !errors.Is(err, broken) {
		t.Errorf("broken: %v", err)
	}
}

func TestWriteTemplate(t *testing.T) {
	for _, opt := range []Options{
		{Unit: PoundForce},
		{Unit: KilogramForce, Compensated: true, Scale: "1-4 card"},
	} {
		var b bytes.Buffer
		if err := WriteTemplate(&b, 12, opt); err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(strings.TrimSpace(b.String()), "\r\n")
		if len(lines) != 13 || !strings.HasPrefix(lines[12], "12,") || strings.Contains(lines[0], "temperature") == opt.Compensated {
			t.Errorf("%q", lines)
		}
		filled := strings.Replace(b.String(), "\r\n3,,,,", "\r\n3,8.5,8.1,12.5,", 1)
		sheets, remarks := read(t, filled, Options{})
		if got := sheets[0].Readings; len(remarks) != 0 || len(got) != 12 || got[2].Firmness.Sides[1] != (Force{8.1, opt.Unit}) || got[2].Solids.Brix != 12.5 {
			t.Errorf("%+v %v", got, remarks)
		}
		if err := WriteTemplate(io.Discard, 0, opt); err == nil {
			t.Error("a sheet for 0 fruit was made")
		}
		if err := WriteTemplate(brokenWriter{}, 12, opt); err == nil {
			t.Error("an error of the writer was not told")
		}
	}
	if err := WriteTemplate(io.Discard, 12, Options{}); err == nil {
		t.Error("a sheet without a unit was made")
	}
}

type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { return 0, io.ErrClosedPipe }
