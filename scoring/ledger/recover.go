package ledger

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// recover clears away what programs left that were ended in the middle of
// storing a tray: parts of photos are removed, and whole photos whose tray was
// not stored go to the folder unfinished, where they are lost to nobody.
func (s *Season) recover(ctx context.Context) error {
	// The lock tells that no program is between photo and rows right now.
	return s.write(ctx, func(w writer) error {
		known, err := w.photoRows()
		if err != nil {
			return err
		}
		photos, err := s.folder(photosName)
		if err != nil {
			return nil // Check tells of it; all else can be read
		}
		defer photos.Close()
		return eachFile(photos, func(file string) error {
			_, ok := known[file]
			switch {
			case ok:
				return nil
			case strings.HasPrefix(path.Base(file), halfWritten):
				return photos.Remove(filepath.FromSlash(file))
			}
			return s.setAside(file)
		})
	})
}

// partsLeft says whether a program left part of a photo behind, or the mark of a
// photo whose tray it did not store.
func (s *Season) partsLeft() (bool, error) {
	entries, err := os.ReadDir(s.photos())
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return false, fileError(s.photos(), err)
	}
	return slices.ContainsFunc(entries, func(e fs.DirEntry) bool { return strings.HasPrefix(e.Name(), halfWritten) }), nil
}

// setAside moves a photo to the folder unfinished.
func (s *Season) setAside(file string) error {
	root, err := os.OpenRoot(s.dir)
	if err != nil {
		return fileError(s.dir, err)
	}
	defer root.Close()
	if err := root.Mkdir(unfinishedName, 0o777); err != nil && !errors.Is(err, fs.ErrExist) {
		return fileError(filepath.Join(s.dir, unfinishedName), err)
	}
	to := path.Join(unfinishedName, path.Base(file))
	for n := 2; ; n++ {
		if _, err := root.Lstat(to); errors.Is(err, fs.ErrNotExist) {
			break
		}
		to = path.Join(unfinishedName, strconv.Itoa(n)+"-"+path.Base(file))
	}
	if err := root.Rename(path.Join(photosName, file), to); err != nil {
		return fileError(filepath.Join(s.dir, to), err)
	}
	return syncFolders(filepath.Dir(s.photoPath(file)), filepath.Join(s.dir, unfinishedName))
}

// Unfinished lists the photos that were whole when the program was ended, but
// whose trays were not stored: paths of files. They can be stored again.
func (s *Season) Unfinished() ([]string, error) {
	dir := filepath.Join(s.dir, unfinishedName)
	if _, err := os.Lstat(dir); errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	root, err := s.folder(unfinishedName)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	var paths []string
	err = eachFile(root, func(file string) error {
		paths = append(paths, filepath.Join(dir, filepath.FromSlash(file)))
		return nil
	})
	return paths, err
}

// eachFile calls f with the path of everything in a folder and below it that is
// no folder, with slashes.
func eachFile(root *os.Root, f func(file string) error) error {
	return fs.WalkDir(root.FS(), ".", func(file string, d fs.DirEntry, err error) error {
		if err != nil {
			return fileError(filepath.Join(root.Name(), filepath.FromSlash(file)), err)
		}
		if d.IsDir() {
			return nil
		}
		return f(file)
	})
}
