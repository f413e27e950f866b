package ledger

import (
	"path/filepath"
	"strconv"
	"testing"
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
