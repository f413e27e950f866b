package ledger

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// Backup copies the season into a folder that must not exist yet: database and
// photos as they are at one moment, whatever is written meanwhile, and the
// reference sets. The folder is a season itself: to restore it, copy it back. It
// appears when it is whole and on the disk; a backup that fails leaves none, and
// what one left that was ended is removed by the next into the same place, some
// seconds later.
//
// Photos that are missing or damaged do not stop it. They are the findings, and
// the backup is then no better than the season.
func (s *Season) Backup(ctx context.Context, to string) ([]Finding, error) {
	to, err := filepath.Abs(to)
	if err != nil {
		return nil, err
	}
	if _, err := os.Lstat(to); err == nil {
		return nil, refuse("%s: there is one already, and a backup overwrites nothing; choose another folder", to)
	}
	if inside, err := filepath.Rel(s.dir, to); err == nil && filepath.IsLocal(inside) {
		return nil, refuse("%s: lies in the season that it is to be a copy of; choose a folder outside, best on another disk", to)
	}
	if err := removeAbandoned(ctx, filepath.Dir(to)); err != nil {
		return nil, err
	}
	part := filepath.Join(filepath.Dir(to), halfWritten+randomName())
	if err := os.Mkdir(part, 0o777); err != nil {
		return nil, fileError(to, err)
	}
	defer os.RemoveAll(part) // nothing is there once it has its name
	claim, err := claimFolder(ctx, part)
	if err != nil {
		return nil, err
	}
	defer claim.Close()
	found, err := s.copyTo(ctx, part)
	if err != nil {
		return nil, err
	}
	if err := os.Rename(part, to); err != nil {
		return nil, fileError(to, err)
	}
	claim.Close()
	if err := os.Remove(filepath.Join(to, claimName)); err != nil {
		return nil, fileError(to, err)
	}
	return found, syncFolders(to, filepath.Dir(to))
}

// claimName is a database that the program which writes a backup holds the lock
// of, so that others can tell a backup in the making from an abandoned one. The
// name is one that Open removes.
const claimName = makingName + "claim.db"

// unclaimed is for how long at most a folder in the making is not claimed yet.
const unclaimed = 10 * time.Second

// claim holds a folder.
type claim struct {
	db *sql.DB
	tx *sql.Tx
}

func (c claim) Close() {
	c.tx.Rollback()
	c.db.Close()
}

// claimFolder claims a folder, or fails with ErrBusy where it is claimed.
func claimFolder(ctx context.Context, dir string) (claim, error) {
	path := filepath.Join(dir, claimName)
	db, err := sql.Open("sqlite", source(path, "rwc", "MEMORY"))
	if err != nil {
		return claim{}, databaseError(path, err)
	}
	db.SetMaxOpenConns(1)                                   // the one that does not wait
	_, err = db.ExecContext(ctx, "PRAGMA busy_timeout = 0") // also makes the file
	var tx *sql.Tx
	if err == nil {
		tx, err = db.BeginTx(context.WithoutCancel(ctx), nil)
	}
	if err != nil {
		db.Close()
		return claim{}, databaseError(path, err)
	}
	return claim{db, tx}, nil
}

// removeAbandoned removes backups that programs were ended in.
func removeAbandoned(ctx context.Context, parent string) error {
	entries, err := os.ReadDir(parent)
	if err != nil {
		return nil // that nothing can be written there is told in a moment
	}
	for _, e := range entries {
		if !e.IsDir() || !strings.HasPrefix(e.Name(), halfWritten) {
			continue
		}
		dir := filepath.Join(parent, e.Name())
		if info, err := e.Info(); err != nil || time.Since(info.ModTime()).Abs() < unclaimed {
			continue // it may be about to be claimed
		}
		if _, err := os.Lstat(filepath.Join(dir, claimName)); errors.Is(err, fs.ErrNotExist) {
			os.Remove(dir) // it is ours only when there is nothing in it
			continue
		}
		c, err := claimFolder(ctx, dir)
		if err != nil {
			continue // somebody is writing it, or it cannot be removed either
		}
		c.Close()
		if err := os.RemoveAll(dir); err != nil {
			return fileError(dir, err)
		}
	}
	return nil
}

func (s *Season) copyTo(ctx context.Context, dir string) ([]Finding, error) {
	database := filepath.Join(dir, databaseName)
	if err := s.copyDatabase(ctx, database); err != nil {
		return nil, err
	}
	rows, err := rowsIn(ctx, database)
	if err != nil {
		return nil, err
	}
	found, err := s.copyPhotos(ctx, filepath.Join(dir, photosName), rows)
	if err != nil {
		return nil, err
	}
	more, err := s.copyRefs(filepath.Join(dir, refsName))
	if err != nil {
		return nil, err
	}
	return append(found, more...), syncTree(dir)
}

