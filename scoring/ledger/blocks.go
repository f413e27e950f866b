package ledger

import (
	"context"
	"database/sql"
	"errors"
	"strings"
	"time"

	"traystage/scoring"
)

// BlockEntry is a block as somebody wrote it down.
type BlockEntry struct {
	Block scoring.Block
	By    string // initials
	At    time.Time
}

// AddBlock adds a block. Its name must be new to the season; capitals make no
// difference.
func (s *Season) AddBlock(ctx context.Context, by string, b scoring.Block) error {
	return s.do(ctx, "add block", by, func(w writer) error {
		id, err := w.add("block", column{"id", nil}) // the next one
		if err != nil {
			return err
		}
		return w.putBlock(id, by, b)
	})
}

// ChangeBlock gives a block other particulars, and another name if b has one.
// What it was before stays in its history.
func (s *Season) ChangeBlock(ctx context.Context, by, name string, b scoring.Block) error {
	return s.do(ctx, "change block", by, func(w writer) error {
		id, err := w.block(name)
		if err != nil {
			return err
		}
		return w.putBlock(id, by, b)
	})
}

func (w writer) putBlock(id int64, by string, b scoring.Block) error {
	b.Name = strings.TrimSpace(b.Name)
	if b.Name == "" {
		return refuse("a block needs a name")
	}
	other, err := w.block(b.Name)
	if err == nil && other != id {
		return refuse("block %q: %w; choose another name, or change that block", b.Name, ErrTaken)
	}
	if err != nil && !errors.Is(err, ErrNotFound) {
		return err
	}
	_, err = w.add("block_entry", w.signed(by,
		column{"block", id}, column{"name", b.Name}, column{"variety", b.Variety}, column{"market", b.Market},
		column{"harvest", optional(b.Harvest, dayLayout)}, column{"reference_set", b.Set}, column{"note", b.Note})...)
	return err
}

// block finds a block by the name that it has now.
func (r reader) block(name string) (id int64, err error) {
	err = r.one("SELECT block FROM "+currentBlocks+" WHERE name = ? COLLATE NOCASE", []any{strings.TrimSpace(name)}, &id)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, refuse("block %q: %w; list the blocks to see how it is written, or add it", name, ErrNotFound)
	}
	return id, err
}

// Blocks gives all blocks as they are now, in order of their names.
func (s *Season) Blocks(ctx context.Context) ([]scoring.Block, error) {
	var blocks []scoring.Block
	err := s.read(ctx, func(r reader) error {
		entries, err := r.blockEntries(currentBlocks, "true ORDER BY name COLLATE NOCASE")
		for _, e := range entries {
			blocks = append(blocks, e.Block)
		}
		return err
	})
	return blocks, err
}

// BlockHistory gives every entry on a block, the first one first.
func (s *Season) BlockHistory(ctx context.Context, name string) ([]BlockEntry, error) {
	var entries []BlockEntry
	err := s.read(ctx, func(r reader) error {
		id, err := r.block(name)
		if err != nil {
			return err
		}
		entries, err = r.blockEntries("block_entry", "block = ? ORDER BY id", id)
		return err
	})
	return entries, err
}

func (r reader) blockEntries(table, where string, args ...any) ([]BlockEntry, error) {
	var entries []BlockEntry
	err := r.each(func(scan func(...any) error) error {
		var e BlockEntry
		b := &e.Block
		err := scan(&b.Name, &b.Variety, &b.Market, day(&b.Harvest), &b.Set, &b.Note, &e.By, instant(&e.At))
		entries = append(entries, e)
		return err
	}, "SELECT name, variety, market, harvest, reference_set, note, who, at FROM "+table+" WHERE "+where, args...)
	return entries, err
}

func signedBy(initials string) error {
	if strings.TrimSpace(initials) == "" {
		return refuse("initials are missing: say who writes this down")
	}
	return nil
}
