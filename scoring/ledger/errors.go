package ledger

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
	"time"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// What can be wrong with a season, for errors.Is. The errors that methods
// return say it in a sentence with the file and what to do.
var (
	ErrNotSeason = errors.New("not a season")
	ErrNewer     = errors.New("written by a newer program")
	ErrBusy      = errors.New("another program is writing to it")
	ErrReadOnly  = errors.New("cannot be written to")
	ErrFull      = errors.New("the disk is full")
	ErrDamaged   = errors.New("is damaged")
	ErrNotFound  = errors.New("not in the season")
	ErrTaken     = errors.New("taken already")
	ErrStale     = errors.New("not what was looked at")
	ErrAltered   = errors.New("was altered by another program")
	ErrReplaced  = errors.New("is not the set that was scored on before")
	ErrSlow      = errors.New("takes too long to read")
)

// advice says what to do about each.
var advice = map[error]string{
	ErrNotSeason: "name the folder that a season was made in",
	ErrBusy:      "try again in a moment, or close the other program",
	ErrReadOnly:  "check its permissions, or copy the season's folder to a place that can be written to",
	ErrFull:      "make room and try again; nothing was half stored",
	ErrSlow:      "look with traystage season check whether it is damaged",
	ErrDamaged:   "keep a copy of the folder, and go on with the last backup",
}

// kinds says which of SQLite's primary result codes mean what.
var kinds = map[int]error{
	sqlite3.SQLITE_BUSY:     ErrBusy,
	sqlite3.SQLITE_LOCKED:   ErrBusy,
	sqlite3.SQLITE_READONLY: ErrReadOnly,
	sqlite3.SQLITE_PERM:     ErrReadOnly,
	sqlite3.SQLITE_CANTOPEN: ErrReadOnly,
	sqlite3.SQLITE_FULL:     ErrFull,
	sqlite3.SQLITE_CORRUPT:  ErrDamaged,
	sqlite3.SQLITE_NOTADB:   ErrDamaged,
}

// databaseError says in a sentence what is wrong with the database file. Errors
// that are no database's, and those that it has made already, pass through.
func databaseError(name string, err error) error {
	var said sentence
	if err == nil || errors.As(err, &said) || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	if errors.Is(err, ErrNotSeason) {
		return sentence{fmt.Errorf("%s: %w; %s", name, err, advice[ErrNotSeason])}
	}
	var e *sqlite.Error
	if !errors.As(err, &e) {
		if errors.Is(err, errRow) {
			err = sentence{fmt.Errorf("%s: %w: %w; %s", name, ErrDamaged, err, advice[ErrDamaged])}
		}
		return err
	}
	const primary = 0xff // extended codes hold the primary one in their last byte
	kind, ok := kinds[e.Code()&primary]
	if (!ok || kind == ErrReadOnly) && diskFull(filepath.Dir(name)) {
		kind, ok = ErrFull, true // SQLite tells some of it as other troubles
	}
	if ok {
		return sentence{fmt.Errorf("%s: %w; %s", name, kind, advice[kind])}
	}
	return sentence{fmt.Errorf("%s: cannot be read or written: %w; check the disk", name, err)}
}

// diskFull tries whether there is room for a little more in a folder.
func diskFull(dir string) bool {
	f, err := os.CreateTemp(dir, makingName+"*")
	if err == nil {
		_, err = f.Write(make([]byte, 1<<16))
		err = errors.Join(err, f.Sync(), f.Close(), os.Remove(f.Name()))
	}
	return errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT)
}

// fileError says in a sentence what is wrong with a file or folder.
func fileError(name string, err error) error {
	switch {
	case errors.Is(err, syscall.ENOSPC), errors.Is(err, syscall.EDQUOT):
		return sentence{fmt.Errorf("%s: %w; %s", name, ErrFull, advice[ErrFull])}
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		return sentence{fmt.Errorf("%s: %w; %s", name, ErrReadOnly, advice[ErrReadOnly])}
	case errors.Is(err, fs.ErrExist):
		return sentence{fmt.Errorf("%s: there is one already; choose another name", name)}
	}
	var p *fs.PathError
	var l *os.LinkError
	if errors.As(err, &p) {
		err = p.Err // the path has been named
	} else if errors.As(err, &l) {
		err = l.Err
	}
	return sentence{fmt.Errorf("%s: cannot be read or written: %w; check the disk", name, err)}
}

// TakenError says that a photo is a tray of another sample. It is ErrTaken.
type TakenError struct {
	Photo, Hash string
	Block       string // where it is
	Picked      time.Time
	Wanted      string // where it was to be stored
	WantedDay   time.Time
}

func (e *TakenError) Error() string {
	return fmt.Sprintf("photo %q: %s: it is a tray of block %q picked on %s, so it cannot be one of block %q picked on %s; check which photo this is, or move the tray",
		e.Photo, ErrTaken, e.Block, e.Picked.Format(dayLayout), e.Wanted, e.WantedDay.Format(dayLayout))
}

func (e *TakenError) Is(target error) bool { return target == ErrTaken }

// sentence is an error that says all that the reader needs.
type sentence struct{ error }

func (s sentence) Unwrap() error { return s.error }

// refuse says why something is not stored.
func refuse(format string, args ...any) error { return sentence{fmt.Errorf(format, args...)} }
