package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"traystage/scoring/ledger"
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
	cmd.AddCommand(newSeasonNewCommand(), newSeasonBackupCommand(), newSeasonCheckCommand())
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
			return runSeasonNew(cmd.Context(), f, args[0], orchard, cmd.OutOrStdout())
		},
	}
	f.addBy(cmd)
	cmd.Flags().StringVar(&orchard, "orchard", "", "`NAME` of the orchard, for reports")
	return cmd
}

func runSeasonNew(ctx context.Context, f seasonFlags, dir, orchard string, stdout io.Writer) error {
	orchard = strings.TrimSpace(orchard)
	by, err := f.initials()
	if err != nil && orchard != "" {
		return err
	}
	s, err := ledger.Create(ctx, dir)
	if err != nil {
		return err
	}
	if orchard != "" {
		err = s.PutSheet(ctx, by, orchardSheet, orchard)
	}
	if err := errors.Join(err, s.Close()); err != nil {
		return err
	}
	_, err = fmt.Fprintf(stdout, "The season is in %s.\nNext: traystage block add NAME --variety VARIETY --season %s\n", dir, dir)
	return err
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
			return withSeason(cmd.Context(), f, func(s *ledger.Season) error {
				found, err := s.Backup(cmd.Context(), args[0])
				if err != nil {
					return err
				}
				if _, err := fmt.Fprintf(cmd.OutOrStdout(), "A copy of the season is in %s.\n", args[0]); err != nil {
					return err
				}
				return damage(found)
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
			return withSeason(cmd.Context(), f, func(s *ledger.Season) error {
				found, err := s.Check(cmd.Context())
				if err != nil || len(found) > 0 {
					return errors.Join(err, damage(found))
				}
				_, err = fmt.Fprintln(cmd.OutOrStdout(), "The season is whole.")
				return err
			})
		},
	}
	f.addSeason(cmd.Flags())
	return cmd
}

// damage tells what is wrong with a season as an error, one finding a line; nil for nothing.
func damage(found []ledger.Finding) error {
	var all severalErrors
	for _, f := range found {
		all = append(all, errors.New(f.String()))
	}
	if len(all) == 0 {
		return nil
	}
	return all
}

// withSeason opens the season for one piece of work.
func withSeason(ctx context.Context, f seasonFlags, work func(*ledger.Season) error) (err error) {
	s, err := f.open(ctx)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	return work(s)
}

// oneArgument asks for exactly one argument and says which where it is not.
func oneArgument(what string) cobra.PositionalArgs { return someArguments(1, what) }

// someArguments asks for a number of arguments.
func someArguments(n int, what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) != n {
			return usageError{fmt.Errorf("%s takes %s; quote a name with spaces", cmd.CommandPath(), what)}
		}
		return nil
	}
}
