package main

import (
	"github.com/spf13/cobra"

	"traystage/cmd/internal/fault"
)

func newRefsCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "refs",
		Short: "Make, extend, check and show reference sets",
		Long: `A reference set says what the stages of one variety look like: halves of known
stage, the plates. Stages are called on it, so a stage is only worth what its
set is worth, and stages called on two sets are not comparable.

Sets are kept in the season's folder refs; without a season in
$TRAYSTAGE_HOME/refs, or without that in the user's configuration folder, where
those of a season are looked for too. Every version is a file of its own and is never changed.
` + exitStatus,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	var f seasonFlags
	f.addSeason(cmd.PersistentFlags())
	cmd.AddCommand(newRefsNewCommand(&f), newRefsAddCommand(&f), newRefsListCommand(&f), newRefsShowCommand(&f), newRefsCheckCommand(&f), newRefsConvertCommand(&f), newRefsAdoptCommand(&f))
	return cmd
}

// oneName asks for exactly the name of a set.
func oneName(cmd *cobra.Command, args []string) error {
	if len(args) != 1 {
		return fault.Usagef("name one reference set, as in %s gala; %d names are given", cmd.CommandPath(), len(args))
	}
	return nil
}
