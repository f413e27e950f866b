package workbench

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"traystage/scoring"
	"traystage/scoring/ledger"
	"traystage/vision/note"
)

// TrayRow is one tray of a block as it now stands.
type TrayRow = ledger.TrayRow

// Trays lists the trays of a block, struck ones too, in the order in which they
// were stored.
func (b *Bench) Trays(ctx context.Context, block string) ([]TrayRow, error) {
	of, err := b.Block(ctx, block)
	if err != nil {
		return nil, err
	}
	return b.Season.Trays(ctx, of.Name)
}

// Tray finds a tray of a block: by the name of its photo, with or without the
// ending, or by the first characters of its hash.
func (b *Bench) Tray(ctx context.Context, block, photo string) (TrayRow, error) {
	rows, err := b.Trays(ctx, block)
	if err != nil {
		return TrayRow{}, err
	}
	named := func(r TrayRow) bool {
		stem := strings.TrimSuffix(r.Photo, filepath.Ext(r.Photo))
		return strings.EqualFold(r.Photo, filepath.Base(photo)) || strings.EqualFold(stem, photo) ||
			len(photo) >= 6 && strings.HasPrefix(r.Hash, strings.ToLower(photo))
	}
	var found []TrayRow
	for _, counting := range []bool{true, false} { // a struck one only where no other has the name
		for _, r := range rows {
			if r.Counts == counting && named(r) {
				found = append(found, r)
			}
		}
		if len(found) > 0 {
			break
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return TrayRow{}, fmt.Errorf("block %q: no tray is from a photo %q; traystage tray list tells those there are", block, photo)
	}
	return TrayRow{}, fmt.Errorf("block %q: %d trays are from photos named %q; name one by the first characters of its hash, such as %s", block, len(found), photo, found[0].Hash[:8])
}

// MovedTray is a tray in its new place.
type MovedTray struct {
	Block   string
	Picked  time.Time
	Photo   string
	Numbers []int // of its fruit there
}

// MoveTray moves a tray to the sample of another block, day or both; what is left
// empty stays. Its calls and reviews go with it. The day is looked at as when a
// tray is stored.
func (b *Bench) MoveTray(ctx context.Context, act Act, block, photo, to string, picked time.Time, why string) (MovedTray, error) {
	act, err := b.signed(ctx, act)
	if err != nil {
		return MovedTray{}, err
	}
	t, err := b.Tray(ctx, block, photo)
	if err != nil {
		return MovedTray{}, err
	}
	if to == "" {
		to = t.Block
	}
	if picked.IsZero() {
		picked = t.Picked
	}
	of, err := b.Block(ctx, to)
	if err != nil {
		return MovedTray{}, err
	}
	head, objections, err := b.moving(ctx, t, of.Name, picked)
	if err != nil {
		return MovedTray{}, err
	}
	s, err := b.writing(act, t.Photo, objections...)
	if err != nil {
		return MovedTray{}, err
	}
	numbers, err := s.MoveTray(ctx, act.By, t.Hash, ledger.Destination{Block: of.Name, Picked: picked, Head: head, Number: &ledger.Numbering{}}, why)
	return MovedTray{of.Name, picked, t.Photo, numbers}, err
}

// moving gives the head that the sample of a moved tray gets where it is new, and
// what speaks against moving it there.
func (b *Bench) moving(ctx context.Context, t TrayRow, to string, picked time.Time) (*scoring.Sample, []note.Note, error) {
	from, err := b.Season.Load(ctx, t.Block)
	if err != nil {
		return nil, nil, err
	}
	others, err := b.Season.Load(ctx, to)
	if err != nil {
		return nil, nil, err
	}
	head := &scoring.Sample{}
	for _, s := range from {
		for _, r := range s.Trays {
			if r.PhotoHash != t.Hash {
				continue
			}
			head.Tester, head.Wait = s.Tester, s.Wait
			others = without(others, t.Hash)
			return head, append(dayObjections(picked, r, others, b.Today()), stageObjections(picked, r, others)...), nil
		}
	}
	return head, nil, nil // a struck one
}

// without are samples without the tray of a photo.
func without(samples []scoring.Sample, hash string) []scoring.Sample {
	var out []scoring.Sample
	for _, s := range samples {
		s.Trays = slices.DeleteFunc(slices.Clone(s.Trays), func(t scoring.Report) bool { return t.PhotoHash == hash })
		if len(s.Trays) > 0 {
			out = append(out, s)
		}
	}
	return out
}

// StrikeTray takes a tray back, such as one of the wrong photo, and RestoreTray
// puts it back. The photo may be stored again where it belongs.
func (b *Bench) StrikeTray(ctx context.Context, act Act, block, photo, why string) (TrayRow, error) {
	return b.onTray(ctx, act, block, photo, func(s *ledger.Season, by string, t TrayRow) error { return s.StrikeTray(ctx, by, t.Hash, why) })
}

// RestoreTray puts a struck tray back into its sample.
func (b *Bench) RestoreTray(ctx context.Context, act Act, block, photo, why string) (TrayRow, error) {
	return b.onTray(ctx, act, block, photo, func(s *ledger.Season, by string, t TrayRow) error { return s.RestoreTray(ctx, by, t.Hash, why) })
}

// RenumberTray gives the fruit of a tray other numbers, in reading order from first
// on (0: from where it begins now), but those of fruit that were not cut.
func (b *Bench) RenumberTray(ctx context.Context, act Act, block, photo string, first int, uncut []int, why string) (TrayRow, error) {
	t, err := b.onTray(ctx, act, block, photo, func(s *ledger.Season, by string, t TrayRow) error {
		if first == 0 {
			first = slices.Min(t.Numbers)
		}
		_, err := s.RenumberTray(ctx, by, t.Hash, ledger.Numbering{First: first, Without: uncut, Last: true}, why)
		return err
	})
	if err != nil {
		return t, err
	}
	return b.Tray(ctx, block, t.Hash)
}

// StrikeHalves takes halves out of a tray that are none, such as a knife that was
// taken for one. Those after them move up, as they would have been numbered without
// it; numbers of fruit that were not cut stay free, and reviews stay with their halves.
func (b *Bench) StrikeHalves(ctx context.Context, act Act, block, photo string, fruit []int, why string) (TrayRow, error) {
	t, err := b.onTray(ctx, act, block, photo, func(s *ledger.Season, by string, t TrayRow) error {
		_, err := s.ReviseTray(ctx, by, t.Hash, ledger.Revision{
			Strike: fruit, Number: &ledger.Numbering{First: slices.Min(t.Numbers), Without: Uncut(t.Numbers)},
		}, why)
		return err
	})
	if err != nil {
		return t, err
	}
	return b.Tray(ctx, block, t.Hash)
}

// onTray does one thing to a tray of a block and gives the tray as it was.
func (b *Bench) onTray(ctx context.Context, act Act, block, photo string, do func(s *ledger.Season, by string, t TrayRow) error) (TrayRow, error) {
	act, err := b.signed(ctx, act)
	if err != nil {
		return TrayRow{}, err
	}
	t, err := b.Tray(ctx, block, photo)
	if err != nil {
		return t, err
	}
	s, err := b.writing(act, t.Photo)
	if err != nil {
		return t, err
	}
	return t, do(s, act.By, t)
}
