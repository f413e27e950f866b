package ledger

import (
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
)

// damage does to a season what no method does: rows are changed past their
// triggers, which are put back.
func damage(t *testing.T, s *Season, statements ...string) {
	t.Helper()
	s.db.SetMaxOpenConns(1) // so that the setting and the change meet
	all := []string{"PRAGMA foreign_keys = off"}
	for key := range expectedSchema() {
		if name, ok := strings.CutPrefix(key, "trigger "); ok {
			all = append(all, "DROP TRIGGER "+name)
		}
	}
	all = append(all, statements...)
	for key, statement := range expectedSchema() {
		if strings.HasPrefix(key, "trigger ") {
			all = append(all, statement)
		}
	}
	for _, statement := range all {
		if _, err := s.db.Exec(statement); err != nil {
			t.Fatalf("%s: %v", statement, err)
		}
	}
}

func TestCheckFinds(t *testing.T) {
	tray := trayOf(1, 1, 4)
	file := photoFile(tray.Report.PhotoHash, tray.Report.Photo)
	write := func(name, content string) func(*testing.T, *Season) {
		return func(t *testing.T, s *Season) {
			path := filepath.Join(s.photos(), filepath.FromSlash(name))
			if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(path, []byte(content), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	for _, row := range []struct {
		name  string
		do    func(*testing.T, *Season)
		want  string // one of the findings
		count int
	}{
		{"nothing wrong", func(*testing.T, *Season) {}, "", 0},
		{"photo gone", func(t *testing.T, s *Season) { os.Remove(s.photoPath(file)) }, "photos/" + file + ": the photo is missing; put the file of the last backup in its place", 1},
		{"photo changed", write(file, "other"), "photos/" + file + ": it is not the photo that was stored: its bytes have changed", 1},
		{"photo on no tray", write("ab/mine.jpg", "mine"), "photos/ab/mine.jpg: it is on no tray", 1},
		{"part of a photo", write(halfWritten+"7", "mi"), "photos/" + halfWritten + "7: it is part of a photo", 1},
		{"halves gone", func(t *testing.T, s *Season) {
			damage(t, s, "DELETE FROM outline WHERE half = 4", "DELETE FROM half WHERE id = 4")
		}, "photos/" + file + ": its tray is not whole: 3 halves and 3 outlines of 4", 3},
		{"scoring gone", func(t *testing.T, s *Season) {
			damage(t, s, "DELETE FROM outline", "DELETE FROM half", "DELETE FROM scoring")
		}, "photos/" + file + ": its tray is not whole: 0 halves", 4},
		{"row of nothing", func(t *testing.T, s *Season) {
			damage(t, s, "INSERT INTO review (half, override, stage, why, at, who) VALUES (99, 0, 0, '', 'x', 'ab')")
		}, "season.db: row 1 of review belongs to a row of half that is not there", 2},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := newSeason(t)
			store(t, s, tray, Stored)
			row.do(t, s)
			found, err := s.Check(t.Context())
			if err != nil || len(found) != row.count {
				t.Fatalf("%v, %v; want %d", found, err, row.count)
			}
			if row.count > 0 && !slices.ContainsFunc(found, func(f Finding) bool { return strings.HasPrefix(f.String(), row.want) }) {
				t.Errorf("%s\nwant %s", found, row.want)
			}
		})
	}
}

// A database that ends too soon, or has other bytes in its middle, is told as
// damaged by whatever meets it first.
func TestDamagedDatabase(t *testing.T) {
	for _, row := range []struct {
		name  string
		spoil func(b []byte) []byte
	}{
		{"no database at all", func(b []byte) []byte { return []byte(strings.Repeat("not a database ", 1000)) }},
		{"cut short", func(b []byte) []byte { return b[:len(b)/2] }},
		{"middle overwritten", func(b []byte) []byte {
			for i := 5000; i < len(b)-5000; i++ {
				b[i] = 0xA5
			}
			return b
		}},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := newSeason(t)
			for i := range 5 {
				store(t, s, trayOf(i, 1+20*i, 20), Stored)
			}
			s.Close()
			b, err := os.ReadFile(s.database())
			if err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(s.database(), row.spoil(b), 0o644); err != nil {
				t.Fatal(err)
			}
			again, err := Open(t.Context(), s.Dir())
			if err != nil {
				wantError(t, err, ErrDamaged, s.database(), "last backup")
				return
			}
			defer again.Close()
			found, err := again.Check(t.Context())
			if err != nil || len(found) == 0 {
				t.Errorf("%v, %v", found, err)
			}
			_, err = again.Load(t.Context(), "North 3")
			wantError(t, err, ErrDamaged, s.database(), "last backup")
			to := filepath.Join(t.TempDir(), "copy")
			if _, err := again.Backup(t.Context(), to); err != nil {
				wantError(t, err, ErrDamaged, s.database())
				if _, err := os.Lstat(to); err == nil {
					t.Error("a backup that failed left a folder")
				}
			}
		})
	}
}

