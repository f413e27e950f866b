package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/files"
	"traystage/cmd/internal/workbench"
	"traystage/scoring/instrument"
	"traystage/vision/note"
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
	cmd.AddCommand(newReadingsAddCommand(), newReadingsListCommand(), newReadingsStrikeCommand(), newReadingsMoveCommand(), newReadingsSheetCommand(), newReadingsCheckedCommand())
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
	decimalVar(f, &o.opt.Tip, "tip", instrument.AppleTip, "diameter of the penetrometer's tip, mm")
	f.BoolVar(&o.opt.AnyTip, "any-tip", false, "take a tip that is not for apples")
	f.BoolVar(&o.opt.Compensated, "compensated", false, "the refractometer corrects for temperature itself")
	f.StringVar(&o.opt.Scale, "ground-scale", "", "`NAME` of the scale of ground colour where none is written, such as \"1-4 card\"")
	f.BoolVar(&o.opt.Implausible, "implausible", false, "take values that cannot be those of an apple")
}

// ready makes the options of the flags and, where these were not given, of what is
// set for the season.
func (o *readingOptions) ready(cmd *cobra.Command, set workbench.Settings) error {
	given := cmd.Flags().Changed
	if !given("compensated") {
		o.opt.Compensated = set.Compensated
	}
	if !given("tip") {
		o.opt.Tip = set.Tip
	}
	o.opt.Unit = set.Unit
	if o.unit == "" {
		return nil
	}
	var err error
	if o.opt.Unit, err = instrument.ParseUnit(o.unit); err != nil {
		return fault.Usagef("--unit: %w", err)
	}
	return nil
}

type readingsAdd struct {
	reviewFlags
	readingOptions
	fruit                int
	firmness, brix, note string
	red, ground          float64
	uncut                []int
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
				return fault.Usagef("%s takes a block and a file; quote a name with spaces", cmd.CommandPath())
			}
			if (len(args) == 2) == (a.fruit != 0) {
				return fault.Usagef("give either a file of readings or --fruit with what was read")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			a.hasRed, a.hasGround = cmd.Flags().Changed("red"), cmd.Flags().Changed("ground")
			return a.run(cmd, args)
		},
	}
	a.reviewFlags.add(cmd)
	a.readingOptions.add(cmd)
	f := cmd.Flags()
	f.IntVar(&a.fruit, "fruit", 0, "number of the fruit")
	f.StringVar(&a.firmness, "firmness", "", "both `SIDES`, such as 17.2/16.8 lbf")
	f.StringVar(&a.brix, "brix", "", "soluble solids, with the juice's temperature where it was read: 12.4 or 12.4@18C")
	decimalVar(f, &a.red, "red", 0, "blushed share of the skin, per cent")
	decimalVar(f, &a.ground, "ground", 0, "ground colour, on the scale of --ground-scale")
	f.IntSliceVar(&a.uncut, "uncut", nil, "`NUMBERS` of fruit that were read and not cut, so that no half has them")
	f.StringVar(&a.note, "note", "", "a remark on the fruit")
	return cmd
}

func (a readingsAdd) run(cmd *cobra.Command, args []string) error {
	picked, err := a.pickedDay()
	if err != nil {
		return err
	}
	return inSeason(cmd.Context(), a.seasonFlags, func(b *workbench.Bench) error {
		set, err := b.Settings(cmd.Context())
		if err != nil {
			return err
		}
		if err := a.ready(cmd, set); err != nil {
			return err
		}
		in := workbench.Readings{Act: a.act(), Block: args[0], Picked: picked, Whole: len(args) == 2, Uncut: a.uncut}
		var remarks []note.Note
		if in.Whole {
			in.Source = args[1]
			in.Sheets, remarks, err = a.file(args[1])
		} else {
			in.Sheets, err = a.single()
		}
		if err != nil {
			return err
		}
		entered, more, err := b.EnterReadings(cmd.Context(), in)
		tellEntered(speechOf(cmd), entered, append(remarks, more...))
		return err
	})
}

func tellEntered(say speech, entered []workbench.EnteredSheet, remarks []note.Note) {
	for _, e := range entered {
		line := say.Text("command.readings.entered", note.Name("block", e.Block), note.Day("picked", e.Picked), note.Count("n", e.Added))
		if e.Waiting {
			line += " " + say.Text("command.readings.wait")
		}
		fmt.Fprintln(say.w, line)
	}
	for _, r := range remarks {
		_ = say.tell("command.note", note.Notes("what", r))
	}
}

// file reads a file of readings. Errors name it and its rows.
func (a readingsAdd) file(path string) ([]instrument.Sheet, []note.Note, error) {
	b, err := files.Read(path)
	if err != nil {
		return nil, nil, err
	}
	return workbench.ReadSheets(path, b, a.opt)
}

// single makes a sheet of what the flags say of one fruit.
func (a readingsAdd) single() ([]instrument.Sheet, error) {
	typed := workbench.Typed{Fruit: a.fruit, Firmness: a.firmness, Brix: a.brix, Note: a.note}
	if a.hasRed {
		typed.Red = &a.red
	}
	if a.hasGround {
		typed.Ground = &a.ground
	}
	r, err := typed.Reading(a.opt)
	return []instrument.Sheet{{Readings: []instrument.Reading{r}}}, err
}
