package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"traystage/calibrate"
	"traystage/vision"
)

type newOptions struct {
	gradedPhoto
	scale string
	step  float64
	note  string
}

func newRefsNewCommand(f *seasonFlags) *cobra.Command {
	var opt newOptions
	cmd := &cobra.Command{
		Use:   "new NAME --photo CHART --stages LIST|FILE",
		Short: "Make a reference set from one photo of halves of known stage",
		Long: `New makes the first version of a reference set from one photo: halves of the
variety, one for each stage, in even light. Stages are given in reading order:
rows from top to bottom, each from left to right.

The scale runs from the stage of a half that is all stained to that of one
without stain: 1-8, or 10-1 where the numbers run the other way.
` + exitStatus,
		Example: `  traystage refs new gala --photo chart.jpg --stages 1,2,3,4,5,6,7,8
  traystage refs new idared --photo chart.jpg --stages chart.csv --scale 1-10`,
		Args: oneName,
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := f.shelf()
			if err != nil {
				return err
			}
			return runRefsNew(s, opt, args[0], cmd.OutOrStdout())
		},
	}
	opt.flags(cmd)
	cmd.Flags().StringVar(&opt.scale, "scale", "1-8", "stage of all stained, dash, stage of no stain, as `FROM-TO`")
	cmd.Flags().Float64Var(&opt.step, "step", 0.1, "what a grader can tell apart, in stages")
	cmd.Flags().StringVar(&opt.note, "note", "", "a note kept with the set")
	return cmd
}

func runRefsNew(s shelf, opt newOptions, name string, stdout io.Writer) error {
	if err := opt.check(); err != nil {
		return err
	}
	if err := checkNewName(name); err != nil {
		return err
	}
	scale, err := parseScale(opt.scale, opt.step)
	if err != nil {
		return usageError{err}
	}
	if _, versions, err := s.holding(name); err != nil {
		return err
	} else if len(versions) > 0 {
		return fmt.Errorf("reference set %q: exists already; add to it with traystage refs add, or choose another name", name)
	}
	empty := calibrate.Set{StainedDensity: vision.DefaultStainedDensity, Scale: scale}
	tray, err := opt.read(empty)
	if err != nil {
		return err
	}
	plates, err := tray.plates()
	if err != nil {
		return fmt.Errorf("%s: %w", opt.photo, err)
	}
	set, err := calibrate.New(name, scale, vision.DefaultStainedDensity, plates...)
	if err != nil {
		return tray.told(err)
	}
	set.Note = opt.note
	return keep(s, set, stdout)
}

// keep fits the set, so that one that cannot call stages is never kept, and writes it.
func keep(s shelf, set calibrate.Set, stdout io.Writer) error {
	if _, err := calibrate.Fit(set); err != nil {
		return fmt.Errorf("reference set %q: %w", set.Name, err)
	}
	if set.Version > 1 { // beside the version it was made from
		held, _, err := s.holding(set.Name)
		if err != nil {
			return err
		}
		s = held
	}
	path, err := s.add(set)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(stdout, "Reference set %s version %d: %s, kept in %s\n", set.Name, set.Version, contents(set), path)
	return err
}

// contents counts what a set holds, and says what it still lacks.
func contents(set calibrate.Set) string {
	text := fmt.Sprintf("%d plates", len(set.Plates))
	if n := len(set.Graded); n > 0 {
		text += fmt.Sprintf(", %d graded halves", n)
		if more := set.GradedNeeded(); more > 0 {
			text += fmt.Sprintf(" (%d more and it is calibrated)", more)
		}
	}
	return text
}

// parseScale reads FROM-TO.
func parseScale(text string, step float64) (calibrate.Scale, error) {
	from, to, ok := strings.Cut(text, "-")
	stained, err1 := strconv.ParseFloat(strings.TrimSpace(from), 64)
	clear, err2 := strconv.ParseFloat(strings.TrimSpace(to), 64)
	if !ok || err1 != nil || err2 != nil {
		return calibrate.Scale{}, fmt.Errorf("--scale %q: write the stage of an all stained half, a dash, and that of one without stain, as in 1-8", text)
	}
	scale := calibrate.Scale{Stained: stained, Clear: clear, Step: step}
	if err := scale.Validate(); err != nil {
		return scale, fmt.Errorf("--scale %q --step %v: %w", text, step, err)
	}
	return scale, nil
}
