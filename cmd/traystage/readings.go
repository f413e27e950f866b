package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"traystage/scoring"
	"traystage/scoring/instrument"
	"traystage/scoring/ledger"
)

func newReadingsCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "readings",
		Short: "Enter firmness, sugar and colour, and checks of the instruments",
		Long: `Readings are what was read off the fruit of a sample: firmness of two sides,
soluble solids, red colour, ground colour. They meet the halves of the photo by
the number of the fruit.
` + exitStatus,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(newReadingsAddCommand(), newReadingsStrikeCommand(), newReadingsSheetCommand(), newReadingsCheckedCommand())
	return cmd
}

// readingOptions say how readings were made; they hold for a file and for flags.
type readingOptions struct {
	unit string
	opt  instrument.Options
}

func (o *readingOptions) add(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&o.unit, "unit", "", "unit of firmness where none is written: lbf, kgf or N")
	f.Float64Var(&o.opt.Tip, "tip", instrument.AppleTip, "diameter of the penetrometer's tip, mm")
	f.BoolVar(&o.opt.AnyTip, "any-tip", false, "take a tip that is not for apples")
	f.BoolVar(&o.opt.Compensated, "compensated", false, "the refractometer corrects for temperature itself")
	f.StringVar(&o.opt.Scale, "ground-scale", "", "`NAME` of the scale of ground colour where none is written, such as \"1-4 card\"")
	f.BoolVar(&o.opt.Implausible, "implausible", false, "take values that cannot be those of an apple")
}

func (o *readingOptions) ready() error {
	if o.unit == "" {
		return nil
	}
	var err error
	if o.opt.Unit, err = instrument.ParseUnit(o.unit); err != nil {
		return usageError{fmt.Errorf("--unit: %w", err)}
	}
	return nil
}

type readingsAdd struct {
	reviewFlags
	readingOptions
	fruit                int
	firmness, brix, note string
	red, ground          float64
	hasRed, hasGround    bool
}

func newReadingsAddCommand() *cobra.Command {
	var a readingsAdd
	cmd := &cobra.Command{
		Use:   "add BLOCK [FILE.csv]",
		Short: "Enter the readings of a sample from a file, or those of one fruit",
		Long: `Add enters readings of the block's last sample, or of the one that --picked names.

A file has a heading and one row a fruit: fruit, firmness 1, firmness 2, brix,
temperature, red %, ground colour, note; units may stand in the heading, as in
firmness 1 (kgf). Comma, semicolon or tab part the columns; decimals may have
a comma. traystage readings sheet writes an empty one.

Without a file, --fruit and what was read enter a single fruit. A second entry
of a fruit corrects the first, which is kept.
` + exitStatus,
		Example: `  traystage readings add "Brook 5" readings.csv --compensated --by hm --season larkfield-2026
  traystage readings add "Brook 5" --fruit 3 --firmness 17.2/16.8 --unit lbf --brix 12.4@18C --by hm --season larkfield-2026`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) < 1 || len(args) > 2 {
				return usageError{fmt.Errorf("%s takes a block and a file; quote a name with spaces", cmd.CommandPath())}
			}
			if (len(args) == 2) == (a.fruit != 0) {
				return usageError{errors.New("give either a file of readings or --fruit with what was read")}
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			a.hasRed, a.hasGround = cmd.Flags().Changed("red"), cmd.Flags().Changed("ground")
			return a.run(cmd.Context(), args, cmd.OutOrStdout())
		},
	}
	a.reviewFlags.add(cmd)
	a.readingOptions.add(cmd)
	f := cmd.Flags()
	f.IntVar(&a.fruit, "fruit", 0, "number of the fruit")
	f.StringVar(&a.firmness, "firmness", "", "both `SIDES`, such as 17.2/16.8 lbf")
	f.StringVar(&a.brix, "brix", "", "soluble solids, with the juice's temperature where it was read: 12.4 or 12.4@18C")
	f.Float64Var(&a.red, "red", 0, "blushed share of the skin, per cent")
	f.Float64Var(&a.ground, "ground", 0, "ground colour, on the scale of --ground-scale")
	f.StringVar(&a.note, "note", "", "a remark on the fruit")
	return cmd
}

