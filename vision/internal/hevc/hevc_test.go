package hevc

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The pictures in testdata are one drawn picture of 104 x 72 px, coded by x265 3.5 in the ways that their
// names tell; testdata/README.md has the commands.
func coded(t testing.TB) map[string][][]byte {
	t.Helper()
	files, err := filepath.Glob("testdata/*.hevc")
	if err != nil || len(files) == 0 {
		t.Fatalf("no pictures: %v", err)
	}
	out := map[string][][]byte{}
	for _, f := range files {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		out[strings.TrimSuffix(filepath.Base(f), ".hevc")] = unitsOf(b)
	}
	return out
}

// unitsOf cuts a stream at its start codes (H.265, annex B).
func unitsOf(b []byte) [][]byte {
	var out [][]byte
	for _, u := range bytes.Split(b, []byte{0, 0, 1}) {
		if u = bytes.TrimRight(u, "\x00"); len(u) > 0 {
			out = append(out, u)
		}
	}
	return out
}

const outside = "half_colour" // the one that is not read

// Another program's pictures must be read to the bit where they end.
func TestWhole(t *testing.T) {
	for name, units := range coded(t) {
		var want error
		if name == outside {
			want = ErrUnknown
		}
		if err := Whole(units); !errors.Is(err, want) {
			t.Errorf("%s: %v, want %v", name, err, want)
		}
		for _, u := range units {
			if w, h, stated, ok := Size(u); stated && (!ok || w != 104 || h != 72) && name != "large_blocks" {
				t.Errorf("%s: %d x %d px, %v", name, w, h, ok)
			}
		}
	}
}

// with gives units of which one is another.
func with(units [][]byte, i int, u []byte) [][]byte {
	out := append([][]byte(nil), units...)
	out[i] = u
	return out
}

// A wrong bit is missed only where it changes a sign or what is left of a coefficient and the
// range is a power of two just then: then nothing after it is read otherwise. It spoils one block.
func TestWrongBit(t *testing.T) {
	tried, missed := 0, 0
	for name, units := range coded(t) {
		if name == outside {
			continue
		}
		for i, u := range units {
			if kindOf(u) > lastCoded {
				continue
			}
			for at := 8 * unitHead; at < 8*len(u); at += 61 {
				b := bytes.Clone(u)
				b[at/8] ^= 1 << (at % 8)
				if tried++; Whole(with(units, i, b)) == nil {
					missed++
				}
			}
		}
	}
	t.Logf("%d of %d missed", missed, tried)
	if missed*25 > tried {
		t.Errorf("%d of %d wrong bits are missed", missed, tried)
	}
}

// Symbols that are as likely are read as they stand, so that reading may find its way back by chance.
func TestLostBytes(t *testing.T) {
	tried, missed := 0, 0
	try := func(units [][]byte) {
		if tried++; Whole(units) == nil {
			missed++
		}
	}
	for name, units := range coded(t) {
		if name == outside {
			continue
		}
		for i, u := range units {
			if kindOf(u) > lastCoded {
				continue
			}
			for at := unitHead; at+3 < len(u); at += 23 {
				try(with(units, i, append(bytes.Clone(u[:at]), u[at+2:]...)))
				try(with(units, i, append(bytes.Clone(u[:at+2]), u[at:]...)))
				if Whole(with(units, i, u[:at])) == nil {
					t.Errorf("%s: cut off at %d of %d, and it is taken for whole", name, at, len(u))
				}
			}
			if Whole(with(units, i, nil)) == nil {
				t.Errorf("%s: without unit %d it is taken for whole", name, i)
			}
		}
	}
	t.Logf("%d of %d missed", missed, tried)
	if missed*500 > tried {
		t.Errorf("of %d places where bytes were lost or doubled %d are missed", tried, missed)
	}
}

// Whatever the bytes, reading ends and stays within its tables.
func FuzzWhole(f *testing.F) {
	for _, units := range coded(f) {
		f.Add(bytes.Join(units, []byte{0, 0, 1}))
	}
	f.Fuzz(func(_ *testing.T, b []byte) {
		units := unitsOf(b)
		for _, u := range units {
			if w, h, stated, ok := Size(u); stated && ok && w*h > 1<<22 {
				return // its reader refuses what is larger than stated
			}
		}
		_ = Whole(units)
	})
}

func BenchmarkWhole(b *testing.B) {
	units := coded(b)["lossless"]
	size := 0
	for _, u := range units {
		size += len(u)
	}
	b.SetBytes(int64(size))
	for b.Loop() {
		if err := Whole(units); err != nil {
			b.Fatal(err)
		}
	}
}
