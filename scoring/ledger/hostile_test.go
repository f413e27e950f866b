package ledger

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"traystage/calibrate"
	"traystage/scoring"
)

// findings gives what check finds, a line each.
func findings(t *testing.T, s *Season) string {
	t.Helper()
	found, err := s.Check(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	var lines []string
	for _, f := range found {
		lines = append(lines, f.String())
	}
	return strings.Join(lines, "\n")
}

// reopen closes a season, does something to its folder and opens it again.
func reopen(t *testing.T, s *Season, do func()) (*Season, error) {
	t.Helper()
	must(t, s.Close())
	do()
	again, err := Open(t.Context(), s.Dir())
	if err == nil {
		t.Cleanup(func() { again.Close() })
	}
	return again, err
}

// execute runs statements on the database of a season past the program.
func execute(t *testing.T, s *Season, statements ...string) {
	t.Helper()
	db, err := sql.Open("sqlite", s.database())
	must(t, err)
	defer db.Close()
	db.SetMaxOpenConns(1)
	for _, statement := range statements {
		if _, err := db.Exec(statement); err != nil {
			t.Fatalf("%s: %v", statement, err)
		}
	}
}

// An emptied or foreign season.db is never taken for a new season, nor touched.
func TestNoSeason(t *testing.T) {
	for _, row := range []struct {
		name  string
		spoil func(t *testing.T, s *Season)
		kind  error
		words string
	}{
		{"emptied", func(t *testing.T, s *Season) { must(t, os.WriteFile(s.database(), nil, 0o644)) }, ErrNotSeason, "was emptied"},
		{"only zeros", func(t *testing.T, s *Season) { must(t, os.WriteFile(s.database(), make([]byte, 8192), 0o644)) }, ErrDamaged, "no database"},
		{"a few bytes", func(t *testing.T, s *Season) { must(t, os.Truncate(s.database(), 60)) }, ErrDamaged, "no database"},
		{"foreign", func(t *testing.T, s *Season) { execute(t, s, "PRAGMA application_id = 7") }, ErrNotSeason, "another program"},
		{"tables gone", func(t *testing.T, s *Season) {
			must(t, os.Remove(s.database()))
			execute(t, s, "PRAGMA application_id = 1414682963", "CREATE TABLE a (b)")
		}, ErrNotSeason, "tables are gone"},
		{"version gone", func(t *testing.T, s *Season) { execute(t, s, "DELETE FROM goose_db_version") }, ErrNotSeason, "tables are gone"},
		{"all gone but the mark", func(t *testing.T, s *Season) {
			must(t, os.Remove(s.database()))
			execute(t, s, "PRAGMA application_id = 1414682963")
		}, ErrNotSeason, "tables are gone"},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := fullSeason(t)
			var before []byte
			_, err := reopen(t, s, func() {
				row.spoil(t, s)
				var err error
				before, err = os.ReadFile(s.database())
				must(t, err)
			})
			wantError(t, err, row.kind, s.database(), row.words)
			after, err := os.ReadFile(s.database())
			const modes = 100 // how the file is written stands in its first bytes
			if err != nil || len(after) != len(before) || len(after) > modes && string(after[modes:]) != string(before[modes:]) {
				t.Errorf("the file was touched: %v", err)
			}
		})
	}
}

