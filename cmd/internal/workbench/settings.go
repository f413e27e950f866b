package workbench

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"traystage/cmd/internal/fault"
	"traystage/scoring/instrument"
	"traystage/scoring/ledger"
	"traystage/scoring/words"
)

// Settings are what holds for a season unless somebody says otherwise.
type Settings struct {
	Compensated bool            // the refractometer corrects for temperature itself
	Unit        instrument.Unit // of firmness; empty where nobody said
	Tip         float64         // mm; AppleTip where nobody said
	Wait        time.Duration   // usual time from staining to photo; zero where nobody said
	Initials    string          // of who works here when nobody says otherwise
	Language    string          // tag; empty where nobody said
}

// SettingNames are the names that Set takes, in the order in which people are told.
func SettingNames() []string {
	return []string{ledger.ForceUnit, ledger.Tip, ledger.Compensated, ledger.UsualWait, ledger.Initials, ledger.Language}
}

// Settings gives what holds for the season.
func (b *Bench) Settings(ctx context.Context) (Settings, error) {
	s := Settings{Tip: instrument.AppleTip}
	if b.Season == nil {
		return s, nil
	}
	all, err := b.Season.Settings(ctx)
	if err != nil {
		return s, err
	}
	for _, set := range all {
		if set.Block != "" || set.Year != 0 {
			continue
		}
		if err := s.take(set.Name, set.Value); err != nil {
			return s, fmt.Errorf("the season's setting %s: %w", set.Name, err)
		}
	}
	return s, nil
}

// take puts a value as it is kept or typed into its field.
func (s *Settings) take(name, value string) (err error) {
	switch name {
	case ledger.Compensated:
		s.Compensated, err = yesOrNo(value)
	case ledger.ForceUnit:
		s.Unit, err = instrument.ParseUnit(value)
	case ledger.Tip:
		s.Tip, err = instrument.ParseTip(value)
	case ledger.UsualWait:
		s.Wait, err = ParseWait(value)
	case ledger.Initials:
		s.Initials = value
	case ledger.Language:
		if s.Language = value; !words.Known(value) {
			err = fmt.Errorf("%q: is no language known here; there are %s", value, strings.Join(words.Tags(), ", "))
		}
	}
	return err
}

func yesOrNo(value string) (bool, error) {
	switch strings.ToLower(value) {
	case "yes", "true", "1":
		return true, nil
	case "no", "false", "0":
		return false, nil
	}
	return false, fmt.Errorf("%q: give yes or no", value)
}

// ParseWait reads a time from staining to photo: 2m, 90s, or minutes alone, 2.
func ParseWait(value string) (time.Duration, error) {
	value = strings.Replace(strings.TrimSpace(value), ",", ".", 1)
	if minutes, err := strconv.ParseFloat(value, 64); err == nil && minutes >= 0 && minutes < 24*60 {
		return time.Duration(minutes * float64(time.Minute)), nil
	}
	d, err := time.ParseDuration(value)
	if err != nil || d < 0 {
		return 0, fmt.Errorf("%q: is no time from staining to photo; give minutes, as in 2, or 90s", value)
	}
	return d, nil
}

// Set keeps a setting of the season; an empty value takes back what was set.
func (b *Bench) Set(ctx context.Context, act Act, name, value string) error {
	act, err := b.signed(ctx, act)
	if err != nil {
		return err
	}
	value = strings.TrimSpace(value)
	if !slices.Contains(SettingNames(), name) {
		return fault.Usagef("%q: is no setting of a season; there are %s", name, strings.Join(SettingNames(), ", "))
	}
	if value != "" {
		if err := new(Settings).take(name, value); err != nil {
			return fault.Usagef("%s: %w", name, err)
		}
	}
	s, err := b.writing(act, name)
	if err != nil {
		return err
	}
	return s.Set(ctx, act.By, ledger.Setting{Name: name, Value: value})
}
