package jpeg

import (
	"testing"
	"unsafe"
)

// The memory that rows on their way take is promised to whoever plans with it.
func TestBlockBytes(t *testing.T) {
	if got := unsafe.Sizeof(block{}); got > blockBytes {
		t.Errorf("a block takes %d bytes, want at most %d", got, blockBytes)
	}
}
