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

var kills = flag.Int("kills", 16, "how often TestKilled ends a program in the middle of its work")

// Programs are ended at moments nobody chose, again and again: in every verb that
// writes, in bringing an old season up to date, in backups and in making a season.
// What they said was done must be there, nothing may be there in part, check must
// find nothing, and nothing may be left over.
func TestKilled(t *testing.T) {
	var all tally
	var s *Season
	for n := range *kills {
		switch n % 8 {
		case 5:
			killMigration(t)
		case 6:
			killBackup(t)
		case 7:
			killCreate(t)
		default:
			if n%40 == 0 { // another season now and then, so that none grows too large to look through
				s = newSeason(t)
				s.Close()
				all.rows = nil
			}
			all.killVerbs(t, s.Dir(), n)
		}
	}
	t.Logf("%d kills: %d verbs said to be done and there, %d more there, in %v; %d whole photos set aside", *kills, all.said, all.more, all.in, all.aside)
}

// tally counts what was found after kills in verbs.
type tally struct {
	said, more, aside int
	in                map[string]int // the verb that a program was in, or just before
	rows              map[string]bool
}

// killVerbs ends a program that does all verbs, and looks at what it leaves.
func (all *tally) killVerbs(t *testing.T, dir string, n int) {
	t.Helper()
	c := startChild(t, "verbs", dir, strconv.Itoa(n+1), "0s")
	c.says(t, "ready")
	var said []string
	start := time.Now()
	for range rand.IntN(len(verbs)) {
		said = append(said, c.line(t))
	}
	// The moment lies within the time that two verbs take.
	sleepUpTo(2 * time.Since(start) / time.Duration(len(said)+1))
	said = append(said, c.kill()...)
	if all.in == nil {
		all.in = map[string]int{}
	}
	all.in[verbs[len(said)%len(verbs)].name]++
	all.check(t, dir, said)
}

func sleepUpTo(d time.Duration) { time.Sleep(time.Duration(rand.Int64N(int64(d) + 1))) }

// check looks at a season after a kill; said are the sendings that were carried
// out by the word of the program that was ended.
func (all *tally) check(t *testing.T, dir string, said []string) {
	t.Helper()
	s := openWhole(t, dir)
	defer func() {
		s.Close()
		wantClean(t, dir)
	}()
	if all.rows == nil {
		all.rows = map[string]bool{}
	}
	for _, sending := range said {
		if _, ok, err := s.Sent(t.Context(), sending); err != nil || !ok {
			t.Errorf("%s was done and is gone: %v", sending, err)
		}
		all.rows[sending] = true
	}
	// It may have been ended after a verb was done and before it could say so.
	there, seals := count(t, s, "sending"), count(t, s, "seal")
	if more := there - len(all.rows); more > 1 {
		t.Errorf("%d verbs are done of which nobody was told", more)
	} else if more == 1 {
		all.more++
		all.rows["one more "+strconv.Itoa(there)] = true
	}
	// One seal for each verb, one of the migrations, two of making the season.
	if seals != there+3 {
		t.Errorf("%d verbs are done in %d transactions", there, seals)
	}
	unfinished, err := s.Unfinished()
	if err != nil {
		t.Fatal(err)
	}
	all.said += len(said)
	all.aside += len(unfinished)
	for _, path := range unfinished {
		os.Remove(path) // so that each is counted once
	}
}

// openWhole opens a season in which check finds nothing.
func openWhole(t *testing.T, dir string) *Season {
	t.Helper()
	s, err := Open(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	if found, err := s.Check(t.Context()); err != nil || len(found) > 0 {
		t.Errorf("after a kill: %v, %v", found, err)
	}
	return s
}

// wantClean fails where anything is left over in a season that is closed.
func wantClean(t *testing.T, dir string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	photos, err := os.ReadDir(filepath.Join(dir, photosName))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range append(entries, photos...) {
		switch name := e.Name(); {
		case e.IsDir() && (len(name) == 2 || name == photosName || name == refsName || name == unfinishedName), name == databaseName:
		default:
			t.Errorf("%s: %s is left over", dir, name)
		}
	}
}

// killMigration ends a program that brings an old season up to date.
func killMigration(t *testing.T) {
	t.Helper()
	name := oldSeasons[rand.IntN(len(oldSeasons))]
	dir := copySeason(t, name)
	c := startChild(t, "open", dir)
	sleepUpTo(60 * time.Millisecond)
	c.kill()
	s := openWhole(t, dir)
	if got := figures(t, s); got != oldFigures(t, name) {
		t.Errorf("%s: the figures are others after a kill", name)
	}
	s.Close()
	wantClean(t, dir)
}

// killBackup ends a program that makes one backup after the other.
func killBackup(t *testing.T) {
	t.Helper()
	dir, parent := copySeason(t, oldSeasons[0]), t.TempDir()
	c := startChild(t, "backup", dir, parent)
	c.says(t, "ready")
	start := time.Now()
	said := []string{c.line(t)}
	sleepUpTo(time.Since(start))
	said = append(said, c.kill()...)
	s := openWhole(t, dir)
	defer s.Close()
	left, err := filepath.Glob(filepath.Join(parent, halfWritten+"*"))
	must(t, err)
	for _, at := range left { // a while ago
		must(t, os.Chtimes(at, start, start.Add(-unclaimed)))
	}
	if found, err := s.Backup(t.Context(), filepath.Join(parent, "last")); err != nil || len(found) > 0 {
		t.Errorf("%v, %v", found, err)
	}
	entries, err := os.ReadDir(parent)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		openWhole(t, filepath.Join(parent, e.Name())).Close()
		wantClean(t, filepath.Join(parent, e.Name()))
	}
	if n := len(entries); n < len(said)+1 || n > len(said)+2 {
		t.Errorf("%d backups were made, and %d are there", len(said)+1, n)
	}
}

// killCreate ends a program that makes one season after the other.
func killCreate(t *testing.T) {
	t.Helper()
	parent := t.TempDir()
	c := startChild(t, "create", parent)
	said := []string{c.line(t)}
	sleepUpTo(50 * time.Millisecond)
	said = append(said, c.kill()...)
	next := filepath.Join(parent, strconv.Itoa(len(said)))
	s, err := Create(t.Context(), next)
	if err != nil { // it was made, and nobody was told
		s = openWhole(t, next)
	}
	s.Close()
	for n := range len(said) + 1 {
		dir := filepath.Join(parent, strconv.Itoa(n))
		openWhole(t, dir).Close()
		wantNames(t, dir, photosName, refsName, databaseName)
	}
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
