package main

import (
	"bytes"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/files"
	"traystage/cmd/internal/workbench"
	"traystage/scoring/instrument"
	"traystage/scoring/words"
	"traystage/vision/note"
)

func newReadingsStrikeCommand() *cobra.Command {
	var f reviewFlags
	var sheet int64
	var restore bool
	cmd := &cobra.Command{
		Use:   "strike BLOCK FRUIT --why REASON | BLOCK --sheet NUMBER --why REASON",
		Short: "Take back the readings of one fruit, or a whole sheet",
		Long: `Strike takes back what was entered for a fruit, or with --sheet what was entered at
one go, so that it counts no longer; what was entered before a sheet counts again.
The entries are kept, with the reason. With --restore a sheet is put back.
` + exitStatus,
		Example: `  traystage readings strike "Brook 5" 3 --why "wrong tray" --by hm --season larkfield-2026
  traystage readings strike "Brook 5" --sheet 2 --why "sheet of Mill Row" --by hm --season larkfield-2026
  traystage readings strike "Brook 5" --sheet 2 --restore --by hm --season larkfield-2026`,
		Args: func(cmd *cobra.Command, args []string) error {
			switch {
			case sheet != 0 && len(args) == 1:
				return nil
			case sheet != 0 || restore:
				return fault.Usagef("%s takes a block and --sheet, as traystage readings list tells it", cmd.CommandPath())
			case len(args) > 2:
				return fault.Usagef("%s takes one fruit", cmd.CommandPath())
			}
			return blockAndFruit(cmd, args)
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			picked, err := f.pickedDay()
			if err != nil {
				return err
			}
			return inSeason(cmd.Context(), f.seasonFlags, func(b *workbench.Bench) error {
				switch {
				case restore:
					return b.RestoreSheet(cmd.Context(), f.act(), sheet, f.why)
				case sheet != 0:
					return b.StrikeSheet(cmd.Context(), f.act(), sheet, f.why)
				}
				fruit, _ := strconv.Atoi(args[1]) // seen to when the arguments were read
				return b.StrikeReadings(cmd.Context(), f.act(), args[0], picked, fruit, f.why)
			})
		},
	}
	f.add(cmd)
	cmd.Flags().StringVar(&f.why, "why", "", "what was wrong with them")
	cmd.Flags().Int64Var(&sheet, "sheet", 0, "`NUMBER` of a sheet, from traystage readings list")
	cmd.Flags().BoolVar(&restore, "restore", false, "put the sheet back")
	return cmd
}

func newReadingsSheetCommand() *cobra.Command {
	var o readingOptions
	var fruit int
	cmd := &cobra.Command{
		Use:   "sheet FILE.csv",
		Short: "Write an empty sheet for readings, to fill in",
		Long: `Sheet writes a CSV file with headings and a row for each fruit, for a spreadsheet
or an editor. traystage plan --out writes a sheet to print and fill in by hand.
` + exitStatus,
		Example: `  traystage readings sheet empty.csv --fruit 20 --unit lbf --compensated`,
		Args:    oneArgument("the file to write"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if o.unit == "" {
				return fault.Usagef("which unit is firmness read in? give it with --unit: lbf, kgf or N")
			}
			if err := o.ready(cmd, workbench.Settings{Tip: instrument.AppleTip}); err != nil {
				return err
			}
			var b bytes.Buffer
			if err := instrument.WriteTemplate(&b, fruit, o.opt); err != nil {
				return fault.Usage{Err: err}
			}
			return files.WriteNew(args[0], b.Bytes())
		},
	}
	o.add(cmd)
	cmd.Flags().IntVar(&fruit, "fruit", 10, "number of fruit")
	return cmd
}

// checkedFlags say what an instrument showed when it was checked.
type checkedFlags struct {
	seasonFlags
	on, weight, shown, why string
	water, strike          bool
}

func newReadingsCheckedCommand() *cobra.Command {
	var f checkedFlags
	cmd := &cobra.Command{
		Use:   "checked INSTRUMENT --weight FORCE --shown FORCE | --water --shown BRIX",
		Short: "Record that an instrument was checked",
		Long: `Checked records a check: a penetrometer with a known weight, a refractometer with
purified water, which must show zero. Reports say when none was made.
` + exitStatus,
		Example: `  traystage readings checked penetrometer --weight "10 lbf" --shown "10.1 lbf" --by hm --season larkfield-2026
  traystage readings checked refractometer --water --shown 0.1 --by hm --season larkfield-2026`,
		Args: oneArgument("the name of the instrument"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if f.strike {
				return inSeason(cmd.Context(), f.seasonFlags, func(b *workbench.Bench) error {
					_, err := b.StrikeCheck(cmd.Context(), f.act(), args[0], f.why)
					return err
				})
			}
			c, err := f.check(args[0])
			if err != nil {
				return err
			}
			return inSeason(cmd.Context(), f.seasonFlags, func(b *workbench.Bench) error {
				kept, err := b.AddCheck(cmd.Context(), f.act(), c)
				if err != nil || kept.Passed() {
					return err
				}
				unit := string(kept.Unit)
				if kept.Kind == instrument.ZeroWater {
					unit = "°Brix"
				}
				return speechOf(cmd).tell("command.check.off", note.Name("instrument", kept.Instrument),
					shortFigure("shown", kept.Shown, unit), shortFigure("expected", kept.Expected, unit))
			})
		},
	}
	f.addSeason(cmd.Flags())
	f.addBy(cmd)
	fl := cmd.Flags()
	fl.StringVar(&f.weight, "weight", "", "a known `FORCE`, such as \"10 lbf\"")
	fl.BoolVar(&f.water, "water", false, "purified water was on the prism")
	fl.StringVar(&f.shown, "shown", "", "what the instrument showed")
	fl.BoolVar(&f.strike, "strike", false, "take the last check of this instrument back, with --why")
	fl.StringVar(&f.why, "why", "", "with --strike, what was wrong with the check")
	fl.StringVar(&f.on, "on", "", "`DAY` of the check; today when not given")
	return cmd
}

func (f checkedFlags) check(name string) (c instrument.Check, err error) {
	if f.water == (f.weight != "") || f.shown == "" {
		return c, fault.Usagef("say what was checked: --weight FORCE --shown FORCE, or --water --shown BRIX")
	}
	c = instrument.Check{Instrument: name}
	if f.on != "" {
		if c.Day, err = parseDay("--on", f.on); err != nil {
			return c, err
		}
	}
	if f.water {
		c.Kind = instrument.ZeroWater
		s, err := instrument.ParseSolids(f.shown)
		c.Shown = s.Brix
		return c, fault.AsUsage(err)
	}
	c.Kind = instrument.CheckWeight
	due, err := oneForce(f.weight, "")
	if err != nil {
		return c, err
	}
	shown, err := oneForce(f.shown, due.Unit)
	c.Unit, c.Expected, c.Shown = due.Unit, due.Value, shown.In(due.Unit)
	return c, err
}

// shortFigure is a figure with as many decimals as it needs, two at most.
func shortFigure(name string, x float64, unit string) note.Value {
	digits := 0
	for digits < 2 && words.Shown(x, digits) != words.Shown(x, 2) {
		digits++
	}
	return note.Figure(name, x, digits, unit)
}

// oneForce reads a single force.
func oneForce(s string, unit instrument.Unit) (instrument.Force, error) {
	f, err := instrument.ParseFirmness(s, unit)
	if err != nil || len(f.Sides) != 1 {
		return instrument.Force{}, fault.Usagef("%q: is no force; write it like \"10 lbf\"", strings.TrimSpace(s))
	}
	return f.Sides[0], nil
}
