package ledger

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"traystage/scoring"
)

// wantNames fails unless a folder holds exactly these names.
func wantNames(t *testing.T, dir string, want ...string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range entries {
		got = append(got, e.Name())
	}
	if strings.Join(got, " ") != strings.Join(want, " ") {
		t.Errorf("%s holds %q, want %q", dir, got, want)
	}
}

// smallDisk mounts a disk of its own in memory, which only root may.
func smallDisk(t *testing.T, size string) string {
	t.Helper()
	dir := t.TempDir()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size="+size); err != nil {
		t.Skipf("a small disk cannot be mounted here: %v", err)
	}
	t.Cleanup(func() { syscall.Unmount(dir, syscall.MNT_DETACH) })
	return dir
}

// createOn makes a season with one sample in a folder.
func createOn(t *testing.T, dir string) *Season {
	t.Helper()
	s, err := Create(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	addSample(t, s, "North 3", picked)
	return s
}

// Trays are stored until the disk is full: with small photos it is so at the
// rows, with large ones at the photo.
func TestFullDisk(t *testing.T) {
	atPhoto := map[bool]bool{}
	for _, photoSize := range []int{1, 60_000, 1_000_000} {
		disk := smallDisk(t, "2m")
		s := createOn(t, filepath.Join(disk, "larkfield"))
		stored := 0
		var err error
		for ; err == nil && stored < 1000; stored++ {
			tray := trayOf(stored, 1+20*stored, 20)
			tray.Photo = photoOf(stored, photoSize+stored)
			tray.Report.PhotoHash = ""
			_, err = s.StoreTray(t.Context(), tray)
		}
		stored-- // the last one was refused
		wantError(t, err, ErrFull, s.Dir(), "make room")
		atPhoto[strings.HasPrefix(err.Error(), s.photos())] = true
		if n := len(load(t, s).Trays); n != stored || stored == 0 {
			t.Errorf("photos of %d bytes: %d trays are there, %d were stored", photoSize, n, stored)
		}
		if found, err := s.Check(t.Context()); err != nil || len(found) > 0 {
			t.Errorf("photos of %d bytes: %v, %v", photoSize, found, err)
		}
		to := filepath.Join(disk, "copy")
		_, err = s.Backup(t.Context(), to)
		wantError(t, err, ErrFull)
		wantNames(t, disk, "larkfield")
		s.Close()
	}
	if len(atPhoto) < 2 {
		t.Errorf("full at the photo: only %v was met, so the test tells little", atPhoto)
	}
}

func TestReadOnlyDisk(t *testing.T) {
	disk := smallDisk(t, "8m")
	s := createOn(t, filepath.Join(disk, "larkfield"))
	store(t, s, trayOf(1, 1, 4), Stored)
	s.Close()
	if err := syscall.Mount("tmpfs", disk, "tmpfs", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""); err != nil {
		t.Skipf("the disk cannot be made read-only: %v", err)
	}
	again, err := Open(t.Context(), s.Dir())
	if err != nil {
		t.Fatal(err)
	}
	defer again.Close()
	if n := len(load(t, again).Trays); n != 1 || !again.ReadOnly() {
		t.Errorf("%d trays, read-only %t", n, again.ReadOnly())
	}
	if found, err := again.Check(t.Context()); err != nil || len(found) > 0 {
		t.Errorf("%v, %v", found, err)
	}
	if _, err := again.Backup(t.Context(), filepath.Join(t.TempDir(), "copy")); err != nil {
		t.Error(err)
	}
	wantError(t, again.AddBlock(t.Context(), "ab", scoring.Block{Name: "East"}), ErrReadOnly, s.database(), "copy the season's folder")
	_, err = Create(t.Context(), filepath.Join(disk, "other"))
	wantError(t, err, ErrReadOnly, filepath.Join(disk, "other"))
}

// A season whose file may not be written to can still be read.
func TestReadOnlyFile(t *testing.T) {
	s := newSeason(t)
	store(t, s, trayOf(1, 1, 4), Stored)
	s.Close()
	forbidWriting(t, s.database())
	again, err := Open(t.Context(), s.Dir())
	if err != nil {
		t.Fatal(err)
	}
	defer again.Close()
	if n := len(load(t, again).Trays); n != 1 {
		t.Errorf("%d trays", n)
	}
	_, err = again.StoreTray(t.Context(), trayOf(2, 5, 4))
	wantError(t, err, ErrReadOnly, s.database(), "permissions")
	wantError(t, again.AddBlock(t.Context(), "ab", scoring.Block{Name: "East"}), ErrReadOnly, s.database())
}

// forbidWriting makes a file read-only, for root too, to whom modes are nothing.
func forbidWriting(t *testing.T, path string) {
	t.Helper()
	if os.Geteuid() != 0 {
		if err := os.Chmod(path, 0o444); err != nil {
			t.Fatal(err)
		}
		return
	}
	if err := syscall.Mount(path, path, "", syscall.MS_BIND, ""); err != nil {
		t.Skipf("a file cannot be made read-only here: %v", err)
	}
	t.Cleanup(func() { syscall.Unmount(path, syscall.MNT_DETACH) })
	if err := syscall.Mount("", path, "", syscall.MS_REMOUNT|syscall.MS_BIND|syscall.MS_RDONLY, ""); err != nil {
		t.Skipf("a file cannot be made read-only here: %v", err)
	}
}

// Two programs do all that can be written in one season at once: each waits for
// its turn. Programs that wrote without a pause could keep each other from the
// lock for longer than they wait.
func TestTwoPrograms(t *testing.T) {
	s := newSeason(t)
	a, b := startChild(t, "verbs", s.Dir(), "1", "10ms"), startChild(t, "verbs", s.Dir(), "2", "10ms")
	var said []string
	for _, c := range []child{a, b} {
		c.says(t, "ready")
	}
	for range len(verbs) + 3 {
		for _, c := range []child{a, b} {
			said = append(said, c.line(t))
		}
	}
	said = append(append(said, a.kill()...), b.kill()...)
	again := openWhole(t, s.Dir())
	defer again.Close()
	for _, sending := range said {
		if _, ok, err := again.Sent(t.Context(), sending); err != nil || !ok {
			t.Errorf("%s was done and is gone: %v", sending, err)
		}
	}
	for _, block := range []string{"Block 1000", "Block 2000"} {
		wantNumbers(t, sampleOn(t, again, block, 0), 1, 2, 3, 4, 5, 10, 6, 9)
	}
}

// While another program writes, what is there can be read; who wants to write
// and will not wait is told so.
func TestOtherProgramHoldsTheLock(t *testing.T) {
	s := newSeason(t)
	c := startChild(t, "lock", s.Dir())
	c.says(t, "ready")
	c.says(t, "locked")
	load(t, s)
	s.db.SetMaxOpenConns(1)
	if _, err := s.db.Exec("PRAGMA busy_timeout = 50"); err != nil {
		t.Fatal(err)
	}
	_, err := s.StoreTray(t.Context(), trayOf(1, 1, 4))
	wantError(t, err, ErrBusy, s.database(), "try again")
	c.in.Close()
	if err := c.cmd.Wait(); err != nil {
		t.Fatal(err)
	}
	store(t, s, trayOf(1, 1, 4), Stored)
}

// Hands on one open season, as those of a desk.
func TestGoroutinesShareASeason(t *testing.T) {
	s := newSeason(t)
	now := s.Now()
	s.Now = func() time.Time { return now }
	var hands sync.WaitGroup
	outcomes := make([]Outcome, 8)
	for i := range outcomes {
		hands.Go(func() {
			tray := trayOf(i/2, 1+20*(i/2), 4) // each twice
			kept, err := s.StoreTray(context.Background(), tray)
			if err != nil {
				t.Error(err)
			}
			outcomes[i] = kept.Outcome
			if _, err := s.Load(context.Background(), "North 3"); err != nil {
				t.Error(err)
			}
		})
	}
	hands.Wait()
	for i := 0; i < len(outcomes); i += 2 {
		if pair := outcomes[i : i+2]; pair[0] == pair[1] {
			t.Errorf("tray %d: both were %q", i/2, pair[0])
		}
	}
	if n := len(load(t, s).Trays); n != 4 {
		t.Errorf("%d trays, want 4", n)
	}
}

// Two programs that make the same season at once make one.
func TestTwoCreate(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "larkfield")
	var hands sync.WaitGroup
	errs := make([]error, 4)
	for i := range errs {
		hands.Go(func() {
			var s *Season
			if s, errs[i] = Create(context.Background(), dir); errs[i] == nil {
				s.Close()
			}
		})
	}
	hands.Wait()
	made := 0
	for _, err := range errs {
		if err == nil {
			made++
		}
	}
	if made != 1 {
		t.Errorf("%d of 4 were made: %v", made, errors.Join(errs...))
	}
	wantNames(t, dir, "photos", "refs", "season.db")
}
