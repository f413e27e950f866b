package ledger

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"time"

	_ "modernc.org/sqlite" // registers the driver "sqlite"
)

const (
	databaseName   = "season.db"
	photosName     = "photos"
	refsName       = "refs"
	unfinishedName = "unfinished"
)

// Season is an open season. Its methods may be used by several goroutines.
type Season struct {
	// Now gives the time that is written beside every row; time.Now by default.
	Now func() time.Time

	dir    string // absolute
	db     *sql.DB
	beside Beside
}

// Create makes a new season in a folder and opens it. The folder may exist,
// but no season.db in it, and nothing in its photos and refs. A folder in which
// it fails, or is cut short, holds no season.
func Create(ctx context.Context, dir string) (*Season, error) {
	dir, err := filepath.Abs(dir)
	if err != nil {
		return nil, err
	}
	database := filepath.Join(dir, databaseName)
	if _, err := os.Lstat(database); err == nil {
		return nil, fmt.Errorf("%s: is a season already; open it, or choose another folder", dir)
	}
	for _, name := range []string{photosName, refsName} {
		if err := makeEmpty(filepath.Join(dir, name)); err != nil {
			return nil, err
		}
	}
	f, err := os.CreateTemp(dir, ".season-*.db")
	if err != nil {
		return nil, fileError(database, err)
	}
	f.Close()
	defer os.Remove(f.Name()) // nothing is there once it has its name
	if err := makeTables(ctx, f.Name(), database); err != nil {
		return nil, err
	}
	if err := renameNew(f.Name(), database); err != nil {
		return nil, fileError(database, err)
	}
	if err := syncFolders(dir, filepath.Dir(dir)); err != nil {
		return nil, err
	}
	return Open(ctx, dir)
}

// makeEmpty makes a folder, or takes one that is there and empty.
func makeEmpty(dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fileError(dir, err)
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return fileError(dir, err)
	}
	if len(entries) > 0 {
		return fmt.Errorf("%s: holds files already; choose another folder for the season", dir)
	}
	return nil
}

// makeTables writes the tables of a new season into an empty file; name is what
// errors call it.
func makeTables(ctx context.Context, path, name string) error {
	db, err := sql.Open("sqlite", source(path, "DELETE")) // a lone file, to be renamed
	if err != nil {
		return databaseError(name, err)
	}
	err = migrate(ctx, db, name)
	return errors.Join(err, db.Close())
}

// Open opens the season in a folder, brings its tables up to date, and clears
// away what a program that was ended in the middle of a tray left behind.
func Open(ctx context.Context, dir string) (*Season, error) {
	dir, err := filepath.Abs(dir)
	if err != nil {
		return nil, err
	}
	s := &Season{Now: time.Now, dir: dir}
	info, err := os.Stat(s.database())
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Errorf("%s: %w: there is no %s in it; name the folder that a season was made in", dir, ErrNotSeason, databaseName)
	case err != nil:
		return nil, fileError(s.database(), err)
	case !info.Mode().IsRegular():
		return nil, fmt.Errorf("%s: %w: %s is not a file; name the folder that a season was made in", dir, ErrNotSeason, databaseName)
	}
	// Whoever closes a season last takes its log away.
	_, err = os.Lstat(s.database() + "-wal")
	unclean := err == nil
	if s.db, err = sql.Open("sqlite", source(s.database(), "WAL")); err != nil {
		return nil, databaseError(s.database(), err)
	}
	err = migrate(ctx, s.db, s.database())
	if err == nil && unclean {
		err = s.recover(ctx)
	}
	if err != nil {
		s.db.Close()
		return nil, err
	}
	return s, nil
}

// source tells the driver which file to open, which must be there, and how.
// Writes wait for each other for ten seconds and are on the disk when they
// return. Recursive triggers make a REPLACE meet the trigger against DELETE.
func source(path, journal string) string {
	q := url.Values{
		"mode":          {"rw"},
		"_txlock":       {"immediate"},
		"_busy_timeout": {"10000"},
		"_foreign_keys": {"on"},
		"_synchronous":  {"FULL"},
		"_dqs":          {"0"},
		"_defensive":    {"1"},
		"_pragma":       {"journal_mode(" + journal + ")", "recursive_triggers(on)", "fullfsync(on)", "trusted_schema(off)"},
	}
	u := url.URL{Scheme: "file", Path: filepath.ToSlash(path), RawQuery: q.Encode()}
	return u.String()
}

// Close closes the season.
func (s *Season) Close() error {
	if err := s.db.Close(); err != nil {
		return databaseError(s.database(), err)
	}
	return nil
}

// Dir is the season's folder, absolute.
func (s *Season) Dir() string { return s.dir }

// Refs is the folder of the season's reference sets, absolute.
func (s *Season) Refs() string { return filepath.Join(s.dir, refsName) }

func (s *Season) database() string { return filepath.Join(s.dir, databaseName) }
func (s *Season) photos() string   { return filepath.Join(s.dir, photosName) }

// write runs f in one transaction that holds the write lock from its start.
// What f reads is what it will write to.
func (s *Season) write(ctx context.Context, f func(w writer) error) error {
	tx, err := s.db.BeginTx(ctx, nil)
	if err != nil {
		return databaseError(s.database(), err)
	}
	defer tx.Rollback() // after a commit it does nothing
	if err := f(writer{reader{ctx, tx}, stamp(s.Now()), new(added)}); err != nil {
		return databaseError(s.database(), err)
	}
	if err := tx.Commit(); err != nil {
		return databaseError(s.database(), err)
	}
	return nil
}

// read runs f on one state of the season, whatever is written meanwhile.
func (s *Season) read(ctx context.Context, f func(r reader) error) error {
	tx, err := s.db.BeginTx(ctx, &sql.TxOptions{ReadOnly: true})
	if err != nil {
		return databaseError(s.database(), err)
	}
	defer tx.Rollback()
	if err := f(reader{ctx, tx}); err != nil {
		return databaseError(s.database(), err)
	}
	return nil
}
