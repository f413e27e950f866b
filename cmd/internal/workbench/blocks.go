package workbench

import (
	"context"
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"traystage/scoring"
	"traystage/scoring/ledger"
	"traystage/vision/note"
)

// BlockRow is a block with what was sampled of it.
type BlockRow struct {
	scoring.Block
	Samples int
	Last    time.Time // day of the last sample; zero for none
	State   ledger.BlockState
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
	states, err := b.Season.States(ctx)
	if err != nil {
		return nil, err
	}
	rows := make([]BlockRow, len(blocks))
	at := map[string]int{}
	for i, block := range blocks {
		rows[i].Block, rows[i].State, at[block.Name] = block, states[block.Name], i
	}
	for _, s := range samples { // in order of day
		row := &rows[at[s.Block]]
		row.Samples++
		row.Last = s.Picked
	}
	return rows, nil
}

// AddBlock adds a block to the season. The set that it names must be there; a
// market without a standard is objected to.
func (b *Bench) AddBlock(ctx context.Context, act Act, block scoring.Block) error {
	act, err := b.signed(ctx, act)
	if err != nil {
		return err
	}
	blocks, err := b.Season.Blocks(ctx)
	if err != nil {
		return err
	}
	s, err := b.writingBlock(ctx, act, block, scoring.Block{}, nameObjections(block.Name, blocks)...)
	if err != nil {
		return err
	}
	if block.Set, err = b.borrowFor(block.Set); err != nil {
		return err
	}
	return s.AddBlock(ctx, act.By, block)
}

// ChangeBlock writes a new entry for a block, as change makes it of the last one.
func (b *Bench) ChangeBlock(ctx context.Context, act Act, name string, change func(*scoring.Block) error) error {
	act, err := b.signed(ctx, act)
	if err != nil {
		return err
	}
	block, err := b.Block(ctx, name)
	if err != nil {
		return err
	}
	was := block
	if err := change(&block); err != nil {
		return err
	}
	s, err := b.writingBlock(ctx, act, block, was)
	if err != nil {
		return err
	}
	if block.Set, err = b.borrowFor(block.Set); err != nil {
		return err
	}
	return s.ChangeBlock(ctx, act.By, was.Name, block)
}

// writingBlock looks at what is new of a block that is to be written.
func (b *Bench) writingBlock(ctx context.Context, act Act, block, was scoring.Block, objections ...note.Note) (*ledger.Season, error) {
	if err := blockName(block.Name); err != nil {
		return nil, err
	}
	if _, err := b.Shelf.Set(block.Set); err != nil {
		return nil, err
	}
	standards, err := b.Standards(ctx)
	if err != nil {
		return nil, err
	}
	if block.Market != was.Market {
		objections = append(objections, marketObjections(block, standards)...)
	}
	if !block.Harvest.Equal(was.Harvest) {
		harvest, err := b.harvestObjections(ctx, block.Harvest)
		if err != nil {
			return nil, err
		}
		objections = append(objections, harvest...)
	}
	return b.writing(act, "block "+strconv.Quote(block.Name), objections...)
}

// blockName refuses names that no address of the desk can hold, and such as nobody can type.
func blockName(name string) error {
	switch name = strings.TrimSpace(name); {
	case name == "." || name == "..":
		return fmt.Errorf("block %q: is a name that browsers leave out of addresses; take another", name)
	case !utf8.ValidString(name):
		return fmt.Errorf("block %q: holds bytes that are no letters in UTF-8; type the name again", name)
	}
	return nil
}

// Picking is fruit of a block that were picked.
type Picking = ledger.Pick

// PickBlock keeps that fruit of a block were picked, on the bench's day where the
// pick has none, and gives the number by which that is taken back. A block that is
// picked to the end leaves the picking order and keeps its history.
func (b *Bench) PickBlock(ctx context.Context, act Act, block string, p Picking) (int64, error) {
	act, of, err := b.acting(ctx, act, block)
	if err != nil {
		return 0, err
	}
	if p.Day.IsZero() {
		p.Day = b.Today()
	}
	objections, err := b.pickObjections(ctx, of, p)
	if err != nil {
		return 0, err
	}
	s, err := b.writing(act, "block "+strconv.Quote(of), objections...)
	if err != nil {
		return 0, err
	}
	return s.PickBlock(ctx, act.By, of, p)
}

// UndoPick takes the last pick of a block back.
func (b *Bench) UndoPick(ctx context.Context, act Act, block, why string) error {
	act, of, err := b.acting(ctx, act, block)
	if err != nil {
		return err
	}
	states, err := b.Season.States(ctx)
	if err != nil {
		return err
	}
	picks := states[of].Picks
	if len(picks) == 0 {
		return fmt.Errorf("block %q: nothing of it was picked, so there is nothing to take back", of)
	}
	s, err := b.writing(act, of)
	if err != nil {
		return err
	}
	return s.UndoPick(ctx, act.By, picks[len(picks)-1].ID, why)
}

// RetireBlock says that a block is no longer followed, or is followed again.
func (b *Bench) RetireBlock(ctx context.Context, act Act, block, why string, retired bool) error {
	act, of, err := b.acting(ctx, act, block)
	if err != nil {
		return err
	}
	s, err := b.writing(act, of)
	if err != nil {
		return err
	}
	if !retired {
		return s.ResumeBlock(ctx, act.By, of, why)
	}
	return s.RetireBlock(ctx, act.By, of, why)
}

// acting gives the signed act and the name of a block as the season has it.
func (b *Bench) acting(ctx context.Context, act Act, block string) (Act, string, error) {
	act, err := b.signed(ctx, act)
	if err != nil {
		return act, "", err
	}
	of, err := b.Block(ctx, block)
	return act, of.Name, err
}
