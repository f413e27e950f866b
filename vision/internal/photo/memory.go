package photo

import (
	"context"
	"fmt"

	"golang.org/x/sync/semaphore"
)

// mostMemory is how many bytes all photos that are decoded at the same time may take.
// With what else a program that measures photos needs it stays below 600 MB.
const mostMemory = 300_000_000

var memory = semaphore.NewWeighted(mostMemory)

// memory is about how many bytes decoding takes at most, beside the file itself.
func (h Header) memory(targetLong int) int {
	p := planned(h.Width, h.Height, targetLong)
	out := 2 * 3 * p.Cols * p.Rows // once more where it is turned
	if h.Format == JPEG {
		by := reductionFor(h, targetLong)
		return out + h.coefs + 6*ceilDiv(h.Width, by)*ceilDiv(h.Height, by) // three planes and BGR
	}
	return out + h.bytes*h.Width*h.Height
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
