package photo

import (
	"bytes"
	"context"
	"errors"
	"testing"
)

// Where a copy failed, a part of a file is zeros. No encoder writes three of them in a row, so
// that this is told wherever it is among the coded data.
func TestHEICWithAHole(t *testing.T) {
	whole := gridHEIC(t, 2, 1, 2*tileWidth, tileHeight, 0)
	limits := Limits{MaxPixels: 1e8, TargetLong: lookedAt}
	if _, err := Load(context.Background(), whole, limits); err != nil {
		t.Fatal(err)
	}
	from := bytes.Index(whole, []byte("mdat")) + 4
	if from < 4 {
		t.Fatal("there are no coded data")
	}
	const hole = 8
	for at := from; at+hole < len(whole); at += hole {
		b := bytes.Clone(whole)
		clear(b[at : at+hole])
		if _, err := Load(context.Background(), b, limits); !errors.Is(err, ErrDamaged) && !errors.Is(err, ErrCutShort) && !errors.Is(err, ErrNotPhoto) {
			t.Errorf("zeros at %d of %d: %v", at, len(b), err)
		}
	}
}
