package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/workbench"
)

func newSeasonCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "season",
		Short: "Make, back up and check the folder that holds a year's samples",
		Long: `A season is the folder that holds one year: its blocks, samples, tray photos,
calls, readings and reference sets. Nothing in it is changed or deleted: a
correction is a new entry, and the last one counts.
` + exitStatus,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(newSeasonNewCommand(), newSeasonSetCommand(), newSeasonBackupCommand(), newSeasonCheckCommand())
	return cmd
}

func newSeasonNewCommand() *cobra.Command {
	var f seasonFlags
	var orchard string
	cmd := &cobra.Command{
		Use:   "new FOLDER",
		Short: "Make a season in a new or empty folder",
		Long: `New makes a season. Keep its folder on a disk of this machine, not on a network
share, and back it up with traystage season backup.
` + exitStatus,
		Example: `  traystage season new larkfield-2026 --orchard Larkfield --by hm`,
		Args:    oneArgument("the folder of the season, as in traystage season new larkfield-2026"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := workbench.NewSeason(cmd.Context(), args[0], f.initials(), orchard); err != nil {
				return err
			}
			_, err := fmt.Fprintf(cmd.OutOrStdout(), "The season is in %s.\nNext: traystage block add NAME --variety VARIETY --season %s\n", args[0], args[0])
			return err
		},
	}
	f.addBy(cmd)
	cmd.Flags().StringVar(&orchard, "orchard", "", "`NAME` of the orchard, for reports")
	return cmd
}

func newSeasonBackupCommand() *cobra.Command {
	var f seasonFlags
	cmd := &cobra.Command{
		Use:   "backup FOLDER",
		Short: "Copy a season into a new folder",
		Long: `Backup copies the season as it stands at this moment, while others may work on
it. The copy is a season like any other: to restore, put it in the place of the
damaged one. A folder that is there already is never written to.
` + exitStatus,
		Example: `  traystage season backup larkfield-copy --season larkfield-2026`,
		Args:    oneArgument("a new folder for the copy"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return inSeason(cmd.Context(), f, func(b *workbench.Bench) error {
				made, damage := b.Backup(cmd.Context(), args[0])
				if !made {
					return damage
				}
				_, err := fmt.Fprintf(cmd.OutOrStdout(), "A copy of the season is in %s.\n", args[0])
				return errors.Join(err, damage)
			})
		},
	}
	f.addSeason(cmd.Flags())
	return cmd
}

func newSeasonCheckCommand() *cobra.Command {
	var f seasonFlags
	cmd := &cobra.Command{
		Use:   "check",
		Short: "Look for damage: database, photos missing, changed or without a tray",
		Long: `Check reads the whole season and names whatever is damaged: entries that do not
go together, photos that are missing or have changed, photos without a tray.
` + exitStatus,
		Example: `  traystage season check --season larkfield-2026`,
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return inSeason(cmd.Context(), f, func(b *workbench.Bench) error {
				if err := b.CheckSeason(cmd.Context()); err != nil {
					return err
				}
				_, err := fmt.Fprintln(cmd.OutOrStdout(), "The season is whole.")
				return err
			})
		},
	}
	f.addSeason(cmd.Flags())
	return cmd
}
