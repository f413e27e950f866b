package ledger

import (
	"cmp"
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
	Undone  bool                // takes back the Review before it; its Why says for what reason
	Reading *instrument.Reading // as entered; a Struck entry takes back those before it, for the reason in its note
	Struck  bool
	// TakenBack says of a Reading that all that was entered with it was struck,
	// such as a whole sheet.
	TakenBack bool

	seal int64 // which tells the order
}

// Scoring is a call with all that tells where it came from.
type Scoring struct {
	Fruit     scoring.Fruit // without its review, numbered as it was then
	Margin    Margin        // zero when not measured
	Photo     string        // file name without folder, as it came
	PhotoHash string        // SHA-256, hexadecimal
	Reference scoring.Reference
	SetDigest string
	Program   string
	Change    Change // whether it was measured
	Why       string // of a change
}

// Change says where a scoring comes from.
type Change string

const (
	Measured Change = ""         // from the photo
	Numbered Change = "numbered" // the scoring before, under other numbers or in another block
	Revised  Change = "revised"  // the scoring before, with halves struck or added
)

// History gives everything that was ever written about one fruit of the sample
// picked from a block on a day: every call that was made of its half, by
// whichever set and program and under whichever number, every review and every
// reading, each kind in the order in which it was written and all of them by
// time. Of trays that are no longer in the sample it gives the calls of halves
// that had the number.
func (s *Season) History(ctx context.Context, block string, picked time.Time, fruit int) ([]Entry, error) {
	var entries []Entry
	err := s.read(ctx, func(r reader) error {
		sample, err := r.sample(block, picked)
		if err != nil {
			return err
		}
		in, err := r.seals()
		if err != nil {
			return err
		}
		if entries, err = r.scoringEntries(in, sample, fruit); err != nil {
			return err
		}
		err = r.readingsIn([]int64{sample}, func(_ int64, e entered) {
			if reading := e.Reading; reading.Fruit == fruit {
				entries = append(entries, Entry{By: e.by, At: e.at, Reading: &reading, Struck: e.struck, TakenBack: e.taken, seal: in.of("reading", e.id)})
			}
		})
		if err == nil && len(entries) == 0 {
			return refuse("block %q: fruit %d picked on %s: %w; check the number", block, fruit, picked.Format(dayLayout), ErrNotFound)
		}
		return err
	})
	slices.SortStableFunc(entries, func(a, b Entry) int { return cmp.Or(cmp.Compare(a.seal, b.seal), a.At.Compare(b.At)) })
	return entries, err
}

// scoringEntries gives each call of a fruit followed by its reviews.
func (r reader) scoringEntries(in seals, sample int64, fruit int) ([]Entry, error) {
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
	last := map[int64]*scored{} // by tray
	for _, t := range all {
		last[t.tray] = t
	}
	var entries []Entry
	for _, t := range all {
		i := t.formerly(last[t.tray], fruit, last[t.tray].sample == sample)
		if i < 0 {
			continue
		}
		more, err := r.callEntries(in, t, i)
		if err != nil {
			return nil, err
		}
		entries = append(entries, more...)
	}
	return entries, nil
}

// formerly gives the place of a fruit in an earlier scoring of its tray: where it
// is in the sample now, of the half that lies where the fruit's lies, else of the
// half that had the number. It is -1 for none.
func (t *scored) formerly(last *scored, fruit int, here bool) int {
	if !here {
		return slices.Index(numbersIn(t.report), fruit)
	}
	now := slices.Index(numbersIn(last.report), fruit)
	if now < 0 || t == last {
		return now
	}
	return samePlaces(last.report.Fruit, t.report.Fruit)[now]
}

// callEntries gives one call and its reviews.
func (r reader) callEntries(in seals, t *scored, i int) ([]Entry, error) {
	f, p := t.report.Fruit[i], t.report
	f.Review = nil
	entries := []Entry{{By: t.by, At: t.at, seal: in.of("scoring", t.id), Scoring: &Scoring{
		Fruit: f, Margin: t.margins[f.Number], Photo: p.Photo, PhotoHash: p.PhotoHash,
		Reference: p.Reference, SetDigest: t.digest, Program: p.Program, Change: t.change, Why: t.why,
	}}}
	err := r.each(func(scan func(...any) error) error {
		var v scoring.Review
		var id int64
		var undone bool
		err := scan(&id, &v.Override, &v.Stage, &v.Why, &v.By, instant(&v.At), &undone)
		if undone {
			v.Override, v.Stage = false, 0 // what counts again is told by the entries before
		}
		entries = append(entries, Entry{By: v.By, At: v.At, Review: &v, Undone: undone, seal: in.of("review", id)})
		return err
	}, `SELECT id, override, stage, why, who, at, coalesce(undone, 0) FROM review
		WHERE half = ? AND (origin IS NULL OR undone) ORDER BY id`, t.halves[i])
	return entries, err
}
