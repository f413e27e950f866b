package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"maps"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/files"
	"traystage/cmd/internal/workbench"
	"traystage/scoring"
	"traystage/scoring/instrument"
	"traystage/scoring/report"
	"traystage/scoring/report/document"
	"traystage/scoring/trend"
	"traystage/vision/note"
)

// outFlags say in which forms and where a report is written.
type outFlags struct {
	out   string
	forms []string
	json  bool
	unit  string

	rate, rateSD float64
	rateFrom     string
	lean         bool
}

func (f *outFlags) add(cmd *cobra.Command) {
	fl := cmd.Flags()
	fl.StringVar(&f.out, "out", "", "write the report into this `FOLDER`")
	fl.StringSliceVar(&f.forms, "as", formNames(), "the `FORMS` to write with --out; message alone prints a few lines to send on")
	fl.BoolVar(&f.json, "json", false, "print JSON for programs instead of a table")
	fl.StringVar(&f.unit, "unit", "", "show firmness in lbf, kgf or N; as it was read when not given")
	decimalVar(fl, &f.rate, "rate", 0, "a usual rate of the variety in mid scale, stages a day, that trends lean on; none when not given")
	decimalVar(fl, &f.rateSD, "rate-sd", 0.06, "how far the rate of one block and year strays from it (standard deviation)")
	fl.BoolVar(&f.lean, "usual", false, "let trends lean on your own usual rates, as traystage rates learn found them; the report marks it")
	fl.StringVar(&f.rateFrom, "rate-from", "a rate given by hand", "where --rate is from, for the report")
}

// formNames are the forms that a document can be written in, by file ending.
func formNames() []string { return slices.Sorted(maps.Keys(document.Forms())) }

// messageForm is a few lines of plain text, to be sent on.
const messageForm = "message"

// options are what the flags say on how to assess; forms that there are not are
// refused as well.
func (f outFlags) options(s seasonFlags) (opt scoring.Options, err error) {
	for _, name := range f.forms {
		if document.Forms()[name] == nil && name != messageForm {
			return opt, fault.Usagef("--as %s: is no form of a report; there are %s", name, strings.Join(append(formNames(), messageForm), ", "))
		}
	}
	chosen := !slices.Equal(f.forms, formNames()) && !slices.Equal(f.forms, []string{messageForm})
	if f.out == "" && chosen {
		return opt, fault.Usagef("--as %s: is written to a file; name its folder with --out", strings.Join(f.forms, ","))
	}
	if opt.Today, err = s.day(); err != nil {
		return opt, err
	}
	if opt.Unit, err = f.shownIn(); err != nil {
		return opt, err
	}
	opt.Lean = f.lean
	opt.Usual, err = f.usual()
	return opt, err
}

func (f outFlags) shownIn() (instrument.Unit, error) {
	if f.unit == "" {
		return "", nil
	}
	u, err := instrument.ParseUnit(f.unit)
	if err != nil {
		return "", fault.Usagef("--unit: %w", err)
	}
	return u, nil
}

// fastest is a rate, in stages a day, that no variety comes near: a whole scale
// in less than a day is a slip of the pen.
const fastest = 10

// usual is the rate that trends lean on; nil for none.
func (f outFlags) usual() (*trend.Prior, error) {
	if f.rate == 0 {
		return nil, nil
	}
	if !(f.rate > 0 && f.rate <= fastest) {
		return nil, fault.Usagef("--rate %g: give stages a day, above 0 and up to %d, such as 0.2", f.rate, fastest)
	}
	if !(f.rateSD > 0 && f.rateSD <= fastest) {
		return nil, fault.Usagef("--rate-sd %g: give stages a day, above 0 and up to %d, such as 0.06", f.rateSD, fastest)
	}
	return &trend.Prior{Rate: f.rate, Standard: f.rateSD, From: f.rateFrom}, nil
}

// write prints a document, and writes it in every form that is asked for: all
// of them are rendered before the first is written.
func (f outFlags) write(say speech, stem string, d document.Document, message string) error {
	if f.out == "" && slices.Equal(f.forms, []string{messageForm}) {
		_, err := io.WriteString(say.w, message)
		return err
	}
	print := document.WriteText
	if f.json {
		print = document.WriteJSON
	}
	if err := print(say.w, d); err != nil || f.out == "" {
		return err
	}
	if err := files.MakeFolder(f.out); err != nil {
		return err
	}
	rendered := make([][]byte, len(f.forms))
	for i, name := range f.forms {
		if name == messageForm {
			rendered[i] = []byte(message)
			continue
		}
		var b bytes.Buffer
		if err := document.Forms()[name](&b, d); err != nil {
			return fmt.Errorf("%s as %s: %w", stem, name, err)
		}
		rendered[i] = b.Bytes()
	}
	for i, name := range f.forms {
		if err := files.Write(filepath.Join(f.out, stem+endingOf(name)), rendered[i]); err != nil {
			return err
		}
	}
	if f.json || len(f.forms) == 0 {
		return nil
	}
	fmt.Fprintln(say.w)
	return say.tell("command.report.written", note.Name("file", filepath.Join(f.out, stem)), note.Names("forms", f.forms))
}

// endingOf is that of the file of a form.
func endingOf(form string) string {
	if form == messageForm {
		return ".message.txt"
	}
	return "." + form
}

func newReportCommand() *cobra.Command {
	var f seasonFlags
	var out outFlags
	cmd := &cobra.Command{
		Use:   "report BLOCK",
		Short: "Report on a block: may it be picked for its market, and when",
		Long: `Report holds the block's last sample against the standard of its market: what it
is ready for, by how much, how sure that is, and between which days it wants
picking. With --out the whole report is written to read, print and keep.
` + exitStatus,
		Example: `  traystage report "Brook 5" --season larkfield-2026
  traystage report "Brook 5" --out reports --as pdf,xlsx --season larkfield-2026
  traystage report "Brook 5" --as message --season larkfield-2026 --language es`,
		Args: oneArgument("the name of the block"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return inSeason(cmd.Context(), f, func(b *workbench.Bench) error {
				return runReport(cmd.Context(), b, f, out, args[0], cmd.OutOrStdout())
			})
		},
	}
	f.addSeason(cmd.Flags())
	f.addToday(cmd)
	out.add(cmd)
	return cmd
}

func runReport(ctx context.Context, b *workbench.Bench, f seasonFlags, out outFlags, name string, stdout io.Writer) error {
	opt, err := out.options(f)
	if err != nil {
		return err
	}
	r, err := b.Report(ctx, name, opt)
	if err != nil {
		return err
	}
	full := report.Block{BlockReport: r, Words: speaking(ctx)}
	if full.Earlier, err = b.Earlier(ctx, name); err != nil {
		return err
	}
	if r.Sample != nil && out.out != "" {
		overlays, err := b.Overlays(ctx, *r.Sample)
		if err != nil {
			return err
		}
		for _, p := range overlays {
			full.Trays = append(full.Trays, report.Picture{Name: p.Name, Bytes: p.Bytes})
		}
	}
	d, err := full.Document()
	if err != nil {
		return err
	}
	return out.write(speech{speaking(ctx), stdout}, files.Stem(r.Block.Name), d, full.Message())
}
