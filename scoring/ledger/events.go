package ledger

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"traystage/scoring"
	"traystage/scoring/instrument"
)

// Act says what was done.
type Act string

const (
	BlockWritten    Act = "block written"    // Block: added, or changed
	BlockRetired    Act = "block retired"    //
	BlockResumed    Act = "block resumed"    //
	BlockPicked     Act = "block picked"     // Pick
	PickUndone      Act = "pick undone"      // Pick: the one taken back
	SampleWritten   Act = "sample written"   // Sample: added, or its head changed
	SampleWaits     Act = "sample waits"     // Sample: it has readings and no tray
	SampleStruck    Act = "sample struck"    // Sample
	SampleMerged    Act = "sample merged"    // Sample; it went into the one picked on Into
	TrayPlaced      Act = "tray placed"      // in the event's sample: stored, moved or put back there
	TrayStruck      Act = "tray struck"      //
	TrayScored      Act = "tray scored"      // Scored
	CallReviewed    Act = "call reviewed"    // Review
	ReviewUndone    Act = "review undone"    //
	ReviewCarried   Act = "review carried"   // Review: it holds for the same fruit in another scoring
	ReadingsEntered Act = "readings entered" // Batch
	ReadingsMoved   Act = "readings moved"   // Batch: as it stands now; Shift was added to its numbers as entered
	ReadingsStruck  Act = "readings struck"  // Batch
	FruitRead       Act = "fruit read"       // Reading
	FruitStruck     Act = "fruit struck"     // its readings before are taken back
	CheckMade       Act = "check made"       // Check
	CheckStruck     Act = "check struck"     // Check
	SettingMade     Act = "setting made"     // Setting; an empty value takes it back
	SheetWritten    Act = "sheet written"    // Sheet: its name
	DevicePaired    Act = "device paired"    // Device
	DeviceChanged   Act = "device changed"   // Device
	DeviceRevoked   Act = "device revoked"   // Device
)

// Event is one row of the ledger: who did what, when and why. Of the pointers
// those are set that its Act names.
type Event struct {
	Act Act
	By  string // initials
	At  time.Time
	Why string

	BlockName string    // as it is called now; empty for what is of the season
	Picked    time.Time // day of the sample as it is now; zero for what is of no sample
	Then      time.Time // day of the sample as it was when this was written
	Photo     string    // file name without folder, of a tray
	PhotoHash string    // SHA-256, hexadecimal
	Fruit     int       // as numbered at the time; 0 for what is of no fruit

	Block    *scoring.Block
	Pick     *Pick
	Sample   *scoring.Sample // its head
	Into     time.Time
	Scored   *ScoredRow
	Review   *scoring.Review
	Batch    *Batch
	Shift    int
	Reading  *instrument.Reading
	Check    *instrument.Check
	Setting  *Setting
	Sheet    string
	Device   *Device
	Insisted *Insisted // what was insisted on when it was written; nil for nothing

	table string
	row   int64
	seal  int64 // that covers the row
}

// ScoredRow is one scoring of a tray.
type ScoredRow struct {
	Change    Change
	Numbers   []int // of its fruit, in reading order
	ByHand    []int // those of them that a person pointed out
	Reference scoring.Reference
	SetDigest string
	Program   string
}

// Insisted is what was written although the program objected.
type Insisted struct {
	Why        string
	Objections json.RawMessage // a JSON list of notes
	By         string
	At         time.Time
}

// About limits events.
type About struct {
	Block  string    // name of a block, and what is of its samples; empty for the whole season
	Picked time.Time // day of one sample; zero for all
}

// Events tells everything that was ever written, in the order in which it was:
// one event a row, in values without words.
func (s *Season) Events(ctx context.Context, about About) ([]Event, error) {
	var all []Event
	err := s.read(ctx, func(r reader) error {
		t, err := r.teller()
		if err != nil {
			return err
		}
		if about.Block != "" {
			if _, err := r.block(about.Block); err != nil {
				return err
			}
		}
		for _, tell := range []func(*teller) error{
			(*teller).blocks, (*teller).picks, (*teller).samples, (*teller).trays, (*teller).scorings,
			(*teller).reviews, (*teller).batches, (*teller).readings, (*teller).checks, (*teller).season,
		} {
			if err := tell(t); err != nil {
				return err
			}
		}
		all = t.events
		return t.insisted(all)
	})
	all = slices.DeleteFunc(all, func(e Event) bool {
		return about.Block != "" && !strings.EqualFold(e.BlockName, strings.TrimSpace(about.Block)) ||
			!about.Picked.IsZero() && !e.Picked.Equal(about.Picked)
	})
	// Seals know the order, whatever clocks said; rows that were there before there
	// were seals share one.
	slices.SortStableFunc(all, func(a, b Event) int { return cmp.Or(cmp.Compare(a.seal, b.seal), a.At.Compare(b.At)) })
	return all, err
}

