package desk

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/workbench"
	"traystage/scoring"
	"traystage/scoring/instrument"
	"traystage/vision/note"
)

// cell is a column of the grid of readings.
type cell struct {
	Key       string // of its words, and in the names of the fields
	Heading   string // as sheets have it
	Unit      string
	Low, High float64 // beyond which a value is asked about at once
}

type readingsPage struct {
	Block    string
	Picked   time.Time // of the sample; zero where there is none yet
	Cells    []cell
	Rows     []readingRow
	Scale    string
	Keys     []string // of the pad
	Texts    map[string]string
	Seasonal []card // blocks to choose from, without Block
}

// readingRow is one fruit with what was read of it already.
type readingRow struct {
	Fruit  int
	Stage  *float64
	Values []string // in step with Cells; empty where nothing was read
}

// readingsOf lists the blocks to enter readings for.
func (d *Desk) readingsOf(w http.ResponseWriter, r *http.Request, v visit) error {
	now, err := d.view.get(r.Context())
	if err != nil {
		return err
	}
	var data readingsPage
	due, rest := cards(now)
	data.Seasonal = append(due, rest...)
	p := d.page(r, v, "readings-of", "desk.readings.title", data)
	p.Tab = "readings"
	return d.pages.render(w, http.StatusOK, p)
}

// readings shows the pad and the grid of one block's last sample.
func (d *Desk) readings(w http.ResponseWriter, r *http.Request, v visit) error {
	block, err := d.bench.Block(r.Context(), r.PathValue("block"))
	if err != nil {
		return err
	}
	usual, err := d.bench.Usual(r.Context(), block.Name)
	if err != nil {
		return err
	}
	data := readingsPage{Block: block.Name, Cells: cellsOf(usual), Scale: usual.Scale, Texts: d.padTexts(v)}
	data.Keys = append(strings.Split("123456789", ""), d.words(v).Number(0.5, 1)[1:2], "0")
	sample, err := d.bench.Sample(r.Context(), block.Name, time.Time{})
	if err == nil {
		data.Picked = sample.Picked
	}
	data.Rows = rowsOf(sample, data.Cells, usual.Unit)
	p := d.page(r, v, "readings", "desk.readings.title", data)
	p.Tab = "readings"
	return d.pages.render(w, http.StatusOK, p)
}

// cellsOf are the columns in the order in which people read: press, press, juice,
// then look at the skin.
func cellsOf(o instrument.Options) []cell {
	low, high := instrument.FirmnessRange(o.Unit)
	unit := string(o.Unit)
	out := []cell{
		{"side1", fmt.Sprintf("firmness 1 (%s)", unit), unit, low, high},
		{"side2", fmt.Sprintf("firmness 2 (%s)", unit), unit, low, high},
		{"brix", "brix", "°Brix", 8, 20},
	}
	if !o.Compensated {
		out = append(out, cell{"celsius", "temperature (C)", "°C", 5, 35})
	}
	ground := "ground colour"
	if o.Scale != "" {
		ground += " (" + o.Scale + ")"
	}
	return append(out, cell{"red", "red %", "%", 0, 100}, cell{"ground", ground, o.Scale, 0, 10})
}

// rowsOf gives a row to each fruit of the sample; ten where there is none.
func rowsOf(s scoring.Sample, cells []cell, unit instrument.Unit) []readingRow {
	read := map[int]instrument.Reading{}
	last := 0
	for _, x := range s.Readings {
		read[x.Fruit] = x
		last = max(last, x.Fruit)
	}
	stages := map[int]float64{}
	for _, f := range s.Fruit() {
		if f.Scored() {
			stages[f.Number] = f.Stage()
		}
		last = max(last, f.Number)
	}
	if last == 0 {
		last = scoring.FewestFruit
	}
	var rows []readingRow
	for n := 1; n <= last; n++ {
		row := readingRow{Fruit: n, Values: make([]string, len(cells))}
		if stage, ok := stages[n]; ok {
			row.Stage = &stage
		}
		if x, ok := read[n]; ok {
			for i, c := range cells {
				row.Values[i] = valueOf(x, c.Key, unit)
			}
		}
		rows = append(rows, row)
	}
	return rows
}

