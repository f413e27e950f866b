package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"traystage/calibrate"
	"traystage/scoring"
	"traystage/scoring/ledger"
)

// seasonFlags are what commands on a season share.
type seasonFlags struct {
	season string
	by     string
	today  string
}

func (f *seasonFlags) addSeason(flags *pflag.FlagSet) {
	flags.StringVar(&f.season, "season", "", "the season's `FOLDER`; when not given, $TRAYSTAGE_SEASON, else the folder you are in")
}

func (f *seasonFlags) addBy(cmd *cobra.Command) {
	cmd.Flags().StringVar(&f.by, "by", "", "`INITIALS` of who does this, kept beside it; $TRAYSTAGE_BY when not given")
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

// open opens the season, which there must be.
func (f seasonFlags) open(ctx context.Context) (*ledger.Season, error) {
	dir := f.folder()
	if dir == "" {
		return nil, usageError{errors.New("no season: name its folder with --season; traystage season new makes one")}
	}
	return ledger.Open(ctx, dir)
}

// initials are those of who acts.
func (f seasonFlags) initials() (string, error) {
	by := strings.TrimSpace(f.by)
	if by == "" {
		by = strings.TrimSpace(os.Getenv("TRAYSTAGE_BY"))
	}
	if by == "" {
		return "", usageError{errors.New("who does this? give your initials with --by, as in --by hm")}
	}
	return by, nil
}

// day is the day that the command looks from, midnight UTC.
func (f seasonFlags) day() (time.Time, error) {
	if f.today == "" {
		y, m, d := time.Now().Date()
		return time.Date(y, m, d, 0, 0, 0, 0, time.UTC), nil
	}
	return parseDay("--today", f.today)
}

// parseDay reads a day as the open standard for dates writes it.
func parseDay(flag, s string) (time.Time, error) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return t, usageError{fmt.Errorf("%s %q: is no day; write year, month and day, as in 2026-09-21", flag, s)}
	}
	return t, nil
}

// blockOf finds a block by its name.
func blockOf(ctx context.Context, s *ledger.Season, name string) (scoring.Block, error) {
	blocks, err := s.Blocks(ctx)
	if err != nil {
		return scoring.Block{}, err
	}
	var names []string
	for _, b := range blocks {
		if strings.EqualFold(b.Name, name) {
			return b, nil
		}
		names = append(names, b.Name)
	}
	if len(names) == 0 {
		return scoring.Block{}, fmt.Errorf("block %q: the season has no blocks yet; add it with traystage block add", name)
	}
	return scoring.Block{}, fmt.Errorf("block %q: there is none of that name; there are %s", name, strings.Join(names, ", "))
}

// shelf is where reference sets are kept: the season's own, with the user's
// behind it, or the user's alone where there is no season.
func (f seasonFlags) shelf() (shelf, error) {
	users, err := openShelf()
	if err != nil || f.folder() == "" {
		return users, err
	}
	// A season that cannot be opened is told of before a set is put into it.
	s, err := f.open(context.Background())
	if err != nil {
		return shelf{}, err
	}
	own := shelf{s.Refs(), &users}
	return own, s.Close()
}

// setOf finds a reference set for a season.
func setOf(s *ledger.Season, ref string) (calibrate.Set, error) {
	users, err := openShelf()
	if err != nil {
		return calibrate.Set{}, err
	}
	return shelf{s.Refs(), &users}.set(ref)
}

// orchardSheet is the sheet of the ledger that holds the orchard's name.
const orchardSheet = "orchard"

// orchardOf is the orchard's name; empty when it was never given.
func orchardOf(ctx context.Context, s *ledger.Season) (string, error) {
	all, err := s.Sheets(ctx, orchardSheet)
	if err != nil || len(all) == 0 {
		return "", err
	}
	return all[len(all)-1].Text, nil
}
