package ledger

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"traystage/scoring"
)

// lockDisk makes a mounted disk one that can only be read.
func lockDisk(t *testing.T, disk string) {
	t.Helper()
	if err := syscall.Mount("tmpfs", disk, "tmpfs", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""); err != nil {
		t.Skipf("the disk cannot be made read-only: %v", err)
	}
}

// A season on a disk that is locked can be read, also where it must be brought up
// to date first, and where a program that was ended left its log behind.
func TestLockedDisk(t *testing.T) {
	for name, fill := range map[string]func(t *testing.T, dir string) int{
		"closed": func(t *testing.T, dir string) int {
			s := createOn(t, dir)
			store(t, s, trayOf(1, 1, 4), Stored)
			must(t, s.Close())
			return 1
		},
		"with its log": func(t *testing.T, dir string) int {
			createOn(t, dir).Close()
			c := startChild(t, "store", dir, "1", "0s")
			c.says(t, "ready")
			c.line(t)
			c.line(t)
			return len(c.kill()) + 2
		},
		"old": func(t *testing.T, dir string) int {
			must(t, os.CopyFS(dir, os.DirFS(copySeason(t, oldSeasons[0]))))
			return 4
		},
	} {
		t.Run(name, func(t *testing.T) {
			disk := smallDisk(t, "40m")
			dir := filepath.Join(disk, "larkfield")
			want := fill(t, dir)
			lockDisk(t, disk)
			temporary := t.TempDir()
			t.Setenv("TMPDIR", temporary)
			s, err := Open(t.Context(), dir)
			must(t, err)
			all, err := s.LoadAll(t.Context())
			trays := 0
			for _, sample := range all {
				trays += len(sample.Trays)
			}
			// One tray may have been stored of which the program could not say so.
			if err != nil || trays != want && (name != "with its log" || trays != want+1) {
				t.Errorf("%d trays, %v; want %d", trays, err, want)
			}
			if name == "old" && figures(t, s) != oldFigures(t, oldSeasons[0]) {
				t.Error("the figures are others")
			}
			if name != "with its log" { // of whose last photo a part may lie there
				if got := findings(t, s); got != "" {
					t.Error(got)
				}
			}
			wantError(t, s.AddBlock(t.Context(), "ab", scoring.Block{Name: "East"}), ErrReadOnly, filepath.Join(dir, databaseName), "cannot be written to")
			if _, err := s.Backup(t.Context(), filepath.Join(t.TempDir(), "copy")); err != nil {
				t.Error(err)
			}
			must(t, s.Close())
			wantNames(t, temporary)
		})
	}
}

// On a disk without any room what is there can be read, and every verb says what
// is the matter.
func TestNoRoomAtAll(t *testing.T) {
	disk := smallDisk(t, "3m")
	dir := filepath.Join(disk, "larkfield")
	s := createOn(t, dir)
	store(t, s, trayOf(1, 1, 4), Stored)
	fill := func() {
		t.Helper()
		f, err := os.Create(filepath.Join(disk, "rest"))
		must(t, err)
		defer f.Close()
		for _, size := range []int{1 << 16, 4096, 1} {
			for {
				if _, err := f.Write(make([]byte, size)); err != nil {
					break
				}
			}
		}
	}
	fill()
	for i, v := range verbs[:3] {
		err := v.do(newRound(t.Context(), i), s)
		if i != 1 && i != 2 { // these ask for a block that could not be added
			wantError(t, err, ErrFull, "disk is full", "make room")
		}
	}
	_, err := s.Backup(t.Context(), filepath.Join(disk, "copy"))
	wantError(t, err, ErrFull, "disk is full")
	_, err = Create(t.Context(), filepath.Join(disk, "other"))
	wantError(t, err, ErrFull, "disk is full")
	must(t, s.Close())
	again, err := Open(t.Context(), dir)
	must(t, err)
	defer again.Close()
	if n := len(load(t, again).Trays); n != 1 {
		t.Errorf("%d trays", n)
	}
	err = again.AddBlock(t.Context(), "ab", scoring.Block{Name: "East"})
	wantError(t, err, ErrFull, "disk is full")
	if strings.Contains(err.Error(), "permissions") {
		t.Error(err)
	}
	must(t, os.Remove(filepath.Join(disk, "rest")))
	again.Close()
	last := openWhole(t, dir)
	defer last.Close()
	must(t, last.AddBlock(t.Context(), "ab", scoring.Block{Name: "East"}))
}