// What others made in the database is named; what could change what is written
// stops writing, and what could change what is read stops reading.
func TestAlteredTables(t *testing.T) {
	const forever = `WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n) SELECT i FROM n`
	for _, row := range []struct {
		name        string
		statements  []string
		words       string
		read, write bool
	}{
		{"view", []string{"CREATE VIEW current_block AS " + forever}, "view current_block that this program did not make", true, true},
		{"table", []string{"CREATE TABLE notes (text)"}, "table notes", true, true},
		{"index", []string{"CREATE INDEX mine ON half (stage)"}, "index mine", true, true},
		{"trigger", []string{"CREATE TRIGGER mine AFTER INSERT ON block BEGIN INSERT INTO block_entry SELECT * FROM (" + forever + "); END"}, "trigger mine", true, false},
		{"trigger on the migrations' table", []string{"CREATE TRIGGER mine AFTER INSERT ON goose_db_version BEGIN SELECT 1; END"}, "trigger mine", true, false},
		{"trigger gone", []string{"DROP TRIGGER half_no_update"}, "trigger half_no_update is missing", true, false},
		{"trigger without teeth", []string{"DROP TRIGGER half_no_update", "CREATE TRIGGER half_no_update BEFORE UPDATE ON half BEGIN SELECT 1; END"},
			"trigger half_no_update is not as this program made it", true, false},
		{"index gone", []string{"DROP INDEX review_of"}, "index review_of is missing", true, false},
		{"column", []string{"ALTER TABLE half ADD COLUMN mine TEXT"}, "table half is not as this program made it", false, false},
		{"table gone", []string{"PRAGMA foreign_keys = off", "DROP TABLE review"}, "table review is missing", false, false},
		{"view for a table", []string{"PRAGMA foreign_keys = off", "DROP TABLE setting", "CREATE VIEW setting AS SELECT i AS id, '' AS name, NULL AS block, 0 AS year, '' AS value, '' AS at, '' AS who FROM (" + forever + ")"},
			"table setting is missing", false, false},
	} {
		t.Run(row.name, func(t *testing.T) {
			s, err := reopen(t, fullSeason(t), func() {})
			must(t, err)
			execute(t, s, row.statements...) // while it is open
			for range 2 {
				ctx, cancel := context.WithTimeout(t.Context(), 10*time.Second)
				defer cancel()
				_, err := s.Settings(ctx)
				if row.read != (err == nil) {
					t.Errorf("read: %v", err)
				}
				if !row.read {
					wantError(t, err, ErrAltered, s.database(), row.words)
				}
				err = s.AddBlock(ctx, "ab", scoring.Block{Name: "East " + randomName()})
				if row.write != (err == nil) {
					t.Errorf("write: %v", err)
				}
				if !row.write {
					wantError(t, err, ErrAltered, s.database())
				}
				if got := findings(t, s); !strings.Contains(got, row.words) || row.words == "" && got != "" {
					t.Errorf("check says %q, want %q", got, row.words)
				}
				if s, err = reopen(t, s, func() {}); err != nil { // and opened anew
					t.Fatal(err)
				}
			}
		})
	}
}

// A byte that changed in the text of a table itself is a finding, whatever SQLite
// makes of it.
func TestChangedSchemaText(t *testing.T) {
	s, err := reopen(t, fullSeason(t), func() {})
	must(t, err)
	must(t, s.Close())
	whole, err := os.ReadFile(s.database())
	must(t, err)
	changed := bytes.Replace(whole, []byte("CHECK (json_valid(zones))"), []byte("CHECK (jsonhvalid(zones))"), 1)
	if bytes.Equal(changed, whole) {
		t.Fatal("there is no such text")
	}
	must(t, os.WriteFile(s.database(), changed, 0o644))
	s, err = Open(t.Context(), s.Dir())
	must(t, err)
	defer s.Close()
	if got := findings(t, s); !strings.Contains(got, "table half is not as this program made it") || !strings.Contains(got, "jsonhvalid") {
		t.Errorf("check says %q", got)
	}
}

// Rows that were written past the program are told.
func TestRowsOfOthers(t *testing.T) {
	for name, row := range map[string]struct{ statement, words string }{
		"changed":  {"UPDATE half SET stage = stage + 0.1 WHERE id = 3", "of half, written"},
		"added":    {"INSERT INTO setting (name, year, value, at, who) VALUES ('tip', 0, '8', 'x', 'ab')", "1 rows of setting were written by another program"},
		"removed":  {"DELETE FROM setting", "of setting"},
		"no seal":  {"DELETE FROM seal WHERE id = (SELECT max(id) FROM seal)", "their seal is gone"},
		"new seal": {"UPDATE seal SET digest = zeroblob(32) WHERE id = 4", "seal 4"},
		"bad seal": {"UPDATE seal SET rows = '{\"half\": [1]}' WHERE id = 4", "cannot be read"},
		"odd seal": {"UPDATE seal SET rows = '{\"sqlite_schema\": [1, 2, \"\"]}' WHERE id = 4", "no table"},
		"at":       {"UPDATE seal SET at = 'now' WHERE id = 4", "seal 4"},
	} {
		t.Run(name, func(t *testing.T) {
			s := fullSeason(t)
			damage(t, s, row.statement)
			if got := findings(t, s); !strings.Contains(got, row.words) {
				t.Errorf("check says %q, want %q", got, row.words)
			}
		})
	}
}

