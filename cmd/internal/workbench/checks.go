package workbench

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"traystage/scoring/instrument"
	"traystage/scoring/ledger"
)

// AddCheck keeps a check of an instrument, made today where it has no day, and gives it as it
// is kept. A check that failed is kept as well: what was read with the instrument is not sure then.
func (b *Bench) AddCheck(ctx context.Context, act Act, c instrument.Check) (instrument.Check, error) {
	act, err := b.signed(ctx, act)
	if err != nil {
		return c, err
	}
	c.By = act.By
	if c.Day.IsZero() {
		c.Day = b.Today()
	}
	ahead, err := b.ahead(ctx, c.Day)
	if err != nil {
		return c, err
	}
	if ahead {
		err = fmt.Errorf("the check is said to be of %s, and today is %s; give the day on which it was made",
			c.Day.Format(time.DateOnly), b.Today().Format(time.DateOnly))
	} else {
		err = checkable(c)
	}
	if err != nil {
		return c, fmt.Errorf("instrument %q: %w", c.Instrument, err)
	}
	s, err := b.writing(act, c.Instrument)
	if err != nil {
		return c, err
	}
	return c, s.AddCheck(ctx, c)
}

// checkable tells what is wrong with a check that is to be kept, whatever its day; nil for nothing.
func checkable(c instrument.Check) error {
	name := strings.ToLower(c.Instrument)
	switch {
	case c.Kind == instrument.ZeroWater && calledLike(name, "penetrom", "penetróm", "pénétrom"):
		return errors.New("a penetrometer is checked with a known weight, not with water; give --weight and --shown, or name the refractometer")
	case c.Kind == instrument.CheckWeight && calledLike(name, "refractom", "refractóm", "réfractom", "refraktom", "rifrattom"):
		return errors.New("a refractometer is checked with purified water, not with a weight; give --water and --shown, or name the penetrometer")
	}
	return c.Validate()
}

// calledLike says whether one of the beginnings, in small letters, is in a name.
func calledLike(name string, beginnings ...string) bool {
	return slices.ContainsFunc(beginnings, func(b string) bool { return strings.Contains(name, b) })
}

// KeptCheck is a check of an instrument as it is kept.
type KeptCheck = ledger.KeptCheck

// Checks lists all checks of instruments, struck ones too.
func (b *Bench) Checks(ctx context.Context) ([]KeptCheck, error) { return b.Season.KeptChecks(ctx) }

// StrikeCheck takes the last check of an instrument back.
func (b *Bench) StrikeCheck(ctx context.Context, act Act, name, why string) (KeptCheck, error) {
	act, err := b.signed(ctx, act)
	if err != nil {
		return KeptCheck{}, err
	}
	all, err := b.Season.KeptChecks(ctx)
	if err != nil {
		return KeptCheck{}, err
	}
	var last KeptCheck
	for _, c := range all {
		if !c.Struck && strings.EqualFold(c.Instrument, name) {
			last = c
		}
	}
	if last.ID == 0 {
		return last, fmt.Errorf("instrument %q: no check of it counts; name it as it was named", name)
	}
	s, err := b.writing(act, name)
	if err != nil {
		return last, err
	}
	return last, s.StrikeCheck(ctx, act.By, last.ID, why)
}
