package ledger

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"fmt"
	"strings"

	"traystage/scoring"
)

// StaleError says that a call which somebody looked at is another one now, or
// that somebody else has reviewed it since. It is ErrStale.
type StaleError struct {
	Photo string
	Fruit int
	Seen  *scoring.Fruit    // as it was seen; nil where only its Version was given
	Now   scoring.Fruit     // as it is, with its review
	Set   scoring.Reference // that Now was called on
}

func (e *StaleError) Error() string {
	if e.Now.Review != nil && (e.Seen == nil || e.Seen.Review == nil || *e.Seen.Review != *e.Now.Review) {
		what := "confirmed"
		if e.Now.Review.Override {
			what = "given stage " + scoring.Tenth(e.Now.Review.Stage)
		}
		return fmt.Sprintf("photo %q: fruit %d was %s by %s since; look at it again", e.Photo, e.Fruit, what, e.Now.Review.By)
	}
	return fmt.Sprintf("photo %q: was scored again since, on set %s version %s; look at fruit %d again", e.Photo, e.Set.Name, e.Set.Version, e.Fruit)
}

func (e *StaleError) Is(target error) bool { return target == ErrStale }

// Version tells the state of a fruit's call and review: it is another one after
// each change of either. on is the report that the fruit is on.
func Version(on scoring.Report, f scoring.Fruit) string {
	h := sha256.New()
	fmt.Fprintf(h, "%q %q %q %v %v %v %t %q", on.Reference.Name, on.Reference.Version, on.Program, f.Call.Stage, f.Call.Low, f.Call.High, f.Clipped, f.Unscored.Key())
	if r := f.Review; r != nil {
		fmt.Fprintf(h, "%t %v %q %q %s", r.Override, r.Stage, r.By, r.Why, stamp(r.At))
	}
	return hex.EncodeToString(h.Sum(nil)[:12])
}

// Review keeps what a person did with the call of a fruit on a report that Load
// gave; its time is the ledger's own. It is refused with a StaleError where the
// call or its review is another one since, so that nobody signs what they have
// not seen. An override needs a reason and a stage on the scale of the set; a
// half without a call cannot be confirmed.
func (s *Season) Review(ctx context.Context, seen scoring.Report, fruit int, r scoring.Review) error {
	was, ok := find(seen, fruit)
	if !ok {
		return refuse("photo %q: fruit %d: %w; check the number", seen.Photo, fruit, ErrNotFound)
	}
	err := s.ReviewVersion(ctx, seen.PhotoHash, fruit, Version(seen, was), r)
	var stale *StaleError
	if errors.As(err, &stale) {
		stale.Seen = &was
	}
	return err
}

// ReviewVersion is Review for who knows the photo's hash and the Version of the
// fruit that was seen.
func (s *Season) ReviewVersion(ctx context.Context, hash string, fruit int, version string, r scoring.Review) error {
	return s.do(ctx, "review", r.By, func(w writer) error {
		now, half, last, err := w.reviewed(hash, fruit)
		if err != nil {
			return err
		}
		if Version(last.report, now) != version {
			return &StaleError{Photo: last.report.Photo, Fruit: fruit, Now: now, Set: last.report.Reference}
		}
		if err := checkReview(r, now, last.report); err != nil {
			return err
		}
		if !r.Override {
			r.Stage = 0
		}
		_, err = w.add("review", w.signed(r.By,
			column{"half", half}, column{"override", r.Override}, column{"stage", r.Stage}, column{"why", r.Why})...)
		return err
	})
}

// reviewed finds a half of a tray that counts, with the id of its row.
func (w writer) reviewed(hash string, fruit int) (scoring.Fruit, int64, *scored, error) {
	t, err := w.countingTray(hash)
	if err != nil {
		return scoring.Fruit{}, 0, nil, err
	}
	f, half, ok := t.last.find(fruit)
	if !ok {
		err = refuse("photo %q: fruit %d: %w; check the number", t.last.report.Photo, fruit, ErrNotFound)
	}
	return f, half, t.last, err
}

// UndoReview takes the review of a fruit back: the one before it counts again,
// or none.
func (s *Season) UndoReview(ctx context.Context, by, hash string, fruit int, why string) error {
	return s.do(ctx, "undo review", by, func(w writer) error {
		f, half, last, err := w.reviewed(hash, fruit)
		if err != nil {
			return err
		}
		if f.Review == nil {
			return refuse("photo %q: fruit %d: a review: %w; there is nothing to take back", last.report.Photo, fruit, ErrNotFound)
		}
		before, err := w.reviewBefore(half)
		if err != nil {
			return err
		}
		_, err = w.add("review", w.signed(by, column{"half", half}, column{"override", before.Override}, column{"stage", before.Stage}, column{"why", why},
			column{"undone", true}, column{"origin", sql.NullInt64{Int64: before.id, Valid: before.id != 0}})...)
		return err
	})
}

// reviewRow is a review with the id of the row it was given in; 0 for none.
type reviewRow struct {
	scoring.Review
	id int64
}

// reviewBefore gives the review of a half that counts when the last one is taken
// back: reviews are a pile, of which each undoing takes one away.
func (r reader) reviewBefore(half int64) (reviewRow, error) {
	var pile []reviewRow
	err := r.each(func(scan func(...any) error) error {
		var row reviewRow
		var undone bool
		err := scan(&row.id, &undone, &row.Override, &row.Stage)
		if undone {
			pile = pile[:max(len(pile)-1, 0)]
		} else {
			pile = append(pile, row)
		}
		return err
	}, "SELECT coalesce(origin, id), coalesce(undone, 0), override, stage FROM review WHERE half = ? ORDER BY id", half)
	if len(pile) < 2 {
		return reviewRow{}, err
	}
	return pile[len(pile)-2], err
}

func find(r scoring.Report, fruit int) (scoring.Fruit, bool) {
	for _, f := range r.Fruit {
		if f.Number == fruit {
			return f, true
		}
	}
	return scoring.Fruit{}, false
}

// find gives a half by its number, with the id of its row.
func (t *scored) find(fruit int) (scoring.Fruit, int64, bool) {
	for i, f := range t.report.Fruit {
		if f.Number == fruit {
			return f, t.halves[i], true
		}
	}
	return scoring.Fruit{}, 0, false
}

func checkReview(r scoring.Review, f scoring.Fruit, on scoring.Report) error {
	f.Review = nil
	scale := on.Reference.Scale
	switch {
	case !r.Override && !f.Scored():
		return refuse("photo %q: fruit %d has no call to confirm; give it a stage of your own", on.Photo, f.Number)
	case r.Override && !scale.Contains(r.Stage):
		return refuse("photo %q: fruit %d: stage %g is not on the scale of set %s, %g to %g; give one that is",
			on.Photo, f.Number, r.Stage, on.Reference.Name, scale.Stained, scale.Clear)
	case r.Override && strings.TrimSpace(r.Why) == "":
		return refuse("photo %q: fruit %d: an override needs a reason; say why the call is wrong", on.Photo, f.Number)
	}
	return nil
}
