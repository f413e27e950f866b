package workbench

import (
	"context"
	"fmt"
	"strings"

	"traystage/scoring/instrument"
	"traystage/scoring/ledger"
)

// AddCheck keeps a check of an instrument, made today where it has no day. A check
// that failed is kept as well: what was read with the instrument is not sure then.
func (b *Bench) AddCheck(ctx context.Context, act Act, c instrument.Check) error {
	act, err := b.signed(ctx, act)
	if err != nil {
		return err
	}
	c.By = act.By
	if c.Day.IsZero() {
		c.Day = b.Today()
	}
	s, err := b.writing(act, c.Instrument)
	if err != nil {
		return err
	}
	return s.AddCheck(ctx, c)
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
