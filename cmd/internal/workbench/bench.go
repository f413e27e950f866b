package workbench

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"traystage/scoring"
	"traystage/scoring/ledger"
	"traystage/vision"
)

// Bench is an open season, or none, with all that work on it needs. Its fields are
// set before it is used and left alone from then on.
type Bench struct {
	Season *ledger.Season // nil without a season
	Shelf  Shelf          // reference sets: the season's own, with the user's behind them
	// Measure finds and measures the halves on a photo, as vision.Measure does. The
	// error of a photo without halves is vision.ErrNoHalves.
	Measure func(ctx context.Context, photo []byte, opt vision.Options) (vision.Tray, error)
	Now     func() time.Time
	Program string // name and version, kept in reports

	// keeping is full while a tray is held against those of its block and stored. Writes wait for
	// each other anyway; so one block's trays are in memory once, however many phones send.
	keeping chan struct{}
}

// Config says what a Bench is made of.
type Config struct {
	Season  string // folder of the season; empty for none
	Sets    string // folder of the user's own reference sets
	Program string // name and version
}

// Open opens the season and its sets. It measures photos in this process until
// told otherwise.
func Open(ctx context.Context, c Config) (*Bench, error) {
	b := &Bench{Shelf: Shelf{folder: c.Sets}, Measure: measureHere, Now: time.Now, Program: c.Program, keeping: make(chan struct{}, 1)}
	if c.Season == "" {
		return b, nil
	}
	s, err := ledger.Open(ctx, c.Season)
	if err != nil {
		return nil, err
	}
	users := b.Shelf
	b.Season, b.Shelf = s, Shelf{s.Refs(), &users}
	return b, nil
}

// turn waits until no other tray is being kept; the function that it gives lets the next one go on.
func (b *Bench) turn(ctx context.Context) (next func(), err error) {
	if b.keeping == nil {
		return func() {}, nil // a bench of one caller
	}
	select {
	case b.keeping <- struct{}{}:
		return func() { <-b.keeping }, nil
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

func measureHere(ctx context.Context, photo []byte, opt vision.Options) (vision.Tray, error) {
	return vision.MeasureContext(ctx, photo, opt)
}

// Close closes the season, if there is one.
func (b *Bench) Close() error {
	if b.Season == nil {
		return nil
	}
	return b.Season.Close()
}

// Today is the day by the bench's clock, midnight UTC.
func (b *Bench) Today() time.Time { return dayOf(b.Now()) }

// ahead says whether a day is still to come. The bench's clock cannot tell where samples of the
// season are of days to come as well: it is wrong then, or looks back.
func (b *Bench) ahead(ctx context.Context, day time.Time) (bool, error) {
	if !day.After(b.Today()) {
		return false, nil
	}
	samples, err := b.Season.LoadAll(ctx)
	return !slices.ContainsFunc(samples, func(s scoring.Sample) bool { return s.Picked.After(b.Today()) }), err
}

// dayOf is the day of a time by its own clock, midnight UTC.
func dayOf(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

// Block finds a block by its name; capitals make no difference.
func (b *Bench) Block(ctx context.Context, name string) (scoring.Block, error) {
	blocks, err := b.Season.Blocks(ctx)
	if err != nil {
		return scoring.Block{}, err
	}
	var names []string
	for _, block := range blocks {
		if strings.EqualFold(block.Name, name) {
			return block, nil
		}
		names = append(names, block.Name)
	}
	if len(names) == 0 {
		return scoring.Block{}, fmt.Errorf("block %q: the season has no blocks yet; add it with traystage block add", name)
	}
	return scoring.Block{}, fmt.Errorf("block %q: there is none of that name; there are %s", name, strings.Join(names, ", "))
}

// ErrNoSample says that a block has no sample, or none of a day.
var ErrNoSample = errors.New("has no sample")

// Sample gives a block's sample of a day, or the last one where the day is zero.
func (b *Bench) Sample(ctx context.Context, block string, picked time.Time) (scoring.Sample, error) {
	of, err := b.Block(ctx, block)
	if err != nil {
		return scoring.Sample{}, err
	}
	samples, err := b.Season.Load(ctx, of.Name)
	if err != nil {
		return scoring.Sample{}, err
	}
	return sampleOf(samples, of.Name, picked)
}

func sampleOf(samples []scoring.Sample, block string, picked time.Time) (scoring.Sample, error) {
	if len(samples) == 0 {
		return scoring.Sample{}, fmt.Errorf("block %q: %w yet; traystage score --block takes the first", block, ErrNoSample)
	}
	last := samples[len(samples)-1]
	if picked.IsZero() {
		return last, nil
	}
	for _, sample := range samples {
		if sample.Picked.Equal(picked) {
			return sample, nil
		}
	}
	return scoring.Sample{}, fmt.Errorf("block %q: %w of %s; the last was picked on %s",
		block, ErrNoSample, picked.Format(time.DateOnly), last.Picked.Format(time.DateOnly))
}

// orchardSheet is the sheet of the ledger that holds the orchard's name.
const orchardSheet = "orchard"

// Orchard is the orchard's name; empty when it was never given.
func (b *Bench) Orchard(ctx context.Context) (string, error) {
	return b.lastSheet(ctx, orchardSheet)
}

// lastSheet is the last version of a sheet; empty when there is none.
func (b *Bench) lastSheet(ctx context.Context, name string) (string, error) {
	all, err := b.Season.Sheets(ctx, name)
	if err != nil || len(all) == 0 {
		return "", err
	}
	return all[len(all)-1].Text, nil
}

// GCPercent is what a program that measures photos does well to set with
// debug.SetGCPercent.
const GCPercent = vision.GCPercent

// MemoryLimit is what it does well to set with debug.SetMemoryLimit.
const MemoryLimit = vision.MemoryLimit
