package workbench

import (
	"context"
	"fmt"
	"math"
	"slices"

	"traystage/cmd/internal/fault"
	"traystage/scoring"
	"traystage/scoring/ledger"
	"traystage/vision"
)

// Tapped is where somebody points to a half: its core, and a place on its rim, in
// pixels of the upright photo.
type Tapped struct{ Core, Rim scoring.Point }

// Radius is the distance from core to rim.
func (t Tapped) Radius() float64 { return math.Hypot(t.Rim[0]-t.Core[0], t.Rim[1]-t.Core[1]) }

// leastTapped is the least radius of a half that can be pointed to, in shares of
// the photo's long side: a tray holds forty halves at most.
const leastTapped = 0.01

// AddHalf puts a half into a tray that somebody points to. The photo is measured again
// and called on the version of the set that the tray was called on; the other
// halves keep their calls and reviews, and all are numbered anew in reading order.
func (b *Bench) AddHalf(ctx context.Context, act Act, block, photo string, at Tapped, why string) (TrayRow, error) {
	row, err := b.Tray(ctx, block, photo)
	if err != nil {
		return row, err
	}
	_, was, err := b.TrayOf(ctx, row.Hash)
	if err != nil {
		return row, err
	}
	if r := at.Radius(); !(r >= leastTapped*float64(max(was.Width, was.Height))) {
		return row, fault.Usagef("photo %s: tap the core of the half and then its rim, not one place twice", was.Photo)
	}
	add, err := b.pointedOut(ctx, was, at)
	if err != nil {
		return row, err
	}
	_, err = b.onTray(ctx, act, block, row.Hash, func(s *ledger.Season, by string, t TrayRow) error {
		_, err := s.ReviseTray(ctx, by, t.Hash, ledger.Revision{
			Add: []ledger.Addition{add}, Number: &ledger.Numbering{First: slices.Min(t.Numbers), Without: Uncut(t.Numbers)},
		}, why)
		return err
	})
	if err != nil {
		return row, err
	}
	return b.Tray(ctx, block, row.Hash)
}

// Uncut are the numbers that were left free between those of a tray's fruit.
func Uncut(numbers []int) []int {
	var out []int
	for n := slices.Min(numbers); n < slices.Max(numbers); n++ {
		if !slices.Contains(numbers, n) {
			out = append(out, n)
		}
	}
	return out
}

// pointedOut measures and calls the half where somebody points.
func (b *Bench) pointedOut(ctx context.Context, was scoring.Report, at Tapped) (ledger.Addition, error) {
	scorer, err := b.Scorer(was.Reference.Name+".v"+was.Reference.Version, Labels{})
	if err != nil {
		return ledger.Addition{}, err
	}
	photo, err := b.Season.Photo(ctx, was.PhotoHash)
	if err != nil {
		return ledger.Addition{}, err
	}
	opt := optionsOf(scorer.Set)
	opt.Pointed = []vision.Disc{{Centre: vision.Point{X: at.Core[0], Y: at.Core[1]}, Radius: at.Radius()}}
	tray, err := b.Measure(ctx, photo, opt)
	if err != nil {
		return ledger.Addition{}, fmt.Errorf("%s: %w", was.Photo, err)
	}
	i := nearest(tray, at)
	add := ledger.Addition{Fruit: fruitsOf(tray.Halves[i:i+1], scorer.path, nil)[0], Margin: marginsOf(tray)[i]}
	add.Before = following(tray, i, was)
	return add, nil
}

// nearest is the half whose centre lies nearest to where somebody pointed.
func nearest(t vision.Tray, at Tapped) int {
	best := 0
	for i, h := range t.Halves {
		d := func(h vision.Half) float64 { return math.Hypot(h.Centre.X-at.Core[0], h.Centre.Y-at.Core[1]) }
		if d(h) < d(t.Halves[best]) {
			best = i
		}
	}
	return best
}

// following is the number of the half of the tray as it was that comes after the
// i-th of the tray as it is measured now; 0 when none does.
func following(now vision.Tray, i int, was scoring.Report) int {
	for _, h := range now.Halves[i+1:] {
		for _, f := range was.Fruit {
			if liesAt(f.Place, h) {
				return f.Number
			}
		}
	}
	return 0
}

// liesAt says whether a half is the one that was seen at a place.
func liesAt(p scoring.Place, h vision.Half) bool {
	return math.Hypot(p.Centre[0]-h.Centre.X, p.Centre[1]-h.Centre.Y) < p.Radius/2
}
