package workbench

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"traystage/cmd/internal/fault"
	"traystage/scoring"
	"traystage/scoring/ledger"
)

// SetBloom keeps the day of a block's full bloom; the zero day takes it back.
func (b *Bench) SetBloom(ctx context.Context, act Act, block string, day time.Time) error {
	act, err := b.signed(ctx, act)
	if err != nil {
		return err
	}
	of, err := b.Block(ctx, block)
	if err != nil {
		return err
	}
	value := ""
	if !day.IsZero() {
		value = day.Format(time.DateOnly)
	}
	objections, err := b.bloomObjections(ctx, of.Name, day)
	if err != nil {
		return err
	}
	s, err := b.writing(act, "block "+strconv.Quote(of.Name), objections...)
	if err != nil {
		return err
	}
	return s.Set(ctx, act.By, ledger.Setting{Name: ledger.FullBloom, Block: of.Name, Value: value})
}

// bloom is the day of a block's full bloom; zero where nobody gave it.
func (b *Bench) bloom(ctx context.Context, block string) (time.Time, error) {
	all, err := b.Season.Settings(ctx)
	if err != nil {
		return time.Time{}, err
	}
	for _, set := range all {
		if set.Name == ledger.FullBloom && strings.EqualFold(set.Block, block) {
			return time.Parse(time.DateOnly, set.Value)
		}
	}
	return time.Time{}, nil
}

// Compare lays a block of this season over the same block of others, given by
// their folders. A season without the block, or without a sample of it, is left out.
func (b *Bench) Compare(ctx context.Context, block string, folders []string) (scoring.Comparison, error) {
	of, err := b.Block(ctx, block)
	if err != nil {
		return scoring.Comparison{}, err
	}
	now, _, err := b.year(ctx, of.Name)
	if err != nil {
		return scoring.Comparison{}, err
	}
	var earlier []scoring.Year
	for _, folder := range folders {
		err := inOther(ctx, folder, func(o *Bench) error {
			y, ok, err := o.year(ctx, of.Name)
			if ok {
				earlier = append(earlier, y)
			}
			return err
		})
		if err != nil {
			return scoring.Comparison{}, err
		}
	}
	if len(earlier) == 0 {
		return scoring.Comparison{}, fmt.Errorf("block %s: none of the other seasons has samples of a block of that name; rename it there with traystage block change", of.Name)
	}
	return scoring.Compare(now, earlier)
}

// year is a block's season; false where it has no sample.
func (b *Bench) year(ctx context.Context, block string) (y scoring.Year, ok bool, err error) {
	blocks, err := b.Season.Blocks(ctx)
	if err != nil {
		return y, false, err
	}
	for _, of := range blocks {
		if !strings.EqualFold(of.Name, block) {
			continue
		}
		y = scoring.Year{Season: b.name(), Block: of}
		if y.Samples, err = b.Season.Load(ctx, of.Name); err != nil {
			return y, false, err
		}
		if y.Checks, err = b.Season.Checks(ctx); err != nil {
			return y, false, err
		}
		y.Bloom, err = b.bloom(ctx, of.Name)
		return y, len(y.Samples) > 0, err
	}
	return y, false, nil
}

// lastYear is that of the last sample of a season, which has one.
func lastYear(y scoring.Year) int { return y.Samples[len(y.Samples)-1].Picked.Year() }

// name is what the season's folder is called.
func (b *Bench) name() string {
	dir, err := filepath.Abs(b.Season.Dir())
	if err != nil {
		dir = b.Season.Dir()
	}
	return filepath.Base(dir)
}

// mostEarlier is how many earlier seasons a course is laid over: more are not told
// apart on a chart.
const mostEarlier = 3

