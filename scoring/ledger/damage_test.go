package ledger

import (
	"bytes"
	"os"
	"testing"
)

// spoilPage closes a season and writes over the last page of a table or index of
// its database.
func spoilPage(t *testing.T, s *Season, table string) {
	t.Helper()
	var page, size int64
	err := s.db.QueryRow("SELECT max(pageno), max(pgsize) FROM dbstat WHERE name = ?", table).Scan(&page, &size)
	if err != nil {
		t.Fatal(err)
	}
	s.Close() // so that nothing lies in the log
	f, err := os.OpenFile(s.database(), os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if _, err := f.WriteAt(bytes.Repeat([]byte{0xa5}, int(size)), (page-1)*size); err != nil {
		t.Fatal(err)
	}
}

// An index that is damaged goes unseen by whoever does not need it.
func TestCheckFindsDamagedPage(t *testing.T) {
	for _, table := range []string{"block_entry", "tray", "scoring", "half", "outline", "review", "review_of", "reading_of"} {
		t.Run(table, func(t *testing.T) {
			s := fullSeason(t)
			spoilPage(t, s, table)
			s, err := Open(t.Context(), s.Dir())
			if err != nil {
				t.Fatal(err)
			}
			defer s.Close()
			found, err := s.Check(t.Context())
			if err != nil || len(found) == 0 || found[0].Where != databaseName || found[0].Do != advice[ErrDamaged] {
				t.Errorf("%v, %v", found, err)
			}
		})
	}
}
