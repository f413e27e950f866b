package instrument

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"time"

	"traystage/vision/note"
)

// Options are what a file of readings does not say itself.
type Options struct {
	Unit        Unit    // of firmness where the file names none; empty when the file must
	Tip         float64 // diameter, mm, where the file has no column of it; 0 for AppleTip
	AnyTip      bool    // take tips that are not for apples
	Compensated bool    // the refractometer corrects for temperature itself
	Scale       string  // of ground colour where the heading names none
	Implausible bool    // take values that cannot be those of an apple
}

// Sheet is what a file of readings holds of one sample.
type Sheet struct {
	Block    string    // name of the block; empty when the file has no column of blocks
	Day      time.Time // midnight UTC; zero when the file has no column of dates
	Readings []Reading // in order of number, each number once
}

// ReadSheets reads what a tester wrote down, one fruit a row under a row of
// headings, and parts it by block and date where the file has columns of them.
// The sheets are in the order in which their first rows stand. The remarks are
// about the file; for those about the readings see Remarks.
//
// The file may be delimited text or a workbook, see package table; decimals have a point or a
// comma. Headings may be written in many ways and in several languages, such as "Firmness 1 (kgf)", "side A", "SSC", "juice
// temp (F)", "blush %", "background colour (1-4 card)", "Fruchtnr.", "fermeté 1 (kg)", "dureza", "osservazioni". A fruit whose
// cells are blank gives an empty reading; one that was not cut has no row.
//
// A file is taken whole or not at all: the error is then a *FileError, which
// names rows and columns, unless the file cannot be read to its end.
func ReadSheets(r io.Reader, opt Options) ([]Sheet, []note.Note, error) {
	if err := opt.validate(); err != nil {
		return nil, nil, err
	}
	records, remarks, err := readTable(r)
	if err != nil {
		return nil, nil, err
	}
	if len(records) == 0 {
		return nil, nil, wrong("the file is empty; write headings in the first row and a fruit in each row below")
	}
	faults := &FileError{}
	columns, about := readHeadings(records[0], faults)
	if err := faults.orNil(); err != nil {
		return nil, nil, err // whatever the rows hold would be read wrongly
	}
	e := &entry{opt: opt, columns: columns, faults: faults, remarks: append(remarks, about...)}
	var rows []row
	for _, record := range records[1:] {
		rows = append(rows, e.readRow(record))
	}
	if len(faults.Faults) == 0 && !slices.ContainsFunc(rows, func(r row) bool { return r.reading.read() }) {
		return nil, nil, wrong("no reading is filled in; write what was read beside the number of each fruit")
	}
	sheets := e.sheets(rows)
	e.checkArea(rows)
	if err := faults.orNil(); err != nil {
		return nil, nil, err
	}
	return sheets, e.remarks, nil
}

func (o Options) validate() error {
	if o.Unit != "" && !o.Unit.Valid() {
		return wrong("%q is not a unit of force; give lbf, kgf or N", o.Unit)
	}
	if o.Tip == 0 {
		return nil
	}
	if !(o.Tip > 0 && o.Tip < 100) {
		return wrong("a tip of %s mm is none; give its diameter, 11 for apples", decimal(o.Tip))
	}
	if err := CheckTip(o.Tip); err != nil && !o.AnyTip {
		return wrong("%v", err)
	}
	return nil
}

// checkArea refuses kilograms per square centimetre where they cannot be taken
// for kilograms.
func (e *entry) checkArea(rows []row) {
	if !note.Has(e.remarks, taken) {
		return
	}
	for _, r := range rows {
		if f := r.reading.Firmness; f != nil && CheckTip(f.Tip) != nil {
			e.faults.add(Fault{Row: r.line, Text: "kg/cm2 can be taken for kgf with the 11 mm tip alone; write the kgf that the scale shows"})
			return
		}
	}
}

// read says whether anything was read off the fruit.
func (r Reading) read() bool {
	return r.Firmness != nil || r.Solids != nil || r.Red != nil || r.Ground != nil
}

// sheets parts rows by block and date.
func (e *entry) sheets(rows []row) []Sheet {
	type sample struct {
		block string
		day   time.Time
	}
	type fruit struct {
		sample
		number int
	}
	days := e.days(rows)
	place := map[sample]int{}
	row := map[fruit]int{}
	var out []Sheet
	for _, r := range rows {
		s := sample{r.block, days[r.day]}
		f := fruit{s, r.reading.Fruit}
		if other, twice := row[f]; twice && f.number > 0 {
			e.faults.add(Fault{Row: r.line, Text: fmt.Sprintf("fruit %d stands in row %d already; give each fruit one row", f.number, other)})
			continue
		}
		row[f] = r.line
		if _, ok := place[s]; !ok {
			place[s] = len(out)
			out = append(out, Sheet{Block: s.block, Day: s.day})
		}
		sheet := &out[place[s]]
		sheet.Readings = append(sheet.Readings, r.reading)
	}
	for _, s := range out {
		slices.SortFunc(s.Readings, func(a, b Reading) int { return cmp.Compare(a.Fruit, b.Fruit) })
	}
	return out
}

// days reads the dates of all rows.
func (e *entry) days(rows []row) map[string]time.Time {
	column, ok := e.columns.find(dayColumn)
	if !ok {
		return nil
	}
	var written []writtenDay
	for _, r := range rows {
		if r.day != "" { // what is missing was told with its row
			written = append(written, writtenDay{r.line, r.day})
		}
	}
	return readDays(written, column.heading, e.faults)
}
