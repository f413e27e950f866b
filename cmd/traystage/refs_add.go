package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"traystage/calibrate"
	"traystage/refimages"
	"traystage/scoring"
)

type addOptions struct {
	gradedPhoto
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
			s, err := f.shelf()
			if err != nil {
				return err
			}
			return runRefsAdd(s, opt, args[0], cmd.OutOrStdout())
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
	if err := opt.gradedPhoto.check(); err != nil {
		return err
	}
	if opt.correct && opt.again {
		return usageError{errors.New("--correct takes earlier grades away and --again keeps them; give one of the two")}
	}
	if err := calibrate.ValidateInitials(opt.by); err != nil {
		return usageError{fmt.Errorf("--by: %w", err)}
	}
	return nil
}

// named gives the initials of --by to a grading without any.
func (opt addOptions) named(gradings []grading) error {
	if opt.by == "" {
		return nil
	}
	if len(gradings) > 1 || gradings[0].by != "" {
		return usageError{fmt.Errorf("--by %s: %s names its graders itself; leave off --by", opt.by, opt.stages)}
	}
	gradings[0].by = opt.by
	return nil
}

func runRefsAdd(s shelf, opt addOptions, name string, stdout io.Writer) error {
	if err := opt.check(); err != nil {
		return err
	}
	if name == refimages.BuiltinName {
		return fmt.Errorf("reference set %q: the built-in set is not added to; make your own with traystage refs new", name)
	}
	if plain, version := splitVersion(name); version > 0 {
		return usageError{fmt.Errorf("%q: add makes the next version of a set; name it without a version: %s", name, plain)}
	}
	if err := calibrate.ValidateName(name); err != nil {
		return usageError{err}
	}
	set, err := s.set(name)
	if err != nil {
		return err
	}
	tray, err := opt.read(set)
	if err != nil {
		return err
	}
	if err := opt.named(tray.gradings); err != nil {
		return err
	}
	next, err := set.Grade(opt.repeat(), tray.halves()...)
	if errors.Is(err, calibrate.ErrGradedBefore) {
		return withHint(fmt.Errorf("%s: %w", opt.photo, err), "--correct puts the new grades in their place, --again keeps them as a second reading")
	}
	if err != nil {
		return tray.told(err)
	}
	if err := keep(s, next, stdout); err != nil {
		return err
	}
	return tellSuspects(stdout, next, tray.hash)
}

// tellSuspects names the grades of one photo that look misread, while the tray
// may still be at hand.
func tellSuspects(w io.Writer, set calibrate.Set, photo string) error {
	suspects, err := calibrate.Suspects(set)
	if err != nil {
		return err
	}
	for _, s := range suspects {
		if s.Photo == photo {
			fmt.Fprintf(w, "look again at half %d: it is graded %s and looks like %s; put a slip right with --correct\n", s.Half, scoring.Tenth(s.Graded), scoring.Tenth(s.Called))
		}
	}
	return nil
}
