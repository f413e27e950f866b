package ledger

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
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
// damage in the database, rows that belong to nothing, trays that are not whole,
// photos that are missing, changed or on no tray, files that were left half
// written. No finding means that all is well. It reads every photo, and nothing
// else can be written meanwhile.
func (s *Season) Check(ctx context.Context) ([]Finding, error) {
	var found []Finding
	// With the write lock no tray is in the middle of being stored.
	err := s.write(ctx, func(w writer) error {
		for _, look := range []func(reader) ([]Finding, error){s.checkDatabase, s.checkTrays, s.checkPhotos} {
			more, err := look(w.reader)
			if err != nil {
				return err
			}
			found = append(found, more...)
		}
		return nil
	})
	if errors.Is(err, ErrDamaged) {
		return append(found, Finding{databaseName, "it is damaged, and cannot be read to its end", advice[ErrDamaged]}), nil
	}
	return found, err
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
	known, err := r.photoFiles()
	if err != nil {
		return nil, err
	}
	var found []Finding
	for _, file := range slices.Sorted(maps.Keys(known)) {
		if err := r.ctx.Err(); err != nil {
			return nil, err
		}
		if wrong := checkPhoto(s.photoPath(file), known[file]); wrong != "" {
			found = append(found, Finding{photosName + "/" + file, wrong, "put the file of the last backup in its place"})
		}
	}
	err = s.eachPhotoFile(func(file string) error {
		_, ok := known[file]
		switch {
		case ok:
		case strings.HasPrefix(filepath.Base(file), halfWritten):
			found = append(found, Finding{photosName + "/" + file, "it is part of a photo that was not stored to its end", "remove it"})
		default:
			found = append(found, Finding{photosName + "/" + file, "it is on no tray", "store it as a tray, or move it elsewhere"})
		}
		return nil
	})
	return found, err
}

// checkPhoto says what is wrong with a photo; empty when nothing is.
func checkPhoto(path, hash string) string {
	sum := sha256.New()
	err := readInto(sum, path)
	return photoWrong(err, hex.EncodeToString(sum.Sum(nil)) == hash)
}

// photoWrong says what reading a photo told; empty when all is well.
func photoWrong(err error, same bool) string {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "the photo is missing"
	case err != nil:
		return "the photo cannot be read: " + err.Error()
	case !same:
		return "it is not the photo that was stored: its bytes have changed"
	}
	return ""
}

// readInto copies a file to a writer.
func readInto(to io.Writer, path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	_, err = io.Copy(to, f)
	return err
}
