package workbench

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"traystage/cmd/internal/fault"
	"traystage/scoring"
	"traystage/scoring/instrument"
	"traystage/vision/note"
)

// ReadSheets reads a file of readings. Errors name it and its rows.
func ReadSheets(name string, file []byte, opt instrument.Options) ([]instrument.Sheet, []note.Note, error) {
	sheets, remarks, err := instrument.ReadCSV(bytes.NewReader(file), opt)
	var faults *instrument.FileError
	if errors.As(err, &faults) {
		return nil, nil, faultsOf(name, faults)
	}
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", name, err)
	}
	return sheets, remarks, nil
}

func faultsOf(name string, e *instrument.FileError) error {
	var all fault.Several
	for _, f := range e.Faults {
		all = append(all, fmt.Errorf("%s: %s", name, f))
	}
	if e.More > 0 {
		all = append(all, fmt.Errorf("%s: and %d more like these", name, e.More))
	}
	return all
}

// Readings are what is to be entered for a block.
type Readings struct {
	Block  string
	Picked time.Time // day of the sample where a sheet names none; zero for the last sample
	By     string    // initials
	Sheets []instrument.Sheet
	Whole  bool // the sheets are whole ones: every half must have its row
}

// EnteredSheet is a sheet that was entered.
type EnteredSheet struct {
	Block  string
	Picked time.Time
	Fruit  int // whose readings were new or changed
}

// EnterReadings keeps the readings of a block, each sheet in the sample of its day.
// All sheets fit before the first is entered. Rows of other blocks are left out; the
// remarks tell of them and of what is doubtful.
func (b *Bench) EnterReadings(ctx context.Context, in Readings) ([]EnteredSheet, []note.Note, error) {
	by, err := signed(in.By)
	if err != nil {
		return nil, nil, err
	}
	block, err := b.Block(ctx, in.Block)
	if err != nil {
		return nil, nil, err
	}
	samples, err := b.Season.Load(ctx, block.Name)
	if err != nil {
		return nil, nil, err
	}
	var remarks []note.Note
	var entries []sheetEntry
	for _, sheet := range in.Sheets {
		if sheet.Block != "" && !strings.EqualFold(sheet.Block, block.Name) {
			remarks = append(remarks, note.New("sheet.other_block", note.Name("other", sheet.Block), note.Name("block", block.Name)))
			continue
		}
		e, err := in.entry(samples, block.Name, sheet)
		if err != nil {
			return nil, nil, err
		}
		entries = append(entries, e)
		remarks = append(remarks, instrument.Remarks(e.readings)...)
	}
	var entered []EnteredSheet
	for _, e := range entries {
		added, err := b.Season.AddReadings(ctx, by, e.sample.Block, e.sample.Picked, e.readings...)
		if err != nil {
			return entered, nil, err
		}
		entered = append(entered, EnteredSheet{e.sample.Block, e.sample.Picked, added})
	}
	return entered, remarks, nil
}

// sheetEntry is a sheet of readings with the sample that they are of.
type sheetEntry struct {
	sample   scoring.Sample
	readings []instrument.Reading
}

// entry finds the sample of a sheet. A whole sheet must fit the halves of the
// sample's trays, where there are any.
func (in Readings) entry(samples []scoring.Sample, block string, sheet instrument.Sheet) (sheetEntry, error) {
	picked := in.Picked
	if !sheet.Day.IsZero() {
		picked = sheet.Day
	}
	sample, err := sampleOf(samples, block, picked)
	if err != nil {
		return sheetEntry{}, err
	}
	if halves := len(sample.Fruit()); in.Whole && halves > 0 {
		if err := instrument.Match(sheet.Readings, halves); err != nil {
			return sheetEntry{}, fmt.Errorf("block %q, picked %s: %w", block, sample.Picked.Format(time.DateOnly), err)
		}
	}
	return sheetEntry{sample, sheet.Readings}, nil
}

// StrikeReadings takes back the readings of one fruit of a block's sample of a day,
// or of the last one where the day is zero.
func (b *Bench) StrikeReadings(ctx context.Context, by, block string, picked time.Time, fruit int, why string) error {
	by, err := signed(by)
	if err != nil {
		return err
	}
	sample, err := b.Sample(ctx, block, picked)
	if err != nil {
		return err
	}
	return b.Season.StrikeReadings(ctx, by, sample.Block, sample.Picked, fruit, why)
}

// AddCheck keeps a check of an instrument, made today where it has no day; its By
// signs it.
func (b *Bench) AddCheck(ctx context.Context, c instrument.Check) error {
	var err error
	if c.By, err = signed(c.By); err != nil {
		return err
	}
	if c.Day.IsZero() {
		c.Day = b.Today()
	}
	return b.Season.AddCheck(ctx, c)
}