// Earlier lays a block over its earlier seasons, the newest three that lie in folders beside
// this season's, newest first. One that cannot be read or compared is left out: what is told of
// this year does not hang on it. The zero Comparison is that of a block without any.
func (b *Bench) Earlier(ctx context.Context, block string) (scoring.Comparison, error) {
	of, err := b.Block(ctx, block)
	if err != nil {
		return scoring.Comparison{}, err
	}
	now, ok, err := b.year(ctx, of.Name)
	if err != nil || !ok {
		return scoring.Comparison{}, err
	}
	found := map[int]scoring.Year{} // by year: a copy of a season lies beside it more often than not
	for _, folder := range b.beside() {
		err := inOther(ctx, folder, func(o *Bench) error {
			y, ok, err := o.year(ctx, of.Name)
			if err != nil || !ok || lastYear(y) >= lastYear(now) {
				return err
			}
			if _, err := scoring.Compare(now, []scoring.Year{y}); err != nil {
				return err
			}
			if _, known := found[lastYear(y)]; !known {
				found[lastYear(y)] = y
			}
			return nil
		})
		if ctx.Err() != nil {
			return scoring.Comparison{}, err
		}
	}
	var earlier []scoring.Year
	for _, year := range slices.Backward(slices.Sorted(maps.Keys(found))) {
		if len(earlier) < mostEarlier {
			earlier = append(earlier, found[year])
		}
	}
	if len(earlier) == 0 {
		return scoring.Comparison{}, nil
	}
	return scoring.Compare(now, earlier)
}

// beside are the folders beside that of the season, by name; few of them need be seasons.
func (b *Bench) beside() []string {
	own, err := filepath.Abs(b.Season.Dir())
	if err != nil {
		return nil
	}
	all, err := os.ReadDir(filepath.Dir(own))
	if err != nil {
		return nil // a season in a folder that cannot be listed has no neighbours
	}
	var out []string
	for _, e := range all {
		if dir := filepath.Join(filepath.Dir(own), e.Name()); e.IsDir() && dir != own {
			out = append(out, dir)
		}
	}
	return out
}

// inOther opens another season to be read for one piece of work.
func inOther(ctx context.Context, folder string, work func(*Bench) error) (err error) {
	s, err := ledger.OpenToRead(ctx, folder)
	if err != nil {
		return err
	}
	o := &Bench{Season: s, Now: time.Now}
	defer func() { err = errors.Join(err, o.Close()) }()
	return work(o)
}

// Learnt are usual rates that closed seasons taught.
type Learnt struct {
	Rates   []scoring.UsualRate
	Skipped []string // season and block of those that taught nothing
}

// LearnRates learns the grower's usual rates from closed seasons, given by their
// folders, and keeps them in this one. Earlier ones stay as earlier versions.
func (b *Bench) LearnRates(ctx context.Context, act Act, folders []string) (Learnt, error) {
	act, err := b.signed(ctx, act)
	if err != nil {
		return Learnt{}, err
	}
	var closed []scoring.Closed
	for _, folder := range folders {
		err := inOther(ctx, folder, func(o *Bench) error {
			c, err := o.closed(ctx)
			closed = append(closed, c)
			return err
		})
		if err != nil {
			return Learnt{}, err
		}
	}
	var out Learnt
	out.Rates, out.Skipped = scoring.LearnRates(closed)
	if len(out.Rates) == 0 {
		return out, fault.Usagef("these seasons teach no rate: no block of them was sampled on two days")
	}
	s, err := b.writing(act, "rates")
	if err != nil {
		return out, err
	}
	return out, s.PutSheet(ctx, act.By, ledger.RatesSheet, string(scoring.RatesTable(out.Rates)))
}

func (b *Bench) closed(ctx context.Context) (c scoring.Closed, err error) {
	c.Name = b.name()
	if c.Blocks, err = b.Season.Blocks(ctx); err != nil {
		return c, err
	}
	if c.Samples, err = b.Season.LoadAll(ctx); err != nil {
		return c, err
	}
	c.Checks, err = b.Season.Checks(ctx)
	return c, err
}

// Rates are the season's usual rates; none where none were learnt.
func (b *Bench) Rates(ctx context.Context) ([]scoring.UsualRate, error) {
	text, err := b.lastSheet(ctx, ledger.RatesSheet)
	if err != nil || text == "" {
		return nil, err
	}
	return scoring.ReadRates(bytes.NewReader([]byte(text)), "the season's rates")
}
