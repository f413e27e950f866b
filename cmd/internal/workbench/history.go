package workbench

import (
	"context"
	"encoding/json"
	"slices"
	"time"

	"traystage/scoring"
	"traystage/scoring/ledger"
	"traystage/vision/note"
)

// Entry is one thing that was written about a fruit.
type Entry = ledger.Entry

// History is everything that was ever written about one fruit.
type History struct {
	Block   string
	Picked  time.Time
	Fruit   int
	Entries []Entry
}

// History tells everything about a fruit of a block's sample of a day, or of the
// last one where the day is zero.
func (b *Bench) History(ctx context.Context, block string, picked time.Time, fruit int) (History, error) {
	sample, err := b.Sample(ctx, block, picked)
	if err != nil {
		return History{}, err
	}
	h := History{Block: sample.Block, Picked: sample.Picked, Fruit: fruit}
	h.Entries, err = b.Season.History(ctx, sample.Block, sample.Picked, fruit)
	return h, err
}

// Told is one thing that was written, to be put into words.
type Told struct {
	At   time.Time
	By   string // initials
	What note.Note
	Why  string // as the person wrote it; empty for none
	// Anyway is why it was written although the bench objected, Objections what it
	// objected.
	Anyway     string
	Objections []note.Note
}

// Events tells everything that was ever written about a block and its samples, or
// about the whole season where block is empty, the first thing first. Single
// readings are left to History: here their sheet stands for them.
func (b *Bench) Events(ctx context.Context, block string, picked time.Time) ([]Told, error) {
	about := ledger.About{Picked: picked}
	if block != "" {
		of, err := b.Block(ctx, block)
		if err != nil {
			return nil, err
		}
		about.Block = of.Name
	}
	events, err := b.Season.Events(ctx, about)
	if err != nil {
		return nil, err
	}
	events = slices.DeleteFunc(events, func(e ledger.Event) bool { return e.Act == ledger.FruitRead && e.Insisted == nil })
	told := make([]Told, len(events))
	for i, e := range events {
		told[i] = Told{At: e.At, By: e.By, What: eventNote(e), Why: e.Why}
		if e.Insisted != nil {
			told[i].Anyway = e.Insisted.Why
			if err := json.Unmarshal(e.Insisted.Objections, &told[i].Objections); err != nil {
				return nil, err
			}
		}
	}
	return told, nil
}

// eventNote says what was done.
func eventNote(e ledger.Event) note.Note {
	sample := []note.Value{note.Name("block", e.BlockName), note.Day("picked", e.Then)}
	onTray := append(sample, note.Name("photo", e.Photo))
	onFruit := append(onTray, note.Count("fruit", e.Fruit))
	switch e.Act {
	case ledger.BlockWritten:
		return blockWritten(*e.Block)
	case ledger.BlockRetired:
		return note.New("event.block_retired", note.Name("block", e.BlockName))
	case ledger.BlockResumed:
		return note.New("event.block_resumed", note.Name("block", e.BlockName))
	case ledger.BlockPicked:
		return note.New("event.block_picked", note.Name("block", e.BlockName), note.Day("day", e.Pick.Day))
	case ledger.PickUndone:
		return note.New("event.pick_undone", note.Name("block", e.BlockName), note.Day("day", e.Pick.Day))
	case ledger.SampleWritten:
		return note.New("event.sample_written", note.Name("block", e.BlockName), note.Day("picked", e.Sample.Picked), note.Name("tester", e.Sample.Tester))
	case ledger.SampleWaits:
		return note.New("event.sample_waits", sample...)
	case ledger.SampleStruck:
		return note.New("event.sample_struck", sample...)
	case ledger.SampleMerged:
		return note.New("event.sample_merged", note.Name("block", e.BlockName), note.Day("picked", e.Sample.Picked), note.Day("into", e.Into))
	case ledger.TrayPlaced:
		return note.New("event.tray_placed", onTray...)
	case ledger.TrayStruck:
		return note.New("event.tray_struck", onTray...)
	case ledger.TrayScored:
		return note.New("event.tray_scored", append(onTray, note.Counts("fruit", e.Scored.Numbers),
			note.Name("set", e.Scored.Reference.Name), note.Name("version", e.Scored.Reference.Version))...)
	case ledger.CallReviewed, ledger.ReviewCarried:
		if e.Review.Override {
			return note.New("event.overridden", append(onFruit, note.Stage("stage", e.Review.Stage))...)
		}
		return note.New("event.confirmed", onFruit...)
	case ledger.ReviewUndone:
		return note.New("event.review_undone", onFruit...)
	}
	return eventOfReadings(e, sample)
}

// blockWritten says what was written of a block, as far as there is anything.
func blockWritten(b scoring.Block) note.Note {
	name, variety, market := note.Name("block", b.Name), note.Name("variety", b.Variety), note.Name("market", b.Market)
	switch {
	case b.Variety == "" && b.Market == "":
		return note.New("event.block_named", name)
	case b.Variety == "":
		return note.New("event.block_market", name, market)
	case b.Market == "":
		return note.New("event.block_variety", name, variety)
	}
	return note.New("event.block_written", name, variety, market)
}

// fileOf is the file that readings came from, none where they were entered by hand.
func fileOf(b *ledger.Batch) []string {
	if b.Source == "" {
		return nil
	}
	return []string{b.Source}
}

// eventOfReadings says what was done with readings, instruments and the season.
func eventOfReadings(e ledger.Event, sample []note.Value) note.Note {
	switch e.Act {
	case ledger.ReadingsEntered, ledger.ReadingsMoved, ledger.ReadingsStruck:
		with := append(sample, note.Counts("fruit", e.Batch.Fruit), note.Names("file", fileOf(e.Batch)))
		switch {
		case e.Act == ledger.ReadingsMoved:
			return note.New("event.readings_moved", with...)
		case e.Act == ledger.ReadingsStruck:
			return note.New("event.readings_struck", with...)
		}
		return note.New("event.readings_entered", with...)
	case ledger.FruitRead:
		return note.New("event.fruit_read", append(sample, note.Count("fruit", e.Fruit))...)
	case ledger.FruitStruck:
		return note.New("event.fruit_struck", append(sample, note.Count("fruit", e.Fruit))...)
	case ledger.CheckMade:
		return note.New("event.check_made", note.Name("instrument", e.Check.Instrument), note.Day("day", e.Check.Day))
	case ledger.CheckStruck:
		return note.New("event.check_struck", note.Name("instrument", e.Check.Instrument), note.Day("day", e.Check.Day))
	case ledger.SettingMade:
		return note.New("event.setting", note.Name("name", e.Setting.Name), note.Name("value", e.Setting.Value))
	case ledger.SheetWritten:
		return note.New("event.sheet", note.Name("name", e.Sheet))
	case ledger.DevicePaired, ledger.DeviceChanged:
		return note.New("event.device", note.Name("name", e.Device.Name))
	case ledger.DeviceRevoked:
		return note.New("event.device_revoked", note.Name("name", e.Device.Name))
	}
	return note.Quote(string(e.Act))
}
