package ledger

import (
	"flag"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"
)

var kills = flag.Int("kills", 10, "how often TestKilledWhileStoring ends a program that stores trays")

// A program that stores trays is ended at a moment nobody chose, again and again.
// Every tray that it said it had stored must be there, none may be there in part,
// and nothing else may be left in the season.
func TestKilledWhileStoring(t *testing.T) {
	s := newSeason(t)
	dir := s.Dir()
	// Moments are chosen within the time that a few trays take on this machine.
	start := time.Now()
	first := trayOf(999_999, 999_981, 20)
	store(t, s, first, Stored)
	window := max(300*time.Millisecond, 2*time.Since(start))
	s.Close()
	stored := map[string]bool{}
	setAside, partial := 0, 0
	for round := range *kills {
		c := startChild(t, "store", dir, strconv.Itoa(1000*round))
		c.says(t, "ready")
		time.Sleep(time.Duration(rand.Int64N(int64(window))))
		for _, hash := range c.kill() {
			stored[hash] = true
		}
		parts, err := filepath.Glob(filepath.Join(dir, photosName, halfWritten+"*"))
		if err != nil {
			t.Fatal(err)
		}
		partial += len(parts)
		checkAfterKill(t, dir, stored, &setAside)
	}
	t.Logf("%d kills: %d trays stored, %d parts of photos cleared away, %d whole photos set aside", *kills, len(stored), partial, setAside)
	if len(stored) == 0 {
		t.Error("no tray was stored, so the test tells nothing")
	}
}

func checkAfterKill(t *testing.T, dir string, stored map[string]bool, setAside *int) {
	t.Helper()
	s, err := Open(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	found, err := s.Check(t.Context())
	if err != nil || len(found) > 0 {
		t.Fatalf("after a kill: %v, %v", found, err)
	}
	whole := map[string]bool{}
	for _, tray := range load(t, s).Trays {
		if len(tray.Fruit) != 20 || len(tray.Fruit[19].Place.Outline) != 120 {
			t.Errorf("%s is half stored", tray.PhotoHash)
		}
		whole[tray.PhotoHash] = true
	}
	for hash := range stored {
		if !whole[hash] {
			t.Errorf("%s was stored and is gone", hash)
		}
	}
	// At most one tray more, that was stored before the program could say so.
	for hash := range whole {
		stored[hash] = true
	}
	unfinished, err := s.Unfinished()
	if err != nil {
		t.Fatal(err)
	}
	*setAside = len(unfinished)
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
