package photo

import (
	"context"
	"fmt"

	"golang.org/x/sync/semaphore"

	"traystage/vision/internal/jpeg"
)

// mostMemory is how many bytes all photos that are decoded at the same time may take.
// With what else a program that measures photos needs it stays below 600 MB.
const mostMemory = 350_000_000

// Of HEIC: bytes a pixel of what is decoded in one go, bytes of its decoder itself, and
// how many tiles are decoded at the same time at most.
const (
	wholeHEIC   = 25
	moduleBytes = 20_000_000
	atOnce      = 2
)

var memory = semaphore.NewWeighted(mostMemory)

// memory is about how many bytes decoding takes at most, beside the file itself.
func (h Header) memory(targetLong int) int {
	p := planned(h.Width, h.Height, targetLong)
	need := 2*3*p.Cols*p.Rows + h.fixed + h.bytes*h.Width*h.Height // twice where it is turned
	if h.Format == JPEG {
		by := reductionFor(h, targetLong)
		need += 6*ceilDiv(h.Width, by)*ceilDiv(h.Height, by) + jpeg.RowBytes*h.Width // three planes and BGR, rows on their way
	}
	return need
}

// reserve waits until the memory for decoding is free. It must be released afterwards.
func reserve(ctx context.Context, h Header, targetLong int) (release func(), err error) {
	need := int64(h.memory(targetLong))
	if need > mostMemory {
		return nil, fmt.Errorf("%w: decoding %d x %d px stored in this way takes %d MB of memory and the limit is %d; %s, or set the camera to a smaller photo size",
			ErrTooLarge, h.Width, h.Height, need/1e6, int64(mostMemory/1e6), "save it as an ordinary JPEG")
	}
	if err := memory.Acquire(ctx, need); err != nil {
		return nil, err
	}
	return func() { memory.Release(need) }, nil
}
