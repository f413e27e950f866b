package main

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"traystage/calibrate"
	"traystage/refimages"
)

func newRefsListCommand(f *seasonFlags) *cobra.Command {
	return &cobra.Command{
		Use:   "list",
		Short: "List the reference sets",
		Long:  "List prints the newest version of every reference set, the built-in one first.\n" + exitStatus,
		Args:  noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			s, err := f.shelf()
			if err != nil {
				return err
			}
			return runRefsList(s, cmd.OutOrStdout())
		},
	}
}

// runRefsList lists what can be read and then tells what cannot.
func runRefsList(s shelf, stdout io.Writer) error {
	builtin, err := refimages.Builtin()
	if err != nil {
		return err
	}
	all, err := s.all()
	if err != nil {
		return err
	}
	sets := []calibrate.Set{builtin}
	var failed severalErrors
	for _, name := range slices.Sorted(maps.Keys(all)) {
		set, err := s.set(name)
		if err != nil {
			failed = append(failed, err)
			continue
		}
		sets = append(sets, set)
	}
	w := tabwriter.NewWriter(stdout, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "set\tversion\tscale\tplates\tcalibrated")
	for _, set := range sets {
		fmt.Fprintf(w, "%s\t%d\t%s\t%d\t%s\n", set.Name, set.Version, scaleText(set.Scale), len(set.Plates), yesNo(set.Calibrated()))
	}
	if err := w.Flush(); err != nil {
		return err
	}
	if len(failed) > 0 {
		return failed
	}
	return nil
}

func scaleText(s calibrate.Scale) string { return fmt.Sprintf("%v to %v", s.Stained, s.Clear) }

func yesNo(v bool) string {
	if v {
		return "yes"
	}
	return "no"
}