// A path in the database leads nowhere outside.
func TestPathsAreLocal(t *testing.T) {
	outside := filepath.Join(t.TempDir(), "secret.jpg")
	must(t, os.WriteFile(outside, []byte("secret"), 0o644))
	for _, file := range []string{"../../secret.jpg", outside, "../photos/x.jpg", "75/../../x.jpg", "other.jpg", "", `75\x.jpg`, "CON"} {
		t.Run(file, func(t *testing.T) {
			s := newSeason(t)
			tray := trayOf(1, 1, 2)
			store(t, s, tray, Stored)
			damage(t, s, "UPDATE tray SET file = '"+file+"'")
			_, err := s.Photo(t.Context(), tray.Report.PhotoHash)
			wantError(t, err, ErrDamaged, "none can be")
			_, err = s.StoreTray(t.Context(), tray)
			wantError(t, err, ErrDamaged, "none can be")
			if got := findings(t, s); !strings.Contains(got, "no photo can be in") {
				t.Errorf("check says %q", got)
			}
			parent := t.TempDir()
			if found, err := s.Backup(t.Context(), filepath.Join(parent, "copy")); err != nil || len(found) == 0 {
				t.Errorf("backup: %v, %v", found, err)
			}
			wantNames(t, parent, "copy")
			wantNames(t, filepath.Join(parent, "copy"), photosName, refsName, databaseName)
		})
	}
}

// What lies in the place of a photo and is no file is neither followed nor
// waited for.
func TestNoFilesForPhotos(t *testing.T) {
	tray := trayOf(1, 1, 2)
	secret := filepath.Join(t.TempDir(), "secret.jpg")
	must(t, os.WriteFile(secret, tray.Photo, 0o644)) // even with the right bytes
	for _, row := range []struct {
		name string
		put  func(path string) error
	}{
		{"link", func(path string) error { return os.Symlink(secret, path) }},
		{"link to nothing", func(path string) error { return os.Symlink("/none", path) }},
		{"pipe", func(path string) error { return syscall.Mkfifo(path, 0o644) }},
		{"device", func(path string) error { return syscall.Mknod(path, syscall.S_IFCHR|0o666, 1<<8|5) }},
		{"folder", func(path string) error { return os.Mkdir(path, 0o755) }},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := newSeason(t)
			store(t, s, tray, Stored)
			path := s.photoPath(photoFile(tray.Report.PhotoHash, tray.Report.Photo))
			must(t, os.Remove(path))
			if err := row.put(path); errors.Is(err, os.ErrPermission) {
				t.Skipf("cannot be made here: %v", err)
			} else if err != nil {
				t.Fatal(err)
			}
			done := make(chan struct{})
			go func() {
				defer close(done)
				if _, err := s.Photo(t.Context(), tray.Report.PhotoHash); !errors.Is(err, ErrDamaged) {
					t.Errorf("read: %v", err)
				}
				if got := findings(t, s); !strings.Contains(got, "not a file") {
					t.Errorf("check says %q", got)
				}
				if found, err := s.Backup(t.Context(), filepath.Join(t.TempDir(), "copy")); err != nil || len(found) != 1 {
					t.Errorf("backup: %v, %v", found, err)
				}
			}()
			select {
			case <-done:
			case <-time.After(20 * time.Second):
				t.Fatal("it waits")
			}
			if _, err := s.StoreTray(t.Context(), tray); row.name != "folder" && err != nil {
				t.Errorf("the photo sent again does not heal it: %v", err)
			}
		})
	}
}

// A folder of the season that leads elsewhere is not gone into: opening a season
// must not move the files of others.
func TestFoldersThatLeadElsewhere(t *testing.T) {
	for _, name := range []string{photosName, refsName, unfinishedName, photosName + "/75"} {
		t.Run(name, func(t *testing.T) {
			others := t.TempDir()
			must(t, os.WriteFile(filepath.Join(others, "holiday.jpg"), []byte("mine"), 0o644), os.WriteFile(filepath.Join(others, halfWritten+"1"), []byte("mine too"), 0o644))
			s := newSeason(t)
			tray := trayOf(1, 1, 2)
			store(t, s, tray, Stored)
			_, err := reopen(t, s, func() {
				path := filepath.Join(s.Dir(), filepath.FromSlash(name))
				must(t, os.RemoveAll(path), os.Symlink(others, path), os.WriteFile(s.database()+"-wal", nil, 0o644))
			})
			if err != nil {
				t.Logf("it does not open: %v", err)
			} else {
				again, err := Open(t.Context(), s.Dir())
				must(t, err)
				defer again.Close()
				if got := findings(t, again); got == "" && name != unfinishedName {
					t.Error("check finds nothing")
				}
				again.StoreTray(t.Context(), tray)
				again.StoreTray(t.Context(), trayOf(2, 5, 2))
				again.Backup(t.Context(), filepath.Join(t.TempDir(), "copy"))
			}
			wantNames(t, others, halfWritten+"1", "holiday.jpg")
		})
	}
}

