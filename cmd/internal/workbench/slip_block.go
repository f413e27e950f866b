package workbench

import (
	"context"
	"slices"
	"strings"
	"unicode"

	"traystage/scoring"
	"traystage/vision/note"
)

// FirstTray says that a tray is the only one of its block, so that nothing tells
// whether it is another block's.
const FirstTray note.Code = "tray.first"

// PlaceRemarks tells of a block whose only tray may be another's: stage, day and fruit
// have nothing to be held against yet. A season of one block has no other.
func (b *Bench) PlaceRemarks(ctx context.Context, block string) ([]note.Note, error) {
	blocks, err := b.Season.Blocks(ctx)
	if err != nil || len(blocks) < 2 {
		return nil, err
	}
	rows, err := b.Season.Trays(ctx, block)
	counting := slices.DeleteFunc(rows, func(r TrayRow) bool { return !r.Counts })
	if err != nil || len(counting) != 1 {
		return nil, err
	}
	return []note.Note{note.New(FirstTray, note.Name("block", block))}, nil
}

// nameObjections name the block that a new one is almost called as: a season with
// "Mill Row" and "Mil Row" splits the samples of one block.
func nameObjections(name string, blocks []scoring.Block) []note.Note {
	for _, b := range blocks {
		if almost(name, b.Name) {
			return []note.Note{note.New(NameNear, note.Name("other", b.Name))}
		}
	}
	return nil
}

// almost says whether two names differ by how they are written, or by one letter more, less,
// other or exchanged with the next. Blocks that differ by a number or by a letter that stands alone are
// neighbours: "Brook 5" and "Brook 6", "North A" and "North B".
func almost(a, b string) bool {
	const least = 4 // letters and digits of a name in which one can be a slip
	p, q := wordsOf(a), wordsOf(b)
	x, y := []rune(strings.Join(p, "")), []rune(strings.Join(q, ""))
	if len(x) == 0 || len(y) == 0 {
		return false // of other signs alone, which are not compared
	}
	if slices.Equal(x, y) {
		return true
	}
	if min(len(x), len(y)) < least {
		return false
	}
	for i := range min(len(p), len(q)) {
		if len(p) == len(q) && p[i] != q[i] && (marks(p[i]) || marks(q[i])) {
			return false
		}
	}
	return oneSlip(x, y)
}

// wordsOf are the words of a name, in small letters.
func wordsOf(name string) []string {
	return strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}

// marks says whether a word tells blocks of one name apart: a number, a letter.
func marks(word string) bool {
	return len([]rune(word)) == 1 || strings.ContainsFunc(word, unicode.IsDigit)
}

// oneSlip says whether two words differ by one letter more, less or other, or by two that
// changed places.
func oneSlip(x, y []rune) bool {
	if len(x) > len(y) {
		x, y = y, x
	}
	if len(y)-len(x) > 1 {
		return false
	}
	from := 0
	for from < len(x) && x[from] == y[from] {
		from++
	}
	end := 0
	for end < len(x)-from && x[len(x)-1-end] == y[len(y)-1-end] {
		end++
	}
	p, q := x[from:len(x)-end], y[from:len(y)-end]
	return len(q) <= 1 || len(p) == 2 && len(q) == 2 && p[0] == q[1] && p[1] == q[0]
}

// marketObjections name the markets there are, where a block's own has no standard.
func marketObjections(b scoring.Block, standards []scoring.Standard) []note.Note {
	markets := scoring.Markets(b.Variety, standards)
	known := slices.ContainsFunc(markets, func(m string) bool { return strings.EqualFold(m, strings.TrimSpace(b.Market)) })
	if b.Market == "" || known || len(markets) == 0 {
		return nil
	}
	if strings.TrimSpace(b.Variety) == "" {
		return []note.Note{note.New(MarketOfNobody, note.Name("market", b.Market), note.Names("markets", markets))}
	}
	return []note.Note{note.New(MarketUnknown, note.Name("market", b.Market), note.Name("variety", b.Variety), note.Names("markets", markets))}
}
