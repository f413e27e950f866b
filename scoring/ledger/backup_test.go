package ledger

import (
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"
)

// Each backup made while another program stores trays is whole: every tray that
// was stored before it began is in it, with its photo, and none in part.
func TestBackupWhileAnotherWrites(t *testing.T) {
	s := newSeason(t)
	c := startChild(t, "store", s.Dir(), "0", "0s")
	defer c.kill()
	c.says(t, "ready")
	for n := range 3 {
		last := c.line(t)
		to := filepath.Join(t.TempDir(), "copy"+strconv.Itoa(n))
		if found, err := s.Backup(t.Context(), to); err != nil || len(found) > 0 {
			t.Fatalf("%v, %v", found, err)
		}
		b, err := Open(t.Context(), to)
		if err != nil {
			t.Fatal(err)
		}
		if found, err := b.Check(t.Context()); err != nil || len(found) > 0 {
			t.Errorf("%v, %v", found, err)
		}
		if _, err := b.Photo(t.Context(), last); err != nil {
			t.Errorf("stored before the backup began: %v", err)
		}
		b.Close()
	}
}

// What an ended backup left goes with the next, and not what another only just began.
func TestBackupClearsAway(t *testing.T) {
	s, parent := newSeason(t), t.TempDir()
	left, begun := filepath.Join(parent, halfWritten+"left"), filepath.Join(parent, halfWritten+"begun")
	long := time.Now().Add(-time.Hour)
	must(t, os.Mkdir(left, 0o777), os.WriteFile(filepath.Join(left, claimName), nil, 0o666), os.Chtimes(left, long, long))
	must(t, os.Mkdir(begun, 0o777), os.WriteFile(filepath.Join(begun, claimName), nil, 0o666))
	if found, err := s.Backup(t.Context(), filepath.Join(parent, "copy")); err != nil || len(found) > 0 {
		t.Fatalf("%v, %v", found, err)
	}
	wantNames(t, parent, halfWritten+"begun", "copy")
}