// A photo that grew beyond measure is not read.
func TestGrownPhoto(t *testing.T) {
	s := newSeason(t)
	tray := trayOf(1, 1, 2)
	store(t, s, tray, Stored)
	path := s.photoPath(photoFile(tray.Report.PhotoHash, tray.Report.Photo))
	if err := os.Truncate(path, 1<<40); err != nil {
		t.Skip(err)
	}
	_, err := s.Photo(t.Context(), tray.Report.PhotoHash)
	wantError(t, err, ErrDamaged, "bytes have changed")
	if got := findings(t, s); !strings.Contains(got, "bytes have changed") {
		t.Errorf("check says %q", got)
	}
	if found, err := s.Backup(t.Context(), filepath.Join(t.TempDir(), "copy")); err != nil || len(found) != 1 {
		t.Errorf("backup: %v, %v", found, err)
	}
}

// Whatever takes too long to read ends by itself.
func TestSlowRead(t *testing.T) {
	s := newSeason(t)
	defer func(d time.Duration) { longest = d }(longest)
	longest = 50 * time.Millisecond
	err := s.read(t.Context(), func(r reader) error {
		return r.each(func(scan func(...any) error) error { return nil }, "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n) SELECT i FROM n WHERE i < 0")
	})
	wantError(t, err, ErrSlow, s.database(), "season check")
}

func TestFindingsOfSets(t *testing.T) {
	s := openCopy(t, oldSeasons[0])
	if got := findings(t, s); got != "" {
		t.Fatal(got)
	}
	path := filepath.Join(s.Refs(), "larkfield-gala.v1.json")
	text, err := os.ReadFile(path)
	must(t, err)
	set, err := calibrate.Decode(bytes.NewReader(text))
	must(t, err)
	set.Plates = set.Plates[:len(set.Plates)-1]
	var other bytes.Buffer
	must(t, calibrate.Encode(&other, set), os.WriteFile(path, other.Bytes(), 0o644))
	if got := findings(t, s); !strings.Contains(got, "larkfield-gala.v1.json: it is not the set larkfield-gala, version 1, that trays were scored on") {
		t.Errorf("check says %q", got)
	}
	must(t, os.WriteFile(path, text[:100], 0o644))
	if got := findings(t, s); !strings.Contains(got, "larkfield-gala.v1.json: it cannot be read") || strings.Contains(got, "missing") {
		t.Errorf("check says %q", got)
	}
	must(t, os.Remove(path))
	if got := findings(t, s); !strings.Contains(got, "refs/larkfield-gala.v1.json: it is missing, and trays were scored on it; put the file of the last backup there, or score the photos again") {
		t.Errorf("check says %q", got)
	}
	must(t, os.WriteFile(path, text, 0o644))
	must(t, s.AddBlock(t.Context(), "ab", scoring.Block{Name: "East", Set: "idared"}), s.AddBlock(t.Context(), "ab", scoring.Block{Name: "West", Set: "larkfield-gala"}),
		s.AddBlock(t.Context(), "ab", scoring.Block{Name: "South", Set: "larkfield-gala.v1"}), s.AddBlock(t.Context(), "ab", scoring.Block{Name: "Home", Set: "builtin-1-8"}))
	if got := findings(t, s); !strings.HasPrefix(got, `refs: the set idared that block "East" names is missing; say again where it is, or name another, with traystage block change "East" --set`) || strings.Contains(got, "\n") {
		t.Errorf("check says %q", got)
	}
	must(t, os.RemoveAll(s.Refs()))
	if got := findings(t, s); !strings.Contains(got, "refs/larkfield-gala.v1.json: it is missing") {
		t.Errorf("check says %q", got)
	}
}
