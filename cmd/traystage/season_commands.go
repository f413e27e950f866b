package main

import (
	"context"
	"errors"

	"github.com/spf13/cobra"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/workbench"
	"traystage/vision/note"
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
	cmd.AddCommand(newSeasonNewCommand(), newSeasonSetCommand(), newSeasonBackupCommand(), newSeasonCheckCommand(), newSeasonCompareCommand())
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
			return speechOf(cmd).tell("command.season.made", note.Name("folder", args[0]))
		},
	}
	f.addBy(cmd)
	cmd.Flags().StringVar(&orchard, "orchard", "", "`NAME` of the orchard, for reports")
	return cmd
}

func newSeasonBackupCommand() *cobra.Command {
	var f seasonFlags
	var into string
	var keep int
	cmd := &cobra.Command{
		Use:   "backup [FOLDER]",
		Short: "Copy a season into a new folder",
		Long: `Backup copies the season as it stands at this moment, while others may work on
it. The copy is a season like any other: to restore, put it in the place of the
damaged one. A folder that is there already is never written to. With --into copies
are named by their day, and --keep removes the oldest of them.
` + exitStatus,
		Example: `  traystage season backup larkfield-copy --season larkfield-2026
  traystage season backup --into backups --keep 30 --season larkfield-2026`,
		Args: func(cmd *cobra.Command, args []string) error {
			if (into == "") != (len(args) == 1) {
				return fault.Usagef("%s takes a new folder for the copy, or a folder of copies with --into", cmd.CommandPath())
			}
			if given := cmd.Flags().Changed("keep"); given && (keep < 1 || into == "") {
				return fault.Usagef("--keep goes with --into, and is the number of copies to keep, 1 at least; leave it out to keep all")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			return inSeason(cmd.Context(), f, func(b *workbench.Bench) error {
				if into != "" {
					return runBackupInto(cmd.Context(), b, into, keep, speechOf(cmd))
				}
				made, damage := b.Backup(cmd.Context(), args[0])
				if !made {
					return damage
				}
				return errors.Join(speechOf(cmd).tell("command.season.copied", note.Name("folder", args[0])), damage)
			})
		},
	}
	f.addSeason(cmd.Flags())
	cmd.Flags().StringVar(&into, "into", "", "a `FOLDER` of copies, each named by its day")
	cmd.Flags().IntVar(&keep, "keep", 0, "with --into, the `NUMBER` of copies to keep; all when not given")
	return cmd
}

func runBackupInto(ctx context.Context, b *workbench.Bench, into string, keep int, say speech) error {
	made, damage := b.BackupInto(ctx, into, keep)
	if made.Folder == "" {
		return damage
	}
	err := say.tell("command.season.copied", note.Name("folder", made.Folder))
	for _, old := range made.Removed {
		err = errors.Join(err, say.tell("command.season.removed", note.Name("folder", old)))
	}
	return errors.Join(err, damage)
}

func newSeasonCheckCommand() *cobra.Command {
	var f seasonFlags
	cmd := &cobra.Command{
		Use:   "check",
		Short: "Look for damage: database, photos missing, changed or without a tray",
		Long: `Check reads the whole season and names whatever is damaged: entries that do not
go together, photos that are missing or have changed, photos without a tray,
reference sets that are missing. Sets of your own that the season uses from
outside are copied into it first.
` + exitStatus,
		Example: `  traystage season check --season larkfield-2026`,
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return inSeason(cmd.Context(), f, func(b *workbench.Bench) error {
				if err := b.CheckSeason(cmd.Context()); err != nil {
					return err
				}
				return speechOf(cmd).tell("command.season.whole")
			})
		},
	}
	f.addSeason(cmd.Flags())
	return cmd
}
