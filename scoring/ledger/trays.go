package ledger

import (
	"context"
	"database/sql"
	"errors"
	"maps"
	"reflect"
	"slices"
	"time"

	"traystage/scoring"
)

// Tray is one photo with what was measured and called on it.
type Tray struct {
	Block  string    // name of the block
	Picked time.Time // day of the sample
	By     string    // initials of who had it scored
	// Head is the sample's head, which is added with the tray where the block has
	// no sample of that day yet; nil refuses such a day.
	Head *scoring.Sample
	// Number says how the fruit get their numbers in the sample; nil keeps those
	// of the report. A tray that is in the sample already keeps its own numbers
	// unless First is given.
	Number *Numbering

	Photo     []byte
	Report    scoring.Report
	SetDigest string // of the version of the reference set, see calibrate.Set.Digest
	// Margins gives, by number of the fruit in Report, what calibrate.Observation
	// calls StainedLow and StainedHigh; a half without an entry had none measured.
	Margins map[int]Margin
}

// Margin is how little and how much of a half may be stained, [0, 1]; see vision.Half.
type Margin struct{ Low, High float64 }

// Outcome is what became of a tray that was to be stored.
type Outcome string

const (
	Stored      Outcome = "stored"
	ScoredAgain Outcome = "scored again" // in another way; the earlier calls are kept
	AlreadyHere Outcome = "already here" // nothing was written
	PutBack     Outcome = "put back"     // it had been struck
)

// Kept tells what became of a tray that was to be stored.
type Kept struct {
	Outcome Outcome
	Numbers []int // of its fruit in the sample, in order of Report.Fruit
	// Reviews of the scoring that counted before: those that hold for the same
	// fruit now, and those that do not.
	Carried, Lost []Carry
}

// StoreTray keeps a tray: photo and report, whole or not at all. The same photo
// twice in one sample is one tray. With the same report nothing is written; with
// another one, such as by another reference set, the new calls count from now
// on, and the reviews go over to the same fruit where they can.
//
// A photo that is a tray of another sample is refused, and so is a fruit number
// that another tray of the sample has. One that was struck may be stored again,
// there or elsewhere. The report's Summary and reviews are not kept: Load makes
// them anew from the calls and the reviews in the ledger.
func (s *Season) StoreTray(ctx context.Context, t Tray) (Kept, error) {
	if err := t.validate(); err != nil {
		return Kept{}, err
	}
	var st stowed
	kept, err := enter(ctx, s, "store tray", t.By, func(w writer) (Kept, error) {
		sample, err := w.sampleFor(t)
		if err != nil {
			return Kept{}, err
		}
		here, err := w.place(t, sample)
		if err != nil {
			return Kept{}, err
		}
		if t, err = w.settleTray(t, here, sample); err != nil {
			return Kept{}, err
		}
		if err := w.sameSet(t, s.beside); err != nil {
			return Kept{}, err
		}
		if st, err = s.stow(here.row.file, t.Photo); err != nil {
			return Kept{}, err
		}
		return w.putTray(here, sample, t)
	})
	if err != nil && st.file != "" {
		return kept, errors.Join(err, s.takeBack(ctx, st))
	}
	s.settle(st)
	return kept, err
}

// sampleFor finds the sample of a tray, or adds it. One that waited counts from
// now on.
func (w writer) sampleFor(t Tray) (int64, error) {
	id, err := w.sample(t.Block, t.Picked)
	if t.Head != nil && errors.Is(err, ErrNotFound) {
		head := *t.Head
		head.Block, head.Picked = t.Block, t.Picked
		return w.addSample(t.By, head, InForce)
	}
	if err != nil {
		return id, err
	}
	row, err := w.sampleRow(id)
	if err != nil || row.state != Waiting {
		return id, err
	}
	if t.Head != nil { // who photographed knows how long the stain was given
		row.head.Tester, row.head.Wait = t.Head.Tester, t.Head.Wait
	}
	row.state = InForce
	return id, w.putSample(row, t.By, "")
}

func (t Tray) validate() error {
	name := t.Report.Photo
	switch {
	case len(t.Photo) == 0:
		return refuse("photo %q: there are no bytes; send the photo again", name)
	case t.Report.PhotoHash != "" && t.Report.PhotoHash != hashOf(t.Photo):
		return refuse("photo %q: the report was made from another photo; score this one", name)
	case len(t.Report.Fruit) == 0:
		return refuse("photo %q: the report has no halves; a tray needs at least one", name)
	case t.Report.Program == "":
		return refuse("photo %q: the report does not say which program made it", name)
	}
	return t.validateFruit()
}

func (t Tray) validateFruit() error {
	name := t.Report.Photo
	seen := map[int]bool{}
	for _, f := range t.Report.Fruit {
		switch {
		case f.Number < 1:
			return refuse("photo %q: a half has the number %d; fruit are numbered from 1", name, f.Number)
		case seen[f.Number]:
			return refuse("photo %q: two halves have the number %d; number each fruit once", name, f.Number)
		case !finite(f, t.Margins[f.Number]):
			return refuse("photo %q: half %d has a figure that is no number; score the photo again", name, f.Number)
		}
		seen[f.Number] = true
	}
	return nil
}

// trayRow is a tray as it now is; without a row yet its id is 0.
type trayRow struct {
	id, sample int64
	hash, file string
	bytes      int64 // of the photo
	struck     bool
	counts     bool // neither it nor its sample is struck
}

