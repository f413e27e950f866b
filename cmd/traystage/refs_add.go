package main

import (
	"context"
	"io"

	"github.com/spf13/cobra"

	"traystage/calibrate"
	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/grades"
	"traystage/cmd/internal/workbench"
	"traystage/vision/note"
)

type addOptions struct {
	gradedFlags
	by      string
	correct bool
	again   bool
}

func newRefsAddCommand(f *seasonFlags) *cobra.Command {
	var opt addOptions
	cmd := &cobra.Command{
		Use:   "add NAME --photo TRAY --stages LIST|FILE [--by INITIALS]",
		Short: "Add graded halves to a reference set, as its next version",
		Long: `Add takes a tray photo whose halves somebody graded by eye and makes the next
version of a reference set with them. Stages are given in reading order, tenths
are allowed, and a blank means that the half was not graded. The plates stay
what they are; graded halves draw the path between them, and from nine on they
tell how sure a stage is. The versions before stay as they are.

Graders are told apart by their initials: --by, or in the file a column headed
by, or one column a grader headed with the initials beside one headed half. A half
that a grader graded before is refused: it would count twice. --correct puts
the new grade in its place, --again keeps it as a second reading, which tells
refs check how well the grader repeats.
` + exitStatus,
		Example: `  traystage refs add gala --photo tray.jpg --stages 2.5,3,,4.5 --by AB
  traystage refs add gala --photo tray.jpg --stages grades.csv`,
		Args: oneName,
		RunE: func(cmd *cobra.Command, args []string) error {
			return atBench(cmd.Context(), *f, func(b *workbench.Bench) error {
				return runRefsAdd(cmd.Context(), b, opt, args[0], cmd.OutOrStdout())
			})
		},
	}
	opt.flags(cmd)
	cmd.Flags().StringVar(&opt.by, "by", "", "`INITIALS` of who graded, where the file does not tell")
	cmd.Flags().BoolVar(&opt.correct, "correct", false, "put these grades in the place of earlier ones by the same grader")
	cmd.Flags().BoolVar(&opt.again, "again", false, "keep these as a second reading beside earlier ones by the same grader")
	return cmd
}

func (opt addOptions) repeat() calibrate.Repeat {
	switch {
	case opt.correct:
		return calibrate.Correct
	case opt.again:
		return calibrate.Again
	}
	return calibrate.Refuse
}

// check refuses what is wrong before a photo is measured.
func (opt addOptions) check() error {
	if err := opt.gradedFlags.check(); err != nil {
		return err
	}
	if opt.correct && opt.again {
		return fault.Usagef("--correct takes earlier grades away and --again keeps them; give one of the two")
	}
	if err := calibrate.ValidateInitials(opt.by); err != nil {
		return fault.Usagef("--by: %w", err)
	}
	return nil
}

// named gives the initials of --by to a grading without any.
func (opt addOptions) named(gradings []grades.Grading) error {
	if opt.by == "" {
		return nil
	}
	if len(gradings) > 1 || gradings[0].By != "" {
		return fault.Usagef("--by %s: %s names its graders itself; leave off --by", opt.by, opt.stages)
	}
	gradings[0].By = opt.by
	return nil
}

func runRefsAdd(ctx context.Context, b *workbench.Bench, opt addOptions, name string, stdout io.Writer) error {
	if err := opt.check(); err != nil {
		return err
	}
	graded, err := opt.read()
	if err != nil {
		return err
	}
	if err := opt.named(graded.Gradings); err != nil {
		return err
	}
	kept, suspects, err := b.Grade(ctx, name, opt.repeat(), graded)
	say := speech{speaking(ctx), stdout}
	if kept.File != "" {
		if err := tellSet(say, kept); err != nil {
			return err
		}
	}
	if err != nil {
		return opt.told(err)
	}
	for _, s := range suspects {
		if err := say.tell("command.set.look_at_half", note.Count("half", s.Half), note.Stage("graded", s.Graded), note.Stage("called", s.Called)); err != nil {
			return err
		}
	}
	return nil
}