func valueOf(r instrument.Reading, key string, unit instrument.Unit) string {
	plain := func(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
	side := func(i int) string {
		if r.Firmness == nil || i >= len(r.Firmness.Sides) {
			return ""
		}
		s := r.Firmness.Sides[i]
		if s.Unit != unit {
			return plain(float64(int(s.In(unit)*100+0.5)) / 100)
		}
		return plain(s.Value)
	}
	switch {
	case key == "side1":
		return side(0)
	case key == "side2":
		return side(1)
	case key == "brix" && r.Solids != nil:
		return plain(r.Solids.Brix)
	case key == "celsius" && r.Solids != nil && r.Solids.Celsius != nil:
		return plain(*r.Solids.Celsius)
	case key == "red" && r.Red != nil:
		return plain(*r.Red)
	case key == "ground" && r.Ground != nil:
		return plain(r.Ground.Score)
	}
	return ""
}

func (d *Desk) padTexts(v visit) map[string]string {
	texts := d.outboxTexts(v)
	c := d.words(v)
	value, low, high := note.Name("value", "{value}"), note.Name("low", "{low}"), note.Name("high", "{high}") // filled in by the script
	texts["odd"], texts["swapped"] = c.Text("desk.pad.odd", value, low, high), c.Text("desk.pad.swapped", value)
	return texts
}

// sendReadings enters what was typed on the pad or in the grid, pasted from a
// spreadsheet, or sent as a file: each is a sheet, and read as one.
func (d *Desk) sendReadings(w http.ResponseWriter, r *http.Request, v visit) error {
	if !d.sends.allow(addressOf(r)) {
		return errTooOften
	}
	f, err := readForm(w, r)
	if err != nil {
		return err
	}
	id, err := f.id()
	if err != nil {
		return err
	}
	by, err := v.signed(f.fields["by"])
	if err != nil {
		return err
	}
	block := f.fields["block"]
	if err := d.enter(context.WithoutCancel(r.Context()), f, id, by, block); err != nil {
		return err
	}
	d.changed(event{What: "readings", Block: block})
	remember(w, v, initialsCookie, by, true)
	if wantsJSON(r) {
		writeJSON(w, http.StatusCreated, sent{ID: id})
		return nil
	}
	http.Redirect(w, r, "/readings/"+url.PathEscape(block), http.StatusSeeOther)
	return nil
}

func (d *Desk) enter(ctx context.Context, f form, id, by, block string) error {
	usual, err := d.bench.Usual(ctx, block)
	if err != nil {
		return err
	}
	name, sheet := f.name, f.file
	switch {
	case len(sheet) > 0:
	case f.fields["sheet"] != "":
		name, sheet = "pasted table", []byte(f.fields["sheet"])
	default:
		name = "readings"
		if sheet, err = f.grid(cellsOf(usual)); err != nil {
			return err
		}
	}
	sheets, _, err := workbench.ReadSheets(name, sheet, usual)
	if err != nil {
		return err
	}
	picked, err := dayOf(f.fields["picked"])
	if err != nil {
		return err
	}
	_, _, err = d.bench.EnterReadings(ctx, workbench.Readings{
		Act:   workbench.Act{By: by, Anyway: f.fields["anyway"], Sending: id},
		Block: block, Picked: picked, Source: f.name, Sheets: sheets,
	})
	return err
}

// grid makes a sheet of the fields of the grid, named by fruit and column as in
// "3.brix". Rows without a value are left out.
func (f form) grid(cells []cell) ([]byte, error) {
	head := []string{"fruit"}
	for _, c := range cells {
		head = append(head, c.Heading)
	}
	var b bytes.Buffer
	out := csv.NewWriter(&b)
	_ = out.Write(head)
	rows := 0
	for n := 1; n <= mostHalves; n++ {
		row, any := []string{strconv.Itoa(n)}, false
		for _, c := range cells {
			value := strings.Replace(f.fields[row[0]+"."+c.Key], ",", ".", 1)
			row, any = append(row, value), any || value != ""
		}
		if any {
			_ = out.Write(row)
			rows++
		}
	}
	if rows == 0 {
		return nil, fault.Usagef("no reading was typed")
	}
	out.Flush()
	return b.Bytes(), out.Error()
}
