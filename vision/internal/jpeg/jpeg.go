package jpeg

import (
	"context"
	"errors"
	"fmt"
	"sync"
)

// Picture is a decoded photo.
type Picture struct {
	Cols, Rows int
	BGR        []byte // 3 bytes a pixel, row by row without padding
	// Seam is the height, from 0 at the top to 1, at which the picture changes its
	// brightness or hue as it does where bytes are wrong; 0 for none. Nothing else
	// tells of such damage, and a photo without any may seem to have it.
	Seam float64
}

// ErrDamaged is the answer to data that contradicts itself; the text is a clause
// that follows "the JPEG".
var ErrDamaged = errors.New("")

// ErrUnusual is the answer to kinds of JPEG that are not read; the text is a
// clause that follows "this JPEG".
var ErrUnusual = errors.New("")

func damaged(format string, args ...any) error {
	return fmt.Errorf("%w"+format, append([]any{ErrDamaged}, args...)...)
}

func unusual(format string, args ...any) error {
	return fmt.Errorf("%w"+format, append([]any{ErrUnusual}, args...)...)
}

// MostScans is how many passes over the picture are borne: usual encoders
// write ten or so, and each may take as long as decoding a picture.
const MostScans = 100

// mostVisits bounds the blocks visited in all passes together, for the same reason: a photo
// of 100 megapixels has 2.4 million in each.
const mostVisits = 64_000_000

// Decode decodes a picture of 8 bits and one or three channels, with its sides
// divided by 1, 2, 4 or 8 and rounded up. The size must have been judged before: memory is
// taken for what the header states. It ends early when ctx does.
func Decode(ctx context.Context, b []byte, by int) (Picture, error) {
	if by != 1 && by != 2 && by != 4 && by != 8 {
		return Picture{}, fmt.Errorf("a JPEG cannot be decoded at 1/%d", by)
	}
	d := &decoder{ctx: ctx, b: b, by: by, transform: -1}
	err := d.segments()
	defer d.watch.end()
	if err != nil {
		return Picture{}, err
	}
	if d.progressive {
		if err := d.finish(); err != nil {
			return Picture{}, err
		}
	}
	var seam float64
	var looked sync.WaitGroup
	looked.Go(func() { seam, err = d.findSeam() })
	p := d.picture()
	looked.Wait()
	if err != nil {
		return Picture{}, err
	}
	p.Seam = seam
	return p, ctx.Err()
}

// decoder is one picture on its way.
type decoder struct {
	ctx context.Context
	b   []byte
	at  int // next byte to look at
	by  int

	width, height int
	progressive   bool
	components    []component
	hMax, vMax    int
	mcusX, mcusY  int // MCUs (minimum coded units) across and down
	transform     int // of Adobe's segment; -1 without one

	quant   [4]*[64]int32 // in zigzag order
	dc, ac  [4]*huffman
	restart int // MCUs between two restart markers; 0 for none
	scans   int
	visits  int
	wanted  []bool // rows of MCUs to keep; nil for all

	bits   bits
	loaded int        // where the data in bits begins
	only   *scan      // sequential: the scan that holds all channels,
	starts []rowStart // and where its rows of MCUs begin; nil where there is none, or its codes are gone
	watch  *watch     // over that scan; nil for none
}

// component is one colour channel.
type component struct {
	id     byte
	h, v   int // blocks of an MCU across and down
	table  byte
	across int // blocks of the picture itself, without those that fill up the last MCUs
	down   int
	stride int // blocks of a row with those
	rows   int

	side  int // samples a side that a block becomes
	plane []byte
	edges bool  // of blocks with eight samples a side, the plane has edgeLines alone
	slots []int // place of each row of blocks in the plane; -1 where it is not kept
	quant *[64]int32

	coefs []int16 // of progressive pictures: 64 a block, in zigzag order
	known [64]int8
	done  bool // sequential: its scan has been

	dcTable, acTable byte // of the scan at hand
	last             int32
}

// visit counts blocks against the bound, and looks whether it is time to end.
func (d *decoder) visit(blocks int) error {
	d.visits += blocks
	if d.visits > mostVisits {
		return unusual("goes over its picture too often")
	}
	return d.ctx.Err()
}