func (a readingsAdd) run(ctx context.Context, args []string, stdout io.Writer) error {
	by, err := a.initials()
	if err != nil {
		return err
	}
	if err := a.ready(); err != nil {
		return err
	}
	picked, err := a.pickedDay()
	if err != nil {
		return err
	}
	var sheets []instrument.Sheet
	var remarks []instrument.Remark
	if len(args) == 2 {
		sheets, remarks, err = a.file(args[1])
	} else {
		sheets, err = a.single()
	}
	if err != nil {
		return err
	}
	return withSeason(ctx, a.seasonFlags, func(s *ledger.Season) error {
		b, err := blockOf(ctx, s, args[0])
		if err != nil {
			return err
		}
		var entries []sheetEntry
		for _, sheet := range sheets {
			if sheet.Block != "" && !strings.EqualFold(sheet.Block, b.Name) {
				remarks = append(remarks, instrument.Remark{Text: fmt.Sprintf("the rows of %s were left out: they are of another block than %s", sheet.Block, b.Name)})
				continue
			}
			e, err := newSheetEntry(ctx, s, b.Name, picked, sheet, len(args) == 2)
			if err != nil {
				return err
			}
			entries = append(entries, e)
			remarks = append(remarks, instrument.Remarks(e.readings)...)
		}
		// All sheets fit before the first one is entered.
		for _, e := range entries {
			if err := e.enter(ctx, s, by, stdout); err != nil {
				return err
			}
		}
		for _, r := range remarks {
			if _, err := fmt.Fprintf(stdout, "note: %s\n", r); err != nil {
				return err
			}
		}
		return nil
	})
}

// file reads a file of readings. Errors name it and its rows.
func (a readingsAdd) file(path string) ([]instrument.Sheet, []instrument.Remark, error) {
	b, err := readFile(path)
	if err != nil {
		return nil, nil, err
	}
	sheets, remarks, err := instrument.ReadCSV(bytes.NewReader(b), a.opt)
	var faults *instrument.FileError
	if errors.As(err, &faults) {
		return nil, nil, faultsOf(path, faults)
	}
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", path, err)
	}
	return sheets, remarks, nil
}

func faultsOf(path string, e *instrument.FileError) error {
	var all severalErrors
	for _, f := range e.Faults {
		all = append(all, fmt.Errorf("%s: %s", path, f))
	}
	if e.More > 0 {
		all = append(all, fmt.Errorf("%s: and %d more like these", path, e.More))
	}
	return all
}

// single makes a sheet of what the flags say of one fruit.
func (a readingsAdd) single() ([]instrument.Sheet, error) {
	r := instrument.Reading{Fruit: a.fruit, Note: a.note}
	if a.firmness != "" {
		f, err := instrument.ParseFirmness(a.firmness, a.opt.Unit)
		if err != nil {
			return nil, usageError{err}
		}
		f.Tip = a.opt.Tip
		if err := instrument.CheckTip(f.Tip); err != nil && !a.opt.AnyTip {
			return nil, err
		}
		r.Firmness = &f
	}
	if a.brix != "" {
		s, err := instrument.ParseSolids(a.brix)
		if err != nil {
			return nil, usageError{err}
		}
		s.Compensated = a.opt.Compensated
		r.Solids = &s
	}
	if a.hasRed {
		r.Red = &a.red
	}
	if a.hasGround {
		r.Ground = &instrument.Ground{Score: a.ground, Scale: a.opt.Scale}
	}
	if err := r.Plausible(); err != nil && !a.opt.Implausible {
		return nil, fmt.Errorf("%w; --implausible takes it all the same", err)
	}
	return []instrument.Sheet{{Readings: []instrument.Reading{r}}}, nil
}

// sheetEntry is a sheet of readings with the sample that they are of.
type sheetEntry struct {
	sample   scoring.Sample
	readings []instrument.Reading
}

// newSheetEntry finds the sample of a sheet. A whole sheet must fit the halves of
// the sample's trays, where there are any.
func newSheetEntry(ctx context.Context, s *ledger.Season, block string, picked time.Time, sheet instrument.Sheet, whole bool) (sheetEntry, error) {
	if !sheet.Day.IsZero() {
		picked = sheet.Day
	}
	sample, err := sampleOf(ctx, s, block, picked)
	if err != nil {
		return sheetEntry{}, err
	}
	if halves := len(sample.Fruit()); whole && halves > 0 {
		if err := instrument.Match(sheet.Readings, halves); err != nil {
			return sheetEntry{}, fmt.Errorf("block %q, picked %s: %w", block, sample.Picked.Format(time.DateOnly), err)
		}
	}
	return sheetEntry{sample, sheet.Readings}, nil
}

func (e sheetEntry) enter(ctx context.Context, s *ledger.Season, by string, stdout io.Writer) error {
	added, err := s.AddReadings(ctx, by, e.sample.Block, e.sample.Picked, e.readings...)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(stdout, "%s, picked %s: readings of %d fruit entered.\n", e.sample.Block, e.sample.Picked.Format(time.DateOnly), added)
	return err
}
