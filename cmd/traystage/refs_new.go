package main

import (
	"context"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"traystage/calibrate"
	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/workbench"
	"traystage/vision/note"
)

type newOptions struct {
	gradedFlags
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
			return atBench(cmd.Context(), *f, func(b *workbench.Bench) error {
				return runRefsNew(cmd.Context(), b, opt, args[0], cmd.OutOrStdout())
			})
		},
	}
	opt.flags(cmd)
	cmd.Flags().StringVar(&opt.scale, "scale", "1-8", "stage of all stained, dash, stage of no stain, as `FROM-TO`")
	decimalVar(cmd.Flags(), &opt.step, "step", 0.1, "what a grader can tell apart, in stages")
	cmd.Flags().StringVar(&opt.note, "note", "", "a note kept with the set")
	return cmd
}

func runRefsNew(ctx context.Context, b *workbench.Bench, opt newOptions, name string, stdout io.Writer) error {
	if err := opt.check(); err != nil {
		return err
	}
	scale, err := parseScale(opt.scale, opt.step)
	if err != nil {
		return fault.Usage{Err: err}
	}
	graded, err := opt.read()
	if err != nil {
		return err
	}
	kept, err := b.NewSet(ctx, name, scale, opt.note, graded)
	if err != nil {
		return opt.told(err)
	}
	say := speech{speaking(ctx), stdout}
	if err := tellSet(say, kept); err != nil {
		return err
	}
	for _, n := range kept.Near {
		if err := say.tell("command.set.near", note.Stage("one", n.One.Stage), note.Stage("other", n.Other.Stage),
			note.Share("stained", n.One.Stained), note.Share("as", n.Other.Stained)); err != nil {
			return err
		}
	}
	return nil
}

// tellSet says which version of a set was kept, and where.
func tellSet(say speech, k workbench.KeptSet) error {
	return say.tell("command.set.kept", note.Name("set", k.Set.Name), note.Count("version", k.Set.Version),
		note.Name("contents", say.contents(k.Set)), note.Name("file", k.File))
}

// contents counts what a set holds, and says what it still lacks.
func (s speech) contents(set calibrate.Set) string {
	text := s.Text("command.set.plates", note.Count("n", len(set.Plates)))
	if n := len(set.Graded); n > 0 {
		text += ", " + s.Text("command.set.graded", note.Count("n", n))
		if more := set.GradedNeeded(); more > 0 {
			text += " (" + s.Text("command.set.more", note.Count("n", more)) + ")"
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
