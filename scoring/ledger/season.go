package ledger

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
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
	makingName     = ".season-" // begins the names of databases in the making
)

// Season is an open season. Its methods may be used by several goroutines.
type Season struct {
	// Now gives the time that is written beside every row; time.Now by default.
	Now func() time.Time

	dir    string // absolute
	file   string // the database that is open: the season's, or a copy of it
	db     *sql.DB
	looked *looked
	copied string // folder of the copy; empty for none
	beside Beside

	unwritable error // why it was opened to be read only; nil when it was not
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
	making := filepath.Join(dir, makingName+randomName()+".db")
	if err := createFile(making); err != nil {
		return nil, err
	}
	defer os.Remove(making) // nothing is there once it has its name
	if err := makeTables(ctx, making, database); err != nil {
		return nil, err
	}
	if err := renameNew(making, database); err != nil {
		return nil, fileError(database, err)
	}
	if err := syncFolders(dir, filepath.Dir(dir)); err != nil {
		return nil, err
	}
	return Open(ctx, dir)
}

// makeEmpty makes a folder, or takes one that is there and empty.
func makeEmpty(dir string) error {
	if err := os.MkdirAll(dir, 0o777); err != nil {
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
	db, err := sql.Open("sqlite", source(path, "rw", "DELETE")) // a lone file, to be renamed
	if err != nil {
		return databaseError(name, err)
	}
	err = migrate(ctx, db, name)
	return errors.Join(err, db.Close())
}

// source tells the driver which file to open, which must be there, and how: to
// read and write ("rw") or to read ("ro").
// Writes wait for each other for ten seconds and are on the disk when they
// return. Recursive triggers make a REPLACE meet the trigger against DELETE.
func source(path, mode, journal string) string {
	q := url.Values{
		"_txlock":       {"immediate"},
		"_busy_timeout": {"10000"},
		"_foreign_keys": {"on"},
		"_synchronous":  {"FULL"},
		"_dqs":          {"0"},
		"_defensive":    {"1"},
		"_pragma":       {"recursive_triggers(on)", "fullfsync(on)", "trusted_schema(off)"},
	}
	if journal != "" {
		q.Add("_pragma", "journal_mode("+journal+")")
	}
	u := url.URL{Scheme: "file", Path: filepath.ToSlash(path), RawQuery: "mode=" + mode + "&" + q.Encode()}
	return u.String()
}

// Close closes the season.
func (s *Season) Close() error {
	if err := s.close(); err != nil {
		return databaseError(s.database(), err)
	}
	return nil
}

func (s *Season) close() (err error) {
	if s.db != nil {
		err = s.db.Close()
	}
	if s.copied != "" {
		err = errors.Join(err, os.RemoveAll(s.copied))
	}
	return err
}

// Dir is the season's folder, absolute.
func (s *Season) Dir() string { return s.dir }

// Refs is the folder of the season's reference sets, absolute.
func (s *Season) Refs() string { return filepath.Join(s.dir, refsName) }

func (s *Season) database() string { return filepath.Join(s.dir, databaseName) }
func (s *Season) photos() string   { return filepath.Join(s.dir, photosName) }

// write runs f in one transaction that holds the write lock from its start.
// What f reads is what it will write to. What f adds is sealed.
func (s *Season) write(ctx context.Context, f func(w writer) error) error {
	if s.unwritable != nil {
		return s.unwritable
	}
	select {
	case s.looked.turn <- struct{}{}:
		defer func() { <-s.looked.turn }()
	case <-ctx.Done():
		return ctx.Err()
	}
	return s.transact(ctx, nil, func(r reader, st standing) error {
		if st.write != nil {
			return st.write
		}
		w := writer{r, stamp(s.Now()), new(added)}
		if err := f(w); err != nil || len(w.rows.all) == 0 {
			return err
		}
		return w.seal()
	})
}

// longest is how long one look at the season may take, many times what a large
// one takes: a file made to be read for ever hangs nobody.
var longest = 2 * time.Minute

// read runs f on one state of the season, whatever is written meanwhile.
func (s *Season) read(ctx context.Context, f func(r reader) error) error {
	timed, cancel := context.WithTimeoutCause(ctx, longest, refuse("%s: %w; %s", s.database(), ErrSlow, advice[ErrSlow]))
	defer cancel()
	err := s.transact(timed, &sql.TxOptions{ReadOnly: true}, func(r reader, st standing) error {
		if st.read != nil {
			return st.read
		}
		return f(r)
	})
	if err != nil && timed.Err() != nil && ctx.Err() == nil {
		return context.Cause(timed)
	}
	return err
}

// transact runs f in one transaction, told how the database stands.
func (s *Season) transact(ctx context.Context, options *sql.TxOptions, f func(r reader, st standing) error) error {
	tx, err := s.db.BeginTx(ctx, options)
	if err != nil {
		return databaseError(s.database(), err)
	}
	defer tx.Rollback() // after a commit it does nothing
	st, err := s.standing(ctx, tx)
	if err == nil {
		err = f(reader{ctx, tx}, st)
	}
	if err == nil && options == nil {
		err = tx.Commit()
	}
	return databaseError(s.database(), err)
}