// teller makes events of rows.
type teller struct {
	reader
	blockNames map[int64]string
	samplesBy  map[int64]sampleRow
	traysBy    map[int64]trayOfEvent
	batchesBy  map[int64]Batch
	seals      seals
	days       course[time.Time] // of samples
	places     course[int64]     // samples of trays
	events     []Event
}

// trayOfEvent is what events say of a tray.
type trayOfEvent struct {
	sample      int64
	photo, hash string
}

func (r reader) teller() (*teller, error) {
	t := &teller{reader: r, blockNames: map[int64]string{}, samplesBy: map[int64]sampleRow{}, traysBy: map[int64]trayOfEvent{}, batchesBy: map[int64]Batch{}}
	err := r.each(func(scan func(...any) error) error {
		var id int64
		var name string
		err := scan(&id, &name)
		t.blockNames[id] = name
		return err
	}, "SELECT block, name FROM "+currentBlocks)
	if err != nil {
		return nil, err
	}
	var samples []int64
	err = r.each(func(scan func(...any) error) error {
		var row sampleRow
		err := scan(&row.id, &row.block, day(&row.head.Picked))
		row.head.Block = t.blockNames[row.block]
		t.samplesBy[row.id], samples = row, append(samples, row.id)
		return err
	}, "SELECT sample, block, picked FROM "+currentSamples)
	if err != nil {
		return nil, err
	}
	err = r.each(func(scan func(...any) error) error {
		var id int64
		var of trayOfEvent
		err := scan(&id, &of.sample, &of.photo, &of.hash)
		t.traysBy[id] = of
		return err
	}, "SELECT t.id, e.sample, s.photo_name, t.hash FROM "+currentTrays)
	if err != nil {
		return nil, err
	}
	batches, err := r.batches(samples)
	for _, b := range batches {
		t.batchesBy[b.ID] = b
	}
	if err != nil {
		return nil, err
	}
	if t.seals, err = r.seals(); err != nil {
		return nil, err
	}
	if t.days, err = courseOf(r, func(t *time.Time) any { return day(t) }, "SELECT sample, picked, at FROM sample_entry ORDER BY id"); err != nil {
		return nil, err
	}
	t.places, err = courseOf(r, func(id *int64) any { return id }, "SELECT tray, sample, at FROM tray_entry ORDER BY id")
	return t, err
}

// put adds an event of a row.
func (t *teller) put(table string, row int64, e Event) {
	e.table, e.row = table, row
	e.seal = t.seals.of(table, row)
	t.events = append(t.events, e)
}

// in says which sample an event is of.
func (t *teller) in(e Event, sample int64) Event {
	row := t.samplesBy[sample]
	e.BlockName, e.Picked, e.Then = row.head.Block, row.head.Picked, t.days.at(sample, e.At)
	return e
}

// on says which tray an event is of.
func (t *teller) on(e Event, tray int64) Event {
	of := t.traysBy[tray]
	e.Photo, e.PhotoHash = of.photo, of.hash
	then := t.places.at(tray, e.At)
	e = t.in(e, of.sample)
	e.Then = t.days.at(then, e.At)
	return e
}

// insisted joins events with what was insisted on.
func (t *teller) insisted(events []Event) error {
	of := map[string]*Insisted{}
	key := func(table string, row int64) string { return fmt.Sprint(table, " ", row) }
	err := t.each(func(scan func(...any) error) error {
		var table, objections string
		var row int64
		var i Insisted
		err := scan(&table, &row, &objections, &i.Why, &i.By, instant(&i.At))
		i.Objections = json.RawMessage(objections)
		of[key(table, row)] = &i
		return err
	}, "SELECT of_table, of_row, objections, why, who, at FROM insisted ORDER BY id")
	for i := range events {
		events[i].Insisted = of[key(events[i].table, events[i].row)]
	}
	return err
}
