package main

import (
	"strings"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/fault"
)

func newHelpCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "help [COMMAND]",
		Short:   "Tell what a command does",
		Long:    "Help tells what a command does and which flags it takes, as --help after it does.\n" + exitStatus,
		Example: `  traystage help score`,
		RunE: func(cmd *cobra.Command, args []string) error {
			found, rest, err := cmd.Root().Find(args)
			if err != nil || len(rest) > 0 {
				return fault.Usagef("%q is no command; see %s --help", strings.Join(args, " "), cmd.Root().CommandPath())
			}
			found.InitDefaultHelpFlag() // as it is when the command itself is run
			return found.Help()
		},
	}
}
