package ledger

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
)

// Backup copies the season into a folder that must not exist yet: database and
// photos as they are at one moment, whatever is written meanwhile, and the
// reference sets. The folder is a season itself: to restore it, copy it back. It
// appears when it is whole and on the disk; a backup that fails leaves none.
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
	part, err := os.MkdirTemp(filepath.Dir(to), halfWritten+"*")
	if err != nil {
		return nil, fileError(to, err)
	}
	defer os.RemoveAll(part) // nothing is there once it has its name
	found, err := s.copyTo(ctx, part)
	if err != nil {
		return nil, err
	}
	if err := os.Rename(part, to); err != nil {
		return nil, fileError(to, err)
	}
	return found, syncFolders(filepath.Dir(to))
}

func (s *Season) copyTo(ctx context.Context, dir string) ([]Finding, error) {
	database := filepath.Join(dir, databaseName)
	if _, err := s.db.ExecContext(ctx, "VACUUM INTO ?", database); err != nil {
		err = databaseError(database, err)
		if errors.Is(err, ErrDamaged) { // the copy is new, so it is not what is damaged
			err = fmt.Errorf("%s: %w; %s", s.database(), ErrDamaged, advice[ErrDamaged])
		}
		return nil, err
	}
	files, err := filesIn(ctx, database)
	if err != nil {
		return nil, err
	}
	found, err := s.copyPhotos(ctx, filepath.Join(dir, photosName), files)
	if err != nil {
		return nil, err
	}
	if err := copyFolder(s.Refs(), filepath.Join(dir, refsName)); err != nil {
		return nil, err
	}
	if err := os.Chmod(dir, 0o755); err != nil {
		return nil, fileError(dir, err)
	}
	return found, syncTree(dir)
}

// filesIn gives the photos that a copy of the database knows, with their
// hashes: those of the moment of the copy, all of which are in their places.
func filesIn(ctx context.Context, database string) (map[string]string, error) {
	db, err := sql.Open("sqlite", source(database, "DELETE"))
	if err != nil {
		return nil, databaseError(database, err)
	}
	defer db.Close()
	var files map[string]string
	err = (&Season{db: db}).read(ctx, func(r reader) error {
		files, err = r.photoFiles()
		return err
	})
	return files, err
}

// copyPhotos copies photos and says which are not what was stored.
func (s *Season) copyPhotos(ctx context.Context, dir string, files map[string]string) ([]Finding, error) {
	if err := os.Mkdir(dir, 0o755); err != nil {
		return nil, fileError(dir, err)
	}
	var found []Finding
	for _, file := range slices.Sorted(maps.Keys(files)) {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		photo, err := os.ReadFile(s.photoPath(file))
		if wrong := photoWrong(err, hashOf(photo) == files[file]); wrong != "" {
			found = append(found, Finding{photosName + "/" + file, wrong, "look for it in an earlier backup"})
		}
		if err != nil {
			continue
		}
		if err := writeNew(filepath.Join(dir, filepath.FromSlash(file)), photo); err != nil {
			return nil, err
		}
	}
	return found, nil
}

// copyFolder copies the files of a folder, and none of those below it.
func copyFolder(from, to string) error {
	if err := os.Mkdir(to, 0o755); err != nil {
		return fileError(to, err)
	}
	entries, err := os.ReadDir(from)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fileError(from, err)
	}
	for _, e := range entries {
		if !e.Type().IsRegular() {
			continue
		}
		content, err := os.ReadFile(filepath.Join(from, e.Name()))
		if err != nil {
			return fileError(filepath.Join(from, e.Name()), err)
		}
		if err := writeNew(filepath.Join(to, e.Name()), content); err != nil {
			return err
		}
	}
	return nil
}

// writeNew writes a file into a folder that nobody knows yet, and makes the
// folder it lies in.
func writeNew(path string, content []byte) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return fileError(path, err)
	}
	if err := os.WriteFile(path, content, 0o644); err != nil {
		return fileError(path, err)
	}
	return nil
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