func TestBackup(t *testing.T) {
	s := fullSeason(t)
	if err := os.WriteFile(filepath.Join(s.Refs(), "notes.txt"), []byte("{}"), 0o644); err != nil {
		t.Fatal(err)
	}
	parent := t.TempDir()
	to := filepath.Join(parent, "copy")
	if found, err := s.Backup(t.Context(), to); err != nil || len(found) > 0 {
		t.Fatal(found, err)
	}
	want := load(t, s)
	// What is written later is not in it.
	store(t, s, trayOf(2, 5, 4), Stored)

	copied, err := Open(t.Context(), to)
	if err != nil {
		t.Fatal(err)
	}
	defer copied.Close()
	if found, err := copied.Check(t.Context()); err != nil || len(found) > 0 {
		t.Errorf("the copy: %v, %v", found, err)
	}
	if got := load(t, copied); !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
	if b, err := os.ReadFile(filepath.Join(copied.Refs(), "notes.txt")); err != nil || string(b) != "{}" {
		t.Errorf("reference set: %q, %v", b, err)
	}
	// The copy is a season to go on with.
	store(t, copied, trayOf(3, 5, 4), Stored)
	wantNames(t, parent, "copy")
}

func TestBackupRefuses(t *testing.T) {
	s := fullSeason(t)
	dir := t.TempDir()
	_, err := s.Backup(t.Context(), dir)
	wantError(t, err, nil, dir, "overwrites nothing")
	_, err = s.Backup(t.Context(), filepath.Join(s.Dir(), "photos", "copy"))
	wantError(t, err, nil, "lies in the season")
	_, err = s.Backup(t.Context(), filepath.Join(dir, "no", "such", "folder"))
	wantError(t, err, nil, filepath.Join(dir, "no", "such", "folder"))
	wantNames(t, dir)
}

// A lost photo does not keep the rest from being saved, and is told.
func TestBackupOfDamagedPhotos(t *testing.T) {
	s := newSeason(t)
	for i := range 3 {
		store(t, s, trayOf(i, 1+4*i, 4), Stored)
	}
	path := func(seed int) string {
		r := trayOf(seed, 1, 1).Report
		return s.photoPath(photoFile(r.PhotoHash, r.Photo))
	}
	os.Remove(path(0))
	if err := os.WriteFile(path(1), []byte("other"), 0o644); err != nil {
		t.Fatal(err)
	}
	to := filepath.Join(t.TempDir(), "copy")
	found, err := s.Backup(t.Context(), to)
	if err != nil || len(found) != 2 {
		t.Fatalf("%v, %v; want two", found, err)
	}
	copied, err := Open(t.Context(), to)
	if err != nil {
		t.Fatal(err)
	}
	defer copied.Close()
	if found, err := copied.Check(t.Context()); err != nil || len(found) != 2 {
		t.Errorf("the copy is no better than the season: %v, %v", found, err)
	}
}
