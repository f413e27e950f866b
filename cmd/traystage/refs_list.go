package main

import (
	"errors"
	"fmt"
	"io"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"traystage/calibrate"
	"traystage/cmd/internal/workbench"
)

func newRefsListCommand(f *seasonFlags) *cobra.Command {
	return &cobra.Command{
		Use:   "list",
		Short: "List the reference sets",
		Long:  "List prints the newest version of every reference set, the built-in one first.\n" + exitStatus,
		Args:  noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return atBench(cmd.Context(), *f, func(b *workbench.Bench) error {
				sets, err := b.Sets(cmd.Context())
				if len(sets) == 0 {
					return err
				}
				return errors.Join(listSets(cmd.OutOrStdout(), sets), err) // those that cannot be read last
			})
		},
	}
}

func listSets(stdout io.Writer, sets []calibrate.Set) error {
	w := tabwriter.NewWriter(stdout, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "set\tversion\tscale\tplates\tcalibrated")
	for _, set := range sets {
		fmt.Fprintf(w, "%s\t%d\t%s\t%d\t%s\n", set.Name, set.Version, scaleText(set.Scale), len(set.Plates), yesNo(set.Calibrated()))
	}
	return w.Flush()
}

func scaleText(s calibrate.Scale) string { return fmt.Sprintf("%v to %v", s.Stained, s.Clear) }

func yesNo(v bool) string {
	if v {
		return "yes"
	}
	return "no"
}
