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
	"path"
	"path/filepath"
	"slices"
	"strings"
)

// Finding is one thing that is wrong with a season.
type Finding struct {
	Where string // file or table
	What  string // in words, without capital or full stop
	Do    string // what to do about it
}

func (f Finding) String() string { return f.Where + ": " + f.What + "; " + f.Do }

// Check looks at everything that a season holds and says what is wrong with it:
// damage in the database, tables, triggers and views that others made, rows that
// are not as they were written or belong to nothing, trays that are not whole,
// photos that are missing, changed, no files or on no tray, reference sets that
// were replaced or are missing, files that were left half written. No finding means that all is
// well. It reads every row and photo, and nothing else can be written meanwhile.
func (s *Season) Check(ctx context.Context) ([]Finding, error) {
	var found []Finding
	var options *sql.TxOptions // with the write lock no tray is in the middle of being stored
	if s.ReadOnly() {
		options = &sql.TxOptions{ReadOnly: true}
	}
	err := s.transact(ctx, options, func(r reader, st standing) error {
		found = append(found, st.odd...)
		looks := []func(reader) ([]Finding, error){s.checkDatabase, s.checkSeals, s.checkTrays, s.checkPhotos, s.checkSets}
		if st.read != nil {
			looks = looks[:1] // the tables are not those that the others ask
		}
		for _, look := range looks {
			more, err := look(r)
			found = append(found, more...)
			if err = databaseError(s.database(), err); inTheWay(err) {
				return err
			} else if err != nil {
				found = append(found, unreadable(err))
			}
		}
		return nil
	})
	if err != nil && !inTheWay(err) {
		return append(found, unreadable(err)), nil
	}
	return found, err
}

// inTheWay says whether an error tells of something else than the season.
func inTheWay(err error) bool {
	for _, other := range []error{context.Canceled, context.DeadlineExceeded, ErrBusy, ErrFull, ErrReadOnly} {
		if errors.Is(err, other) {
			return true
		}
	}
	return false
}

func unreadable(err error) Finding {
	return Finding{databaseName, "it cannot be read to its end: " + err.Error(), advice[ErrDamaged]}
}

func (s *Season) checkDatabase(r reader) ([]Finding, error) {
	var found []Finding
	err := r.each(func(scan func(...any) error) error {
		var text string
		err := scan(&text)
		if text != "ok" {
			found = append(found, Finding{databaseName, text, advice[ErrDamaged]})
		}
		return err
	}, "SELECT integrity_check FROM pragma_integrity_check")
	if err != nil {
		return nil, err
	}
	err = r.each(func(scan func(...any) error) error {
		var table, parent string
		var row int64
		err := scan(&table, &row, &parent)
		found = append(found, Finding{databaseName, fmt.Sprintf("row %d of %s belongs to a row of %s that is not there", row, table, parent), advice[ErrDamaged]})
		return err
	}, `SELECT "table", coalesce(rowid, 0), parent FROM pragma_foreign_key_check`)
	return found, err
}

// checkTrays finds trays of which only a part is there.
func (s *Season) checkTrays(r reader) ([]Finding, error) {
	var found []Finding
	err := r.each(func(scan func(...any) error) error {
		var file string
		var want, halves, outlines int
		err := scan(&file, &want, &halves, &outlines)
		found = append(found, Finding{photosName + "/" + file,
			fmt.Sprintf("its tray is not whole: %d halves and %d outlines of %d", halves, outlines, want), advice[ErrDamaged]})
		return err
	}, `SELECT t.file, coalesce(s.halves, 0) AS want, count(h.id) AS halves, count(o.half) AS outlines
		FROM tray AS t LEFT JOIN scoring AS s ON s.tray = t.id
		LEFT JOIN half AS h ON h.scoring = s.id LEFT JOIN outline AS o ON o.half = h.id
		GROUP BY t.id, s.id HAVING s.id IS NULL OR halves <> want OR outlines <> want`)
	return found, err
}

// checkPhotos compares photos/ with the trays.
func (s *Season) checkPhotos(r reader) ([]Finding, error) {
	known, err := r.photoRows()
	if err != nil {
		return nil, err
	}
	root, err := s.folder(photosName)
	if err != nil {
		return []Finding{{photosName, "it is missing, or no folder", "put the folder of the last backup in its place"}}, nil
	}
	defer root.Close()
	var found []Finding
	for _, file := range slices.Sorted(maps.Keys(known)) {
		if err := r.ctx.Err(); err != nil {
			return nil, err
		}
		row := known[file]
		if wrong := row.wrong(readPhoto(io.Discard, root, row)); wrong != "" {
			found = append(found, Finding{photosName + "/" + file, wrong, "put the file of the last backup in its place"})
		}
	}
	err = eachFile(root, func(file string) error {
		_, ok := known[file]
		switch {
		case ok:
		case !strings.HasPrefix(path.Base(file), halfWritten):
			found = append(found, Finding{photosName + "/" + file, "it is on no tray", "store it as a tray, or move it elsewhere"})
		case !marks(root, file, known):
			found = append(found, Finding{photosName + "/" + file, "it is part of a photo that was not stored to its end", "remove it"})
		}
		return nil
	})
	return found, err
}

// marks says whether a file is the mark of a photo whose tray has just been
// stored: another name of it.
func marks(root *os.Root, file string, known map[string]photoRow) bool {
	mark, err := root.Lstat(filepath.FromSlash(file))
	if err != nil {
		return errors.Is(err, fs.ErrNotExist) // it has been taken away meanwhile
	}
	for other := range known {
		if info, err := root.Lstat(filepath.FromSlash(other)); err == nil && os.SameFile(mark, info) {
			return true
		}
	}
	return false
}
