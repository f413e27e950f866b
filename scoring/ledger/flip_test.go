package ledger

import (
	"flag"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
)

var flips = flag.Int("flips", 20, "in how many tries TestFlips changes a byte of stored figures")

// A byte anywhere in the database is changed. Where the season still opens and
// check finds nothing, every row must be as it was: the byte held no figure.
func TestFlips(t *testing.T) {
	full := fullSeason(t)
	full.Close()
	old := openCopy(t, oldSeasons[0]) // rows that were sealed when it was brought up to date
	old.Close()
	for _, s := range []*Season{full, old} {
		whole, err := os.ReadFile(s.database())
		if err != nil {
			t.Fatal(err)
		}
		want, err := rawRows(t, s.Dir())
		if err != nil {
			t.Fatal(err)
		}
		told, idle := map[string]int{}, 0
		for tried := 0; tried < *flips/2; {
			at, by := rand.IntN(len(whole)), byte(1+rand.IntN(255))
			whole[at] ^= by
			if err := os.WriteFile(s.database(), whole, 0o644); err != nil {
				t.Fatal(err)
			}
			whole[at] ^= by
			teller := findsDamage(t, s.Dir())
			got, err := rawRows(t, s.Dir())
			switch {
			case err == nil && got == want && teller == "": // found or not, it changed no row
				idle++
				continue
			case teller == "":
				t.Errorf("byte %d, changed by %#x, went unseen: %v", at, by, err)
			case teller == "an error of check":
				t.Errorf("byte %d, changed by %#x: check gave an error and no finding", at, by)
			}
			tried++
			told[teller]++
		}
		t.Logf("told by %v; %d bytes held nothing", told, idle)
	}
}

// findsDamage says who tells that a season is damaged; empty for nobody.
func findsDamage(t *testing.T, dir string) string {
	t.Helper()
	defer removeLog(dir)
	s, err := Open(t.Context(), dir)
	if err != nil {
		return "open"
	}
	defer s.Close()
	found, err := s.Check(t.Context())
	switch {
	case err != nil:
		return "an error of check"
	case len(found) > 0:
		return "check"
	}
	return ""
}

func removeLog(dir string) {
	for _, end := range []string{"-wal", "-shm"} {
		os.Remove(dir + "/" + databaseName + end)
	}
}

// rawRows gives every row of every table, read past all that the program checks.
func rawRows(t *testing.T, dir string) (string, error) {
	t.Helper()
	defer removeLog(dir)
	s, err := Open(t.Context(), dir)
	if err != nil {
		return "", err
	}
	defer s.Close()
	var b strings.Builder
	err = s.transact(t.Context(), nil, func(r reader, _ standing) error {
		for _, table := range append(sealedTables(), "seal") {
			digest, _, err := r.digestRows(table, -1<<62, 1<<62)
			if err != nil {
				return err
			}
			b.WriteString(table + " " + digest + "\n")
		}
		return nil
	})
	return b.String(), err
}
