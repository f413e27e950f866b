package ledger

import (
	"context"
	"slices"
	"time"

	"traystage/scoring"
	"traystage/scoring/instrument"
)

// Entry is one thing that was written about a fruit: exactly one of Scoring,
// Review and Reading is set.
type Entry struct {
	By string // initials
	At time.Time

	Scoring *Scoring
	Review  *scoring.Review     // of the last Scoring before it with the same photo
	Reading *instrument.Reading // as entered; a Struck entry takes back those before it, for the reason in its note
	Struck  bool
}

// Scoring is a call with all that tells where it came from.
type Scoring struct {
	Fruit     scoring.Fruit // without its review
	Margin    Margin        // zero when not measured
	Photo     string        // file name without folder, as it came
	PhotoHash string        // SHA-256, hexadecimal
	Reference scoring.Reference
	SetDigest string
	Program   string
}

// History gives everything that was ever written about one fruit of the sample
// picked from a block on a day: every call that was made of its half, by
// whichever set and program, every review and every reading, each kind in the
// order in which it was written and all of them by time.
func (s *Season) History(ctx context.Context, block string, picked time.Time, fruit int) ([]Entry, error) {
	var entries []Entry
	err := s.read(ctx, func(r reader) error {
		sample, err := r.sample(block, picked)
		if err != nil {
			return err
		}
		if entries, err = r.scoringEntries(sample, fruit); err != nil {
			return err
		}
		err = r.readingsIn([]int64{sample}, func(_ int64, e entered) {
			if reading := e.Reading; reading.Fruit == fruit {
				entries = append(entries, Entry{By: e.by, At: e.at, Reading: &reading, Struck: e.struck})
			}
		})
		if err == nil && len(entries) == 0 {
			return refuse("block %q: fruit %d picked on %s: %w; check the number", block, fruit, picked.Format(dayLayout), ErrNotFound)
		}
		return err
	})
	slices.SortStableFunc(entries, func(a, b Entry) int { return a.At.Compare(b.At) })
	return entries, err
}

// scoringEntries gives each call of a fruit followed by its reviews.
func (r reader) scoringEntries(sample int64, fruit int) ([]Entry, error) {
	var of []int64
	err := r.each(func(scan func(...any) error) error {
		var id int64
		err := scan(&id)
		of = append(of, id)
		return err
	}, "SELECT id FROM scoring WHERE tray IN (SELECT tray FROM tray_entry WHERE sample = ?)", sample)
	if err != nil {
		return nil, err
	}
	all, err := r.scoringsOf(of, true)
	if err != nil {
		return nil, err
	}
	var entries []Entry
	for _, t := range all {
		f, half, ok := t.find(fruit)
		if !ok {
			continue
		}
		f.Review = nil
		p := t.report
		entries = append(entries, Entry{By: t.by, At: t.at, Scoring: &Scoring{
			Fruit: f, Margin: t.margins[fruit], Photo: p.Photo, PhotoHash: p.PhotoHash,
			Reference: p.Reference, SetDigest: t.digest, Program: p.Program,
		}})
		err := r.each(func(scan func(...any) error) error {
			var v scoring.Review
			err := scan(&v.Override, &v.Stage, &v.Why, &v.By, instant(&v.At))
			entries = append(entries, Entry{By: v.By, At: v.At, Review: &v})
			return err
		}, "SELECT override, stage, why, who, at FROM review WHERE half = ? AND undone IS NULL AND origin IS NULL ORDER BY id", half)
		if err != nil {
			return nil, err
		}
	}
	return entries, nil
}
