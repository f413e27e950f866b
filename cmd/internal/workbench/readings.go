package workbench

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"traystage/cmd/internal/fault"
	"traystage/scoring"
	"traystage/scoring/instrument"
	"traystage/scoring/ledger"
	"traystage/vision/note"
)

// ReadSheets reads a file of readings. Errors name it and its rows.
func ReadSheets(name string, file []byte, opt instrument.Options) ([]instrument.Sheet, []note.Note, error) {
	sheets, remarks, err := instrument.ReadSheets(bytes.NewReader(file), opt)
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
	Act
	Block  string
	Picked time.Time // day of the sample where a sheet names none; zero for the last sample
	Source string    // name of the file; empty for readings entered by hand
	Sheets []instrument.Sheet
	Whole  bool  // the sheets are whole ones: every half must have its row
	Uncut  []int // fruit that were read and not cut, so that no half has their numbers
}

// EnteredSheet is a sheet that was entered.
type EnteredSheet struct {
	Block  string
	Picked time.Time
	ledger.Entered
}

// EnterReadings keeps the readings of a block, each sheet in the sample of its day.
// All sheets are looked at before the first is entered: one that looks like a slip is
// a Refusal. Rows of other blocks are left out; the remarks tell of them and of what
// is doubtful. A sheet for a day without a tray waits for it.
func (b *Bench) EnterReadings(ctx context.Context, in Readings) ([]EnteredSheet, []note.Note, error) {
	act, name, err := b.acting(ctx, in.Act, in.Block)
	if err != nil {
		return nil, nil, err
	}
	in.Act, in.Block = act, name
	entries, remarks, err := b.entries(ctx, in)
	if err != nil {
		return nil, nil, err
	}
	var objections []note.Note
	for _, e := range entries {
		objections = append(objections, e.objections...)
	}
	about := in.Source
	if about == "" {
		about = "block " + name
	}
	s, err := b.writing(in.Act, about, note.Once(objections...)...)
	if err != nil {
		return nil, nil, err
	}
	var entered []EnteredSheet
	for i, e := range entries {
		if i > 0 {
			s = b.Season.With(ledger.Beside{Sending: partOf(in.Sending, i)}) // the first one carries what was overruled
		}
		kept, err := s.EnterReadings(ctx, in.By, ledger.Readings{
			Block: name, Picked: e.picked, Source: baseName(in.Source), Head: &scoring.Sample{}, All: e.readings,
		})
		if err != nil {
			return entered, nil, err
		}
		entered = append(entered, EnteredSheet{name, e.picked, kept})
	}
	return entered, remarks, nil
}

// baseName is the name of a file without its folders; empty for none.
func baseName(path string) string {
	if path == "" {
		return ""
	}
	return filepath.Base(path)
}

// partOf names a part of what was sent at one go.
func partOf(sending string, part int) string {
	if sending == "" {
		return ""
	}
	return fmt.Sprintf("%s/%d", sending, part+1)
}

// sheetEntry is a sheet of readings with the day that they are of.
type sheetEntry struct {
	picked     time.Time
	readings   []instrument.Reading
	objections []note.Note
}

// entries finds the sample of each sheet and looks at it.
func (b *Bench) entries(ctx context.Context, in Readings) ([]sheetEntry, []note.Note, error) {
	season, err := b.Season.LoadAll(ctx)
	if err != nil {
		return nil, nil, err
	}
	var remarks []note.Note
	var entries []sheetEntry
	for _, sheet := range in.Sheets {
		if sheet.Block != "" && !strings.EqualFold(sheet.Block, in.Block) {
			remarks = append(remarks, note.New("sheet.other_block", note.Name("other", sheet.Block), note.Name("block", in.Block)))
			continue
		}
		e, err := in.entry(season, sheet)
		if err != nil {
			return nil, nil, err
		}
		entries = append(entries, e)
		remarks = append(remarks, instrument.Remarks(e.readings)...)
	}
	if len(entries) == 0 && len(in.Sheets) > 0 {
		return nil, nil, fmt.Errorf("%s: has no row of block %q; it is a sheet of %s", in.Source, in.Block, in.Sheets[0].Block)
	}
	return entries, remarks, nil
}

