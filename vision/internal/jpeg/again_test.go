package jpeg

import (
	"bytes"
	"context"
	"testing"

	"gocv.io/x/gocv"
)

// The edges of rows that are decoded again from where they begin are those of the picture decoded whole, with restart
// markers within rows, between them and without any, in colour and in grey, and after all tables came anew.
func TestRowsAgain(t *testing.T) {
	img := scene(800, 600)
	anew := written(t, img, 90)
	tables := anew[bytes.Index(anew, []byte{0xFF, dht}):bytes.Index(anew, []byte{0xFF, sos})]
	anew = append(append(bytes.Clone(anew[:len(anew)-2]), tables...), 0xFF, eoi)
	for name, b := range map[string][]byte{
		"plain":            written(t, img, 90),
		"marked in rows":   written(t, img, 90, gocv.IMWriteJpegRstInterval, 7),
		"marked each row":  written(t, img, 90, gocv.IMWriteJpegRstInterval, 50),
		"marked far apart": written(t, img, 90, gocv.IMWriteJpegRstInterval, 333),
		"grey":             standard(t, grey(img), 90),
		"tables at end":    anew,
		"progressive":      written(t, img, 90, gocv.IMWriteJpegProgressive, 1),
	} {
		whole := &decoder{ctx: context.Background(), b: b, by: 1, transform: -1}
		reduced := &decoder{ctx: context.Background(), b: b, by: 4, transform: -1}
		for _, d := range []*decoder{whole, reduced} {
			if err := d.segments(); err != nil {
				t.Fatal(name, err)
			}
			if d.progressive {
				if err := d.finish(); err != nil {
					t.Fatal(name, err)
				}
			}
		}
		doubtful := make([]bool, reduced.mcusY)
		for _, y := range []int{0, 15, 16, reduced.mcusY - 1} {
			doubtful[y] = true
		}
		e, err := reduced.again(widened(doubtful, aside+1))
		if err != nil {
			t.Fatal(name, err)
		}
		for i := range e.components {
			a, b := &whole.components[i], &e.components[i]
			for y := range a.rows * a.side {
				kept := b.line(y)
				if near := y / a.side / a.v; e.wanted[near] != (kept != nil) {
					t.Fatalf("%s: row %d of MCUs is wanted: %v, kept: %v", name, near, e.wanted[near], kept != nil)
				}
				edge := y%8 < 2 || y%8 > 5
				if kept != nil && edge && !bytes.Equal(kept, a.line(y)) {
					t.Fatalf("%s: channel %d differs in row %d", name, i, y)
				}
			}
		}
	}
}
