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

	Photo     []byte
	Report    scoring.Report // with its fruit numbered as in the sample
	SetDigest string         // of the version of the reference set, see calibrate.Set.Digest
	// Margins gives, by number of the fruit, what calibrate.Observation calls
	// StainedLow and StainedHigh; a half without an entry had none measured.
	Margins map[int]Margin
}

// Margin is the stained fraction of a half with the threshold of "stained" a
// quarter higher and a quarter lower, [0, 1].
type Margin struct{ Low, High float64 }

// Outcome is what became of a tray that was to be stored.
type Outcome string

const (
	Stored      Outcome = "stored"
	ScoredAgain Outcome = "stored again, as it was scored in another way; the earlier calls are kept"
	AlreadyHere Outcome = "stored already; nothing was written"
)

// StoreTray keeps a tray: photo and report, whole or not at all. The same photo
// twice in one sample is one tray. With the same report nothing is written;
// with another one, such as by another reference set, the new calls count from
// now on, without the reviews of the earlier ones, which were not made on them.
//
// A photo that belongs to another sample is refused, and so is a fruit number
// that another tray of the sample has. The report's Summary and reviews are not
// kept: Load makes them anew from the calls and the reviews in the ledger.
func (s *Season) StoreTray(ctx context.Context, t Tray) (Outcome, error) {
	if err := t.validate(); err != nil {
		return "", err
	}
	var outcome Outcome
	var file string
	var made bool
	err := s.write(ctx, func(w writer) error {
		sample, err := w.sampleFor(t)
		if err != nil {
			return err
		}
		here, err := w.place(t, sample)
		if err != nil {
			return err
		}
		file = here.file
		if made, err = s.keepPhoto(here.file, t.Photo); err != nil {
			return err
		}
		outcome, err = w.putTray(here, t)
		return err
	})
	if err == nil {
		return outcome, nil
	}
	if made {
		err = errors.Join(err, s.takeBack(ctx, file))
	}
	return "", err
}

// sampleFor finds the sample of a tray, or adds it.
func (w writer) sampleFor(t Tray) (int64, error) {
	id, err := w.sample(t.Block, t.Picked)
	if t.Head == nil || !errors.Is(err, ErrNotFound) {
		return id, err
	}
	block, err := w.block(t.Block)
	if err != nil {
		return 0, err
	}
	if id, err = w.add("sample", column{"block", block}); err != nil {
		return 0, err
	}
	head := *t.Head
	head.Block, head.Picked = t.Block, t.Picked
	return id, w.putSample(id, block, t.By, head)
}

func (t Tray) validate() error {
	name := t.Report.Photo
	if err := signedBy(t.By); err != nil {
		return err
	}
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

// trayRow is a row of tray; without one yet its id is 0.
type trayRow struct {
	id, sample int64
	hash, file string
}

// tray finds a tray by the SHA-256 of its photo.
func (r reader) tray(hash string) (trayRow, error) {
	t := trayRow{hash: hash}
	err := r.one("SELECT id, sample, file FROM tray WHERE hash = ?", []any{hash}, &t.id, &t.sample, &t.file)
	if errors.Is(err, sql.ErrNoRows) {
		return trayRow{}, refuse("photo %s: %w; store its tray first", hash, ErrNotFound)
	}
	return t, err
}

// place finds where a tray belongs, and refuses one that fits nowhere.
func (r reader) place(t Tray, sample int64) (trayRow, error) {
	hash := hashOf(t.Photo)
	here, err := r.tray(hash)
	if errors.Is(err, ErrNotFound) {
		here, err = trayRow{sample: sample, hash: hash, file: photoFile(hash, t.Report.Photo)}, nil
	}
	if err != nil {
		return here, err
	}
	if here.sample != sample {
		name, picked, err := r.sampleWords(here.sample)
		if err != nil {
			return here, err
		}
		return here, refuse("photo %q: %w: it is a tray of block %q picked on %s, so it cannot be one of block %q picked on %s; check which photo this is",
			t.Report.Photo, ErrTaken, name, picked, t.Block, t.Picked.Format(dayLayout))
	}
	return here, r.numbersFree(t, here)
}

func (r reader) sampleWords(id int64) (block, picked string, err error) {
	err = r.one("SELECT b.name, s.picked FROM current_sample AS s JOIN current_block AS b ON b.block = s.block WHERE s.sample = ?",
		[]any{id}, &block, &picked)
	return block, picked, err
}

// numbersFree refuses fruit numbers that other trays of the sample have.
func (r reader) numbersFree(t Tray, here trayRow) error {
	taken := map[int]string{}
	err := r.each(func(scan func(...any) error) error {
		var number int
		var photo string
		err := scan(&number, &photo)
		taken[number] = photo
		return err
	}, `SELECT h.number, s.photo_name FROM tray AS t
		JOIN scoring AS s ON s.id = (SELECT max(id) FROM scoring WHERE tray = t.id)
		JOIN half AS h ON h.scoring = s.id
		WHERE t.sample = ? AND t.id <> ?`, here.sample, here.id)
	if err != nil {
		return err
	}
	var both []int
	for _, f := range t.Report.Fruit {
		if _, ok := taken[f.Number]; ok {
			both = append(both, f.Number)
		}
	}
	if len(both) == 0 {
		return nil
	}
	slices.Sort(both)
	return refuse("photo %q: fruit %s: %w by %q of the same sample; number the fruit of this tray from %d",
		t.Report.Photo, scoring.Numbers(both), ErrTaken, taken[both[0]], slices.Max(slices.Collect(maps.Keys(taken)))+1)
}

// putTray adds the rows of a tray whose photo is in its place.
func (w writer) putTray(here trayRow, t Tray) (Outcome, error) {
	if here.id == 0 {
		id, err := w.add("tray", w.signed(t.By,
			column{"sample", here.sample}, column{"hash", here.hash}, column{"file", here.file}, column{"bytes", len(t.Photo)})...)
		if err != nil {
			return "", err
		}
		return Stored, w.putScoring(id, t)
	}
	last, err := w.lastScoring(here)
	if err != nil {
		return "", err
	}
	if sameScoring(Tray{Report: last.report, SetDigest: last.digest, Margins: last.margins}, t) {
		return AlreadyHere, nil
	}
	return ScoredAgain, w.putScoring(here.id, t)
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
