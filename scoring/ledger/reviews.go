package ledger

import (
	"context"
	"strings"

	"traystage/calibrate"
	"traystage/scoring"
)

// Review keeps what a person did with the call of a fruit on a report that Load
// gave; its time is the ledger's own. It is refused where the tray was scored
// again since, so that nobody signs a call that they have not seen. An override
// needs a reason and a stage on the scale of the set; a half without a call
// cannot be confirmed.
func (s *Season) Review(ctx context.Context, seen scoring.Report, fruit int, r scoring.Review) error {
	return s.write(ctx, func(w writer) error {
		tray, err := w.tray(seen.PhotoHash)
		if err != nil {
			return err
		}
		scoring, err := w.lastScoring(tray)
		if err != nil {
			return err
		}
		now, half, ok := scoring.find(fruit)
		if !ok {
			return refuse("photo %q: fruit %d: %w; check the number", seen.Photo, fruit, ErrNotFound)
		}
		last := scoring.report
		if was, ok := find(seen, fruit); !ok || last.Reference != seen.Reference || last.Program != seen.Program || !sameCall(was.Call, now.Call) {
			return refuse("photo %q: was scored again since, on set %s version %s; look at fruit %d again",
				seen.Photo, last.Reference.Name, last.Reference.Version, fruit)
		}
		if err := checkReview(r, now, last); err != nil {
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

func sameCall(a, b calibrate.Call) bool {
	return a.Stage == b.Stage && a.Low == b.Low && a.High == b.High
}

func checkReview(r scoring.Review, f scoring.Fruit, on scoring.Report) error {
	if err := signedBy(r.By); err != nil {
		return err
	}
	f.Review = nil
	scale := on.Reference.Scale
	switch {
	case !r.Override && !f.Scored():
		return refuse("photo %q: fruit %d has no call to confirm (%s); give it a stage of your own", on.Photo, f.Number, f.WhyUnscored())
	case r.Override && !scale.Contains(r.Stage):
		return refuse("photo %q: fruit %d: stage %g is not on the scale of set %s, %g to %g; give one that is",
			on.Photo, f.Number, r.Stage, on.Reference.Name, scale.Stained, scale.Clear)
	case r.Override && strings.TrimSpace(r.Why) == "":
		return refuse("photo %q: fruit %d: an override needs a reason; say why the call is wrong", on.Photo, f.Number)
	}
	return nil
}