// entry finds the day of a sheet and what speaks against it.
func (in Readings) entry(season []scoring.Sample, sheet instrument.Sheet) (sheetEntry, error) {
	e := sheetEntry{picked: in.Picked, readings: sheet.Readings}
	if !sheet.Day.IsZero() {
		e.picked = sheet.Day
	}
	own := ofBlock(season, in.Block)
	if e.picked.IsZero() {
		sample, err := sampleOf(own, in.Block, e.picked)
		if err != nil {
			return e, fmt.Errorf("%w; or give the day with --picked, and the readings wait for their tray", err)
		}
		e.picked = sample.Picked
	}
	look := sheetLook{Readings: in, sheet: e, season: season}
	for _, s := range own {
		if s.Picked.Equal(e.picked) {
			look.sample = s
		} else if s.Picked.Before(e.picked) {
			look.before = s
		}
	}
	e.objections = look.objections()
	return e, nil
}

func ofBlock(season []scoring.Sample, block string) []scoring.Sample {
	var out []scoring.Sample
	for _, s := range season {
		if s.Block == block {
			out = append(out, s)
		}
	}
	return out
}

// waiting gives the days of a block's sheets that wait for a tray, each with the
// number of fruit that they are of.
func (b *Bench) waiting(ctx context.Context, block string) (map[time.Time]int, error) {
	batches, err := b.Season.Batches(ctx, block)
	if err != nil {
		return nil, err
	}
	samples, err := b.Season.Load(ctx, block)
	if err != nil {
		return nil, err
	}
	fruit := map[time.Time]map[int]bool{}
	for _, batch := range batches {
		here := slices.ContainsFunc(samples, func(s scoring.Sample) bool { return s.Picked.Equal(batch.Picked) })
		if batch.Struck || here {
			continue
		}
		if fruit[batch.Picked] == nil {
			fruit[batch.Picked] = map[int]bool{}
		}
		for _, n := range batch.Fruit {
			fruit[batch.Picked][n] = true
		}
	}
	out := map[time.Time]int{}
	for day, of := range fruit {
		out[day] = len(of)
	}
	return out, nil
}

// StrikeReadings takes back the readings of one fruit of a block's sample of a day,
// or of the last one where the day is zero.
func (b *Bench) StrikeReadings(ctx context.Context, act Act, block string, picked time.Time, fruit int, why string) error {
	act, err := b.signed(ctx, act)
	if err != nil {
		return err
	}
	sample, err := b.Sample(ctx, block, picked)
	if err != nil {
		return err
	}
	s, err := b.writing(act, sample.Block)
	if err != nil {
		return err
	}
	return s.StrikeReadings(ctx, act.By, sample.Block, sample.Picked, fruit, why)
}

// Batch is what was entered at one go, as it now stands.
type Batch = ledger.Batch

// Batches lists what was entered for a block, sheets and readings by hand.
func (b *Bench) Batches(ctx context.Context, block string) ([]Batch, error) {
	of, err := b.Block(ctx, block)
	if err != nil {
		return nil, err
	}
	return b.Season.Batches(ctx, of.Name)
}

// StrikeSheet takes back what was entered at one go, by the number that Batches
// tells: what was entered before it counts again.
func (b *Bench) StrikeSheet(ctx context.Context, act Act, batch int64, why string) error {
	act, err := b.signed(ctx, act)
	if err != nil {
		return err
	}
	s, err := b.writing(act, "readings")
	if err != nil {
		return err
	}
	return s.StrikeBatch(ctx, act.By, batch, why)
}

// RestoreSheet puts back what StrikeSheet took.
func (b *Bench) RestoreSheet(ctx context.Context, act Act, batch int64, why string) error {
	act, err := b.signed(ctx, act)
	if err != nil {
		return err
	}
	s, err := b.writing(act, "readings")
	if err != nil {
		return err
	}
	return s.RestoreBatch(ctx, act.By, batch, why)
}

// MoveSheet moves what was entered at one go to the sample of another block or day,
// or by shift to other fruit.
func (b *Bench) MoveSheet(ctx context.Context, act Act, batch int64, block string, picked time.Time, shift int, why string) error {
	act, of, err := b.acting(ctx, act, block)
	if err != nil {
		return err
	}
	s, err := b.writing(act, "readings")
	if err != nil {
		return err
	}
	return s.MoveBatch(ctx, act.By, batch, of, picked, shift, why)
}
