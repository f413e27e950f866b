package ledger

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"
)

// Open opens the season in a folder, brings its tables up to date, and clears
// away what a program that was ended in the middle of its work left behind. A
// season that cannot be written to, such as one on a disk that is locked, is
// opened to be read.
func Open(ctx context.Context, dir string) (*Season, error) {
	dir, err := filepath.Abs(dir)
	if err != nil {
		return nil, err
	}
	s := &Season{Now: time.Now, dir: dir, file: filepath.Join(dir, databaseName), looked: newLooked()}
	if err := s.checkFile(); err != nil {
		return nil, err
	}
	err = s.openToWrite(ctx)
	if errors.Is(err, ErrReadOnly) || errors.Is(err, ErrFull) {
		s.close()
		s.unwritable = err
		err = s.openToRead(ctx)
	}
	if err != nil {
		s.close()
		return nil, err
	}
	return s, nil
}

// OpenToRead opens a season that is only to be looked at: nothing in its folder is
// changed, whatever its version. Whoever writes to it meanwhile may not be seen.
func OpenToRead(ctx context.Context, dir string) (*Season, error) {
	dir, err := filepath.Abs(dir)
	if err != nil {
		return nil, err
	}
	s := &Season{Now: time.Now, dir: dir, file: filepath.Join(dir, databaseName), looked: newLooked(), unwritable: ErrReadOnly}
	if err := s.checkFile(); err != nil {
		return nil, err
	}
	if err := s.openToRead(ctx); err != nil {
		s.close()
		return nil, err
	}
	return s, nil
}

// checkFile refuses what is no season before SQLite touches it: an empty
// database would be taken for a new one, and a foreign one would be changed.
func (s *Season) checkFile() error {
	info, err := os.Stat(s.database())
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("%s: %w: there is no %s in it; name the folder that a season was made in", s.dir, ErrNotSeason, databaseName)
	case err != nil:
		return fileError(s.database(), err)
	case !info.Mode().IsRegular():
		return fmt.Errorf("%s: %w: %s is not a file; name the folder that a season was made in", s.dir, ErrNotSeason, databaseName)
	case info.Size() == 0:
		return fmt.Errorf("%s: %w any more: it was emptied; put the file of the last backup in its place", s.database(), ErrNotSeason)
	}
	f, err := os.Open(s.database())
	if err != nil {
		return fileError(s.database(), err)
	}
	defer f.Close()
	var head [100]byte
	if _, err := io.ReadFull(f, head[:]); err != nil || !bytes.HasPrefix(head[:], []byte("SQLite format 3\x00")) {
		return fmt.Errorf("%s: %w: it is no database, or its beginning is lost; %s", s.database(), ErrDamaged, advice[ErrDamaged])
	}
	const at = 68 // where SQLite keeps the application's id
	if binary.BigEndian.Uint32(head[at:]) != applicationID {
		return fmt.Errorf("%s: %w: it belongs to another program; %s", s.database(), ErrNotSeason, advice[ErrNotSeason])
	}
	return nil
}

// openToWrite opens the database as its owners do.
func (s *Season) openToWrite(ctx context.Context) (err error) {
	// Whoever closes a season last takes its log away.
	_, err = os.Lstat(s.file + "-wal")
	unclean := err == nil
	if s.db, err = sql.Open("sqlite", source(s.file, "rw", "WAL")); err != nil {
		return databaseError(s.database(), err)
	}
	if err := migrate(ctx, s.db, s.database()); err != nil {
		return err
	}
	if err := s.removeUnfinishedSeasons(); err != nil {
		return err
	}
	left, err := s.partsLeft()
	if err != nil || !unclean && !left {
		return err
	}
	return s.recover(ctx)
}

// removeUnfinishedSeasons removes what a program left that was ended while it
// made this season.
func (s *Season) removeUnfinishedSeasons() error {
	entries, err := os.ReadDir(s.dir)
	if err != nil {
		return fileError(s.dir, err)
	}
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), makingName) {
			continue
		}
		path := filepath.Join(s.dir, e.Name())
		if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) && !errors.Is(err, fs.ErrPermission) {
			return fileError(path, err)
		}
	}
	return nil
}

// openToRead opens a season that cannot be written to. Where other programs have
// it open, their log and locks are used; else SQLite is told that nothing
// changes. Tables of an earlier version, or a log that nobody can clear, need a
// copy that can be written to: it lies in a folder of its own until Close.
func (s *Season) openToRead(ctx context.Context) (err error) {
	log, err := os.Stat(s.file + "-wal")
	idle := err != nil || log.Size() == 0
	mode := "ro"
	if idle {
		mode = "ro&immutable=1"
	}
	if s.db, err = sql.Open("sqlite", source(s.file, mode, "")); err != nil {
		return databaseError(s.database(), err)
	}
	at, err := versionOf(ctx, s.db)
	if err == nil && at >= tablesVersion {
		return migrate(ctx, s.db, s.database()) // tells of newer ones
	}
	if err != nil && (idle || !errors.Is(databaseError(s.database(), err), ErrReadOnly)) {
		return databaseError(s.database(), err)
	}
	s.db.Close()
	if s.copied, err = os.MkdirTemp("", "traystage-"); err != nil {
		return fileError(s.database(), err)
	}
	copy := filepath.Join(s.copied, databaseName)
	for _, end := range []string{"", "-wal"} {
		if err := copyFile(s.file+end, copy+end); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fileError(s.database()+end, err)
		}
	}
	s.file = copy
	if s.db, err = sql.Open("sqlite", source(s.file, "rw", "WAL")); err != nil {
		return databaseError(s.database(), err)
	}
	return migrate(ctx, s.db, s.database())
}

func copyFile(from, to string) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	return errors.Join(err, out.Close())
}

// ReadOnly says whether the season can only be read.
func (s *Season) ReadOnly() bool { return s.unwritable != nil }

// looked is how the database stood when it was looked at last; all who share a
// season share it, and take turns at writing.
type looked struct {
	sync.Mutex
	version int64 // SQLite's number of the schema; it is another one after each change
	standing
	turn chan struct{} // full while one of them writes: SQLite has no queue
}

func newLooked() *looked { return &looked{turn: make(chan struct{}, 1)} }

// standing says how the database stands in a transaction. It looks again where
// somebody changed its tables.
func (s *Season) standing(ctx context.Context, tx *sql.Tx) (standing, error) {
	var version int64
	if err := tx.QueryRowContext(ctx, "SELECT schema_version FROM pragma_schema_version").Scan(&version); err != nil {
		return standing{}, err
	}
	s.looked.Lock()
	defer s.looked.Unlock()
	if s.looked.version == version {
		return s.looked.standing, nil
	}
	got, err := schemaOf(ctx, tx)
	if err != nil {
		return standing{}, err
	}
	s.looked.version, s.looked.standing = version, compareSchema(s.database(), got, expectedSchema())
	return s.looked.standing, nil
}