// copyDatabase writes the database as it is at one moment.
func (s *Season) copyDatabase(ctx context.Context, to string) error {
	if err := createFile(to); err != nil {
		return err
	}
	_, err := s.db.ExecContext(ctx, "VACUUM INTO ?", to)
	err = databaseError(to, err)
	if errors.Is(err, ErrDamaged) { // the copy is new, so it is not what is damaged
		err = fmt.Errorf("%s: %w; %s", s.database(), ErrDamaged, advice[ErrDamaged])
	}
	return err
}

// rowsIn gives the photos that a copy of the database knows: those of the moment
// of the copy, all of which are in their places.
func rowsIn(ctx context.Context, database string) (map[string]photoRow, error) {
	db, err := sql.Open("sqlite", source(database, "ro", ""))
	if err != nil {
		return nil, databaseError(database, err)
	}
	defer db.Close()
	var rows map[string]photoRow
	err = (&Season{dir: filepath.Dir(database), db: db, looked: newLooked()}).read(ctx, func(r reader) error {
		rows, err = r.photoRows()
		return err
	})
	return rows, err
}

// copyPhotos copies photos and says which are not what was stored.
func (s *Season) copyPhotos(ctx context.Context, dir string, rows map[string]photoRow) ([]Finding, error) {
	if err := os.Mkdir(dir, 0o777); err != nil {
		return nil, fileError(dir, err)
	}
	from, err := s.folder(photosName)
	if err != nil {
		return nil, err
	}
	defer from.Close()
	to, err := os.OpenRoot(dir)
	if err != nil {
		return nil, fileError(dir, err)
	}
	defer to.Close()
	var found []Finding
	for _, file := range slices.Sorted(maps.Keys(rows)) {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		wrong, err := copyPhoto(from, to, rows[file])
		if err != nil {
			return nil, fileError(filepath.Join(dir, filepath.FromSlash(file)), err)
		}
		if wrong != "" {
			found = append(found, Finding{photosName + "/" + file, wrong, "look for it in an earlier backup"})
		}
	}
	return found, nil
}

// copyPhoto copies one photo; wrong says what is wrong with it. One whose bytes
// have changed is copied all the same, as it may still show something.
func copyPhoto(from, to *os.Root, row photoRow) (wrong string, err error) {
	if !placeRight(row.file, row.hash) {
		return row.wrong(nil), nil
	}
	name := filepath.FromSlash(row.file)
	err = readPhoto(io.Discard, from, row)
	wrong = row.wrong(err)
	if err != nil && !errors.Is(err, errOtherPhoto) {
		return wrong, nil
	}
	in, info, err := openFile(from, name)
	if err != nil {
		return row.wrong(err), nil
	}
	defer in.Close()
	if info.Size() > row.bytes {
		return wrong, nil // what it grew by is nobody's photo
	}
	return wrong, copyInto(to, name, in)
}

// copyInto writes a file below a root, in a folder that it makes.
func copyInto(to *os.Root, name string, in io.Reader) error {
	if err := to.MkdirAll(filepath.Dir(name), 0o777); err != nil {
		return err
	}
	out, err := to.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	return errors.Join(err, out.Close())
}

// copyRefs copies the reference sets, and none of what lies in folders below
// theirs. What is no file is a finding.
func (s *Season) copyRefs(dir string) ([]Finding, error) {
	if err := os.Mkdir(dir, 0o777); err != nil {
		return nil, fileError(dir, err)
	}
	if _, err := os.Lstat(s.Refs()); errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	from, err := s.folder(refsName)
	if err != nil {
		return nil, err
	}
	defer from.Close()
	to, err := os.OpenRoot(dir)
	if err != nil {
		return nil, fileError(dir, err)
	}
	defer to.Close()
	entries, err := fs.ReadDir(from.FS(), ".")
	if err != nil {
		return nil, fileError(s.Refs(), err)
	}
	var found []Finding
	for _, e := range entries {
		if e.IsDir() || strings.HasPrefix(e.Name(), ".") { // such as what is being written just now
			continue
		}
		in, _, err := openFile(from, e.Name())
		if err != nil {
			found = append(found, Finding{refsName + "/" + e.Name(), "it cannot be read: " + err.Error(), "look for it in an earlier backup"})
			continue
		}
		err = copyInto(to, e.Name(), in)
		in.Close()
		if err != nil {
			return nil, fileError(filepath.Join(dir, e.Name()), err)
		}
	}
	return found, nil
}

// syncTree makes sure that a folder with all that is in it is on the disk.
func syncTree(dir string) error {
	return filepath.WalkDir(dir, func(path string, _ fs.DirEntry, err error) error {
		if err != nil {
			return fileError(path, err)
		}
		return syncPath(path)
	})
}