// tray finds a tray by the SHA-256 of its photo.
func (r reader) tray(hash string) (trayRow, error) {
	t := trayRow{hash: hash}
	err := r.one("SELECT t.id, e.sample, t.file, t.bytes, e.struck FROM "+currentTrays+" WHERE t.hash = ?", []any{hash}, &t.id, &t.sample, &t.file, &t.bytes, &t.struck)
	if errors.Is(err, sql.ErrNoRows) {
		return trayRow{}, refuse("photo %s: %w; store its tray first", hash, ErrNotFound)
	}
	if err == nil && !placeRight(t.file, hash) {
		err = misplaced(t.file)
	}
	if err != nil || t.struck {
		return t, err
	}
	sample, err := r.sampleRow(t.sample)
	t.counts = sample.state == InForce
	return t, err
}

// trayNow is a tray with the scoring that counts; last is nil for a new one.
type trayNow struct {
	row  trayRow
	last *scored
}

func (r reader) trayNow(hash string) (trayNow, error) {
	row, err := r.tray(hash)
	if err != nil {
		return trayNow{}, err
	}
	last, err := r.lastScoring(row)
	return trayNow{row, last}, err
}

// counting is trayNow for a tray that counts.
func (r reader) countingTray(hash string) (trayNow, error) {
	t, err := r.trayNow(hash)
	if err == nil && !t.row.counts {
		err = refuse("photo %q: is struck, or its sample is; put it back first", t.last.report.Photo)
	}
	return t, err
}

// place finds where a tray is, and refuses one that counts elsewhere.
func (r reader) place(t Tray, sample int64) (trayNow, error) {
	hash := hashOf(t.Photo)
	here, err := r.trayNow(hash)
	if errors.Is(err, ErrNotFound) {
		return trayNow{row: trayRow{sample: sample, hash: hash, file: photoFile(hash, t.Report.Photo)}}, nil
	}
	if err != nil || !here.row.counts || here.row.sample == sample {
		return here, err
	}
	other, err := r.sampleRow(here.row.sample)
	if err != nil {
		return here, err
	}
	return here, &TakenError{Photo: t.Report.Photo, Hash: hash, Block: other.head.Block, Picked: other.head.Picked, Wanted: t.Block, WantedDay: t.Picked}
}

// settleTray gives a tray the numbers that its fruit have in the sample.
func (w writer) settleTray(t Tray, here trayNow, sample int64) (Tray, error) {
	numbers := numbersIn(t.Report)
	if t.Number != nil {
		var err error
		switch {
		case t.Number.First == 0 && here.row.counts:
			numbers = here.last.numbersFor(t.Report, *t.Number)
		default:
			numbers, err = w.settle(*t.Number, sample, here.row.id, len(numbers))
		}
		if err != nil {
			return t, err
		}
		t = t.numbered(numbers)
	}
	return t, w.numbersFree(t.Report.Photo, sample, here.row.id, numbers)
}

// putTray adds the rows of a tray whose photo is in its place.
func (w writer) putTray(here trayNow, sample int64, t Tray) (Kept, error) {
	kept := Kept{Outcome: Stored, Numbers: numbersIn(t.Report)}
	tray := here.row.id
	if tray == 0 {
		var err error
		tray, err = w.add("tray", w.signed(t.By,
			column{"sample", sample}, column{"hash", here.row.hash}, column{"file", here.row.file}, column{"bytes", len(t.Photo)})...)
		if err != nil {
			return kept, err
		}
	}
	if !here.row.counts {
		if err := w.putTrayEntry(tray, sample, false, t.By, ""); err != nil {
			return kept, err
		}
		if here.last != nil {
			kept.Outcome = PutBack
		}
	}
	if here.last != nil && sameScoring(here.last.asTray(), t) {
		if here.row.counts {
			kept.Outcome = AlreadyHere
		}
		return kept, nil
	}
	halves, err := w.putScoring(tray, t, Measured, "")
	if err != nil || here.last == nil {
		return kept, err
	}
	if here.row.counts {
		kept.Outcome = ScoredAgain
	}
	kept.Carried, kept.Lost, err = w.carry(here.last, t.Report, halves)
	return kept, err
}

func (w writer) putTrayEntry(tray, sample int64, struck bool, by, why string) error {
	_, err := w.add("tray_entry", w.signed(by,
		column{"tray", tray}, column{"sample", sample}, column{"struck", struck}, column{"why", why})...)
	return err
}

// asTray is a scoring as it would be stored.
func (t *scored) asTray() Tray {
	return Tray{Report: t.report, SetDigest: t.digest, Margins: t.margins}
}

// sameScoring says whether two scorings of one photo tell the same. What the
// photo is called and what is made from calls and reviews does not matter.
func sameScoring(a, b Tray) bool {
	strip := func(t Tray) Tray {
		fruit := slices.Clone(t.Report.Fruit)
		for i := range fruit {
			fruit[i].Review = nil
		}
		t.Report.Fruit = fruit
		t.Report.Photo, t.Report.PhotoHash, t.Report.Summary = "", "", scoring.Summary{Wanted: t.Report.Summary.Wanted}
		t.Report.Taken = clockOf(t.Report.Taken)
		return Tray{Report: t.Report, SetDigest: t.SetDigest, Margins: t.Margins}
	}
	a, b = strip(a), strip(b)
	same := maps.Equal(a.Margins, b.Margins) // none and an empty map are the same
	a.Margins, b.Margins = nil, nil
	return same && reflect.DeepEqual(a, b)
}

// clockOf is what a camera's clock showed, without a zone.
func clockOf(t time.Time) time.Time {
	if t.IsZero() {
		return time.Time{}
	}
	return time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), t.Minute(), t.Second(), t.Nanosecond(), time.UTC)
}
