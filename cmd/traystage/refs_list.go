package main

import (
	"errors"
	"strconv"

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
				return errors.Join(listSets(speechOf(cmd), sets), err) // those that cannot be read last
			})
		},
	}
}

func listSets(say speech, sets []calibrate.Set) error {
	t := say.table("column.name", "column.version", "column.scale", "column.plates", "column.calibrated")
	for _, set := range sets {
		t.row(set.Name, strconv.Itoa(set.Version), say.between(say.Mark(set.Scale.Stained), say.Mark(set.Scale.Clear)), strconv.Itoa(len(set.Plates)), say.yesNo(set.Calibrated()))
	}
	return t.Flush()
}
