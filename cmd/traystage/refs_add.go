package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"traystage/calibrate"
	"traystage/refimages"
)

func newRefsAddCommand() *cobra.Command {
	var graded gradedPhoto
	cmd := &cobra.Command{
		Use:   "add NAME --photo TRAY --stages LIST|FILE",
		Short: "Add graded halves to a reference set, as its next version",
		Long: `Add takes a tray photo whose halves somebody graded by eye and makes the next
version of a reference set with them as further plates. Stages are given in
reading order, tenths are allowed, and a blank means that the half was not
graded. The versions before stay as they are.
` + exitStatus,
		Example: `  traystage refs add gala --photo tray.jpg --stages 2.5,3,,4.5
  traystage refs add gala --photo tray.jpg --stages grades.csv`,
		Args: oneName,
		RunE: func(cmd *cobra.Command, args []string) error {
			return runRefsAdd(graded, args[0], cmd.OutOrStdout())
		},
	}
	graded.flags(cmd)
	return cmd
}

func runRefsAdd(graded gradedPhoto, name string, stdout io.Writer) error {
	if err := graded.check(); err != nil {
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
	s, err := openShelf()
	if err != nil {
		return err
	}
	set, err := s.set(name)
	if err != nil {
		return err
	}
	next, err := graded.extend(set, set.Next)
	if err != nil {
		return err
	}
	return keep(s, next, stdout)
}
