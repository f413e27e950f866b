package ledger

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"testing"
	"time"

	"traystage/scoring"
	"traystage/scoring/instrument"
)

// Whatever lies in season.db, it is opened or refused, read or refused, without a
// crash and in time, and check tells of what cannot be read.
func FuzzSeason(f *testing.F) {
	dir := filepath.Join(f.TempDir(), "larkfield")
	s, err := Create(context.Background(), dir)
	must(f, err, s.AddBlock(context.Background(), "ab", scoring.Block{Name: "North 3"}))
	tray := trayOf(1, 1, 2)
	tray.Head = &scoring.Sample{}
	_, err = s.StoreTray(context.Background(), tray)
	must(f, err, s.Close())
	whole, err := os.ReadFile(s.database())
	must(f, err)
	// A season is too long to be mutated well: a change of it is the seed.
	f.Add(uint32(0), []byte{})
	f.Add(uint32(68), []byte{1})
	f.Add(uint32(100), []byte{0x0d, 0, 0, 0xff, 0xff})
	f.Add(uint32(4096), []byte("\x05\x00\x00\x00\x01"))
	f.Fuzz(func(t *testing.T, at uint32, change []byte) {
		b := append([]byte{}, whole...)
		copy(b[int(at)%len(b):], change)
		must(t, os.WriteFile(s.database(), b, 0o644))
		removeLog(dir)
		ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
		defer cancel()
		again, err := Open(ctx, dir)
		if err != nil {
			return
		}
		defer again.Close()
		found, err := again.Check(ctx)
		if ctx.Err() != nil {
			t.Fatalf("check takes too long: %v", err)
		}
		_, failed := again.Load(ctx, "North 3")
		if failed != nil && err == nil && len(found) == 0 {
			t.Errorf("check finds nothing, and yet: %v", failed)
		}
	})
}

// What is kept in one column comes back as it was, or is refused.
func FuzzColumns(f *testing.F) {
	f.Add([]byte(`[[7.2,"kgf"],[7.4,"kgf"]]`))
	f.Add([]byte(`[1,20,"ab"]`))
	f.Add(packPoints([]scoring.Point{{1, 2}, {3, 4.5}}))
	f.Add([]byte(`[0.25,1]`))
	f.Add([]byte("2026-09-14T08:31:00"))
	f.Fuzz(func(t *testing.T, b []byte) {
		if points, err := unpackPoints(b); err == nil && string(packPoints(points)) != string(b) {
			t.Errorf("%x comes back as %x", b, packPoints(points))
		}
		if sides, err := sidesOf(string(b)); err == nil {
			columns, err := readingColumns(instrument.Reading{Firmness: &instrument.Firmness{Sides: sides}})
			must(t, err)
			again, err := sidesOf(columns[0].value.(string))
			if err != nil || len(sides) > 0 && !reflect.DeepEqual(again, sides) {
				t.Errorf("%s comes back as %v, %v", b, again, err)
			}
		}
		var st, same stretch
		if json.Unmarshal(b, &st) == nil {
			text, err := json.Marshal(st)
			must(t, err, json.Unmarshal(text, &same))
			if same != st {
				t.Errorf("%s comes back as %s", b, text)
			}
		}
		var fractions []float64
		var at time.Time
		list[float64]{&fractions}.Scan(string(b))
		moment{&at, cameraLayout}.Scan(string(b))
		if placeRight(string(b), hashOf(nil)) && filepath.Dir(string(b)) != "e3" {
			t.Errorf("%q is the place of a photo", b)
		}
	})
}
