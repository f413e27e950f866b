package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"traystage/refimages"
)

// version of the program; reports carry it.
const version = "0.1.0"

func newVersionCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Print the version of the program and of its built-in reference set",
		Long:  "Version prints the version of the program and of its built-in reference set.\n" + exitStatus,
		Args:  noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			set, err := refimages.Builtin()
			if err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "traystage %s, built-in reference set %s version %d\n", version, set.Name, set.Version)
			return nil
		},
	}
}
