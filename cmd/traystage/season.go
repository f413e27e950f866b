package main

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"traystage/cmd/internal/fault"
	"traystage/cmd/internal/workbench"
	"traystage/scoring/instrument"
)

// seasonFlags are what commands on a season share.
type seasonFlags struct {
	season string
	by     string
	anyway string
	today  string
}

func (f *seasonFlags) addSeason(flags *pflag.FlagSet) {
	flags.StringVar(&f.season, "season", "", "the season's `FOLDER`; when not given, $TRAYSTAGE_SEASON, else the folder you are in")
}

func (f *seasonFlags) addBy(cmd *cobra.Command) {
	cmd.Flags().StringVar(&f.by, "by", "", "`INITIALS` of who does this, kept beside it; $TRAYSTAGE_BY or the season's setting when not given")
	cmd.Flags().StringVar(&f.anyway, "anyway", "", "do it although it looks like a slip, and keep `WHY`")
}

func (f *seasonFlags) addToday(cmd *cobra.Command) {
	cmd.Flags().StringVar(&f.today, "today", "", "look at the season as on this `DAY`, such as 2026-09-21")
}

// folder is where the season is: as the flag, the environment or the folder
// that one stands in has it; empty for none.
func (f seasonFlags) folder() string {
	if f.season != "" {
		return f.season
	}
	if dir := os.Getenv("TRAYSTAGE_SEASON"); dir != "" {
		return dir
	}
	if _, err := os.Stat("season.db"); err == nil {
		return "."
	}
	return ""
}

// usersSets is $TRAYSTAGE_HOME/refs, else refs in the user's configuration folder;
// empty where there is none.
func usersSets() string {
	if home := os.Getenv("TRAYSTAGE_HOME"); home != "" {
		return filepath.Join(home, "refs")
	}
	config, err := os.UserConfigDir()
	if err != nil {
		return ""
	}
	return filepath.Join(config, "traystage", "refs")
}

// atBench opens the bench for one piece of work, with the season if there is one.
func atBench(ctx context.Context, f seasonFlags, work func(*workbench.Bench) error) (err error) {
	b, err := workbench.Open(ctx, workbench.Config{Season: f.folder(), Sets: usersSets(), Program: program})
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, b.Close()) }()
	speakOf(ctx, b)
	return work(b)
}

// inSeason opens the bench with the season, which there must be.
func inSeason(ctx context.Context, f seasonFlags, work func(*workbench.Bench) error) error {
	if f.folder() == "" {
		return fault.Usagef("no season: name its folder with --season; traystage season new makes one")
	}
	return atBench(ctx, f, work)
}

// initials are those of who acts; empty where nobody says.
func (f seasonFlags) initials() string {
	if by := strings.TrimSpace(f.by); by != "" {
		return by
	}
	return strings.TrimSpace(os.Getenv("TRAYSTAGE_BY"))
}

// act is who acts, and why all the same.
func (f seasonFlags) act() workbench.Act { return workbench.Act{By: f.initials(), Anyway: f.anyway} }

// day is the day that the command looks from, midnight UTC; zero for today.
func (f seasonFlags) day() (time.Time, error) {
	if f.today == "" {
		return time.Time{}, nil
	}
	return parseDay("--today", f.today)
}

// parseDay reads a day.
func parseDay(flag, s string) (time.Time, error) {
	t, err := instrument.ParseDay(s)
	if err != nil {
		return t, fault.Usagef("%s %w", flag, err)
	}
	return t, nil
}

// oneArgument asks for exactly one argument and says which where it is not.
func oneArgument(what string) cobra.PositionalArgs { return someArguments(1, what) }

// someArguments asks for a number of arguments.
func someArguments(n int, what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) != n {
			return fault.Usagef("%s takes %s; quote a name with spaces", cmd.CommandPath(), what)
		}
		return nil
	}
}
