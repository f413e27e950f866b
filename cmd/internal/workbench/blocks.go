package workbench

import (
	"context"
	"time"

	"traystage/scoring"
)

// BlockRow is a block with what was sampled of it.
type BlockRow struct {
	scoring.Block
	Samples int
	Last    time.Time // day of the last sample; zero for none
}

// Blocks lists the blocks of the season in order of their names.
func (b *Bench) Blocks(ctx context.Context) ([]BlockRow, error) {
	blocks, err := b.Season.Blocks(ctx)
	if err != nil {
		return nil, err
	}
	samples, err := b.Season.LoadAll(ctx)
	if err != nil {
		return nil, err
	}
	rows := make([]BlockRow, len(blocks))
	at := map[string]int{}
	for i, block := range blocks {
		rows[i].Block, at[block.Name] = block, i
	}
	for _, s := range samples { // in order of day
		row := &rows[at[s.Block]]
		row.Samples++
		row.Last = s.Picked
	}
	return rows, nil
}

// AddBlock adds a block to the season. The set that it names must be there.
func (b *Bench) AddBlock(ctx context.Context, by string, block scoring.Block) error {
	by, err := signed(by)
	if err != nil {
		return err
	}
	if _, err := b.Shelf.Set(block.Set); err != nil {
		return err
	}
	return b.Season.AddBlock(ctx, by, block)
}

// ChangeBlock writes a new entry for a block, as change makes it of the last one.
func (b *Bench) ChangeBlock(ctx context.Context, by, name string, change func(*scoring.Block) error) error {
	by, err := signed(by)
	if err != nil {
		return err
	}
	block, err := b.Block(ctx, name)
	if err != nil {
		return err
	}
	was := block.Name
	if err := change(&block); err != nil {
		return err
	}
	if _, err := b.Shelf.Set(block.Set); err != nil {
		return err
	}
	return b.Season.ChangeBlock(ctx, by, was, block)
}
