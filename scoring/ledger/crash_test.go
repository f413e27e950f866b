package ledger

import (
	"flag"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"
)

var kills = flag.Int("kills", 20, "how often TestKilledWhileStoring ends a program that stores trays")

// A program that stores trays is ended at a moment nobody chose, again and again.
// Every tray that it said it had stored must be there, none may be there in part,
// and nothing else may be left in the season.
func TestKilledWhileStoring(t *testing.T) {
	var all tally
	for round := range *kills {
		s := newSeason(t)
		s.Close()
		c := startChild(t, "store", s.Dir(), "1", "0s")
		c.says(t, "ready")
		// The moment lies within the time that one tray takes, which the first
		// trays tell: no other time would do for slow and fast machines alike.
		var said []string
		start := time.Now()
		for range 1 + round%2 {
			said = append(said, c.line(t))
		}
		took := time.Since(start) / time.Duration(len(said))
		time.Sleep(time.Duration(rand.Int64N(int64(took) + 1)))
		all.check(t, s.Dir(), append(said, c.kill()...))
	}
	t.Logf("%d kills: %d trays said to be stored and there, %d more there, %d parts of photos cleared away, %d whole photos set aside",
		*kills, all.said, all.more, all.parts, all.aside)
}

// tally counts what was found after kills.
type tally struct{ said, more, parts, aside int }

// check looks at a season after a kill; said are the photos whose trays are
// stored by the word of the program that was ended.
func (all *tally) check(t *testing.T, dir string, said []string) {
	t.Helper()
	parts, err := filepath.Glob(filepath.Join(dir, photosName, halfWritten+"*"))
	if err != nil {
		t.Fatal(err)
	}
	s, err := Open(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	found, err := s.Check(t.Context())
	if err != nil || len(found) > 0 {
		t.Fatalf("after a kill: %v, %v", found, err)
	}
	unfinished, err := s.Unfinished()
	if err != nil {
		t.Fatal(err)
	}
	whole := map[string]bool{}
	for _, tray := range load(t, s).Trays {
		if len(tray.Fruit) != 20 || len(tray.Fruit[19].Place.Outline) != 120 {
			t.Errorf("%s is half stored", tray.PhotoHash)
		}
		whole[tray.PhotoHash] = true
	}
	for _, hash := range said {
		if !whole[hash] {
			t.Errorf("%s was stored and is gone", hash)
		}
	}
	// It may have been ended after a tray was stored and before it could say so.
	if more := len(whole) - len(said); more > 1 {
		t.Errorf("%d trays are there of which nobody was told", more)
	}
	all.said += len(said)
	all.more += len(whole) - len(said)
	all.parts += len(parts)
	all.aside += len(unfinished)
}

// What a kill leaves at each step of storing is made by hand, so that every step
// is met at every run.
func TestClearsAway(t *testing.T) {
	s := newSeason(t)
	store(t, s, trayOf(1, 1, 4), Stored)
	part := filepath.Join(s.photos(), halfWritten+"123")
	tray := trayOf(2, 5, 4)
	file := photoFile(hashOf(tray.Photo), tray.Report.Photo)
	for path, content := range map[string][]byte{part: tray.Photo[:100], s.photoPath(file): tray.Photo} {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, content, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	found, err := s.Check(t.Context())
	if err != nil || len(found) != 2 {
		t.Errorf("before: %v, %v", found, err)
	}
	again, err := Open(t.Context(), s.Dir()) // the first one is still open, as a program that was ended would be
	if err != nil {
		t.Fatal(err)
	}
	defer again.Close()
	if found, err := again.Check(t.Context()); err != nil || len(found) > 0 {
		t.Errorf("after: %v, %v", found, err)
	}
	unfinished, err := again.Unfinished()
	if err != nil || len(unfinished) != 1 {
		t.Fatalf("%v, %v", unfinished, err)
	}
	kept, err := os.ReadFile(unfinished[0])
	if err != nil || hashOf(kept) != hashOf(tray.Photo) {
		t.Errorf("the photo set aside is not what it was: %v", err)
	}
	store(t, again, tray, Stored)
	if n := len(load(t, s).Trays); n != 2 {
		t.Errorf("%d trays, want 2", n)
	}
}
