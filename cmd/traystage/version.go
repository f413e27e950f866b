package main

import (
	"github.com/spf13/cobra"

	"traystage/cmd/internal/workbench"
	"traystage/vision/note"
)

// version of the program; reports carry it.
const version = "0.1.0"

// program names the program and its version.
const program = "traystage " + version

func newVersionCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Print the version of the program and of its built-in reference set",
		Long:  "Version prints the version of the program and of its built-in reference set.\n" + exitStatus,
		Args:  noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			name, number, err := workbench.BuiltinSet()
			if err != nil {
				return err
			}
			return speechOf(cmd).tell("command.version", note.Name("program", program), note.Name("set", name), note.Count("version", number))
		},
	}
}
