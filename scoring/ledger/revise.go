package ledger

import (
	"context"
	"slices"

	"traystage/scoring"
)

// Revision says which halves of a tray are none, and which it has besides.
type Revision struct {
	Strike []int      // numbers of fruit whose halves are taken out
	Add    []Addition // halves that a person pointed out
	Number *Numbering // numbers all halves anew; nil: each keeps its own, and additions have those of their Fruit
}

// Addition is a half that the program did not find.
type Addition struct {
	Fruit  scoring.Fruit // measured and called at the place that the person gave
	Margin Margin        // zero when not measured
	Before int           // number of the half that it comes before in reading order; 0: it comes last
}

// ReviseTray takes halves out of a tray and puts others in. It is another
// scoring of the tray; the reviews of the halves that stay go with it. The report
// as it then is comes back with the numbers of its fruit in the sample.
func (s *Season) ReviseTray(ctx context.Context, by, hash string, rev Revision, why string) ([]int, error) {
	return enter(ctx, s, "revise tray", by, func(w writer) ([]int, error) {
		if err := reasoned("to change the halves of a tray", why); err != nil {
			return nil, err
		}
		t, err := w.countingTray(hash)
		if err != nil {
			return nil, err
		}
		tray, origins, err := t.last.revised(rev)
		if err != nil {
			return nil, err
		}
		tray.By = by
		if rev.Number != nil {
			numbers, err := w.settle(*rev.Number, t.row.sample, t.row.id, len(origins))
			if err != nil {
				return nil, err
			}
			tray = tray.numbered(numbers)
		}
		if err := tray.validateFruit(); err != nil {
			return nil, err
		}
		numbers := numbersIn(tray.Report)
		if err := w.numbersFree(tray.Report.Photo, t.row.sample, t.row.id, numbers); err != nil {
			return nil, err
		}
		halves, err := w.putScoring(t.row.id, tray, Revised, why)
		if err != nil {
			return nil, err
		}
		for i, was := range origins {
			if was < 0 || t.last.report.Fruit[was].Review == nil {
				continue
			}
			if err := w.repeatReview(halves[i], t.last.reviews[was], t.last.report.Fruit[was].Review, false); err != nil {
				return nil, err
			}
		}
		return numbers, nil
	})
}

// revised is a scoring with halves taken out and put in. origins gives, for each
// half, its place among those before; -1 for one that was put in.
func (t *scored) revised(rev Revision) (tray Tray, origins []int, err error) {
	tray = t.asTray()
	tray.Margins = map[int]Margin{}
	var fruit []scoring.Fruit
	put := func(f scoring.Fruit, m Margin, origin int) {
		f.Review = nil
		if m != (Margin{}) {
			tray.Margins[f.Number] = m
		}
		fruit, origins = append(fruit, f), append(origins, origin)
	}
	additions := func(before int) {
		for _, a := range rev.Add {
			if a.Before == before {
				a.Fruit.ByHand = true
				put(a.Fruit, a.Margin, -1)
			}
		}
	}
	for i, f := range t.report.Fruit {
		additions(f.Number)
		if !slices.Contains(rev.Strike, f.Number) {
			put(f, t.margins[f.Number], i)
		}
	}
	additions(0)
	tray.Report.Fruit = fruit
	tray.Report.Suspects = slices.DeleteFunc(slices.Clone(tray.Report.Suspects), func(s scoring.Suspect) bool {
		return slices.ContainsFunc(rev.Add, func(a Addition) bool { return apart(s.Place, a.Fruit.Place) < a.Fruit.Place.Radius/2 })
	})
	if want := len(t.report.Fruit) - len(rev.Strike) + len(rev.Add); len(fruit) != want {
		return tray, nil, refuse("photo %q: a half to be struck, or to come before, is %w; its halves are fruit %s",
			t.report.Photo, ErrNotFound, scoring.Numbers(numbersIn(t.report)))
	}
	if len(fruit) == 0 {
		return tray, nil, refuse("photo %q: no half would be left; strike the tray", t.report.Photo)
	}
	return tray, origins, nil
}
